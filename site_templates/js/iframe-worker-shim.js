/* A browser starts no worker from a folder without a server. This stand-in runs the worker's script in a hidden frame. */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  class IFrameWorker extends EventTarget {
    constructor(url) {
      super();
      this.waiting = [];
      this.scope = null;
      const address = String(url);
      const start = () => this.start(address);
      if (document.body) start();
      else document.addEventListener("DOMContentLoaded", start, { once: true });
    }

    start(address) {
      const frame = document.createElement("iframe");
      frame.hidden = true;
      frame.title = "";
      frame.setAttribute("aria-hidden", "true");
      document.body.appendChild(frame);
      const scope = frame.contentWindow;
      const load = (source) =>
        new Promise((done, failed) => {
          const script = scope.document.createElement("script");
          script.src = source;
          script.onload = () => done();
          script.onerror = () => failed(new Error("cannot load " + source));
          scope.document.head.appendChild(script);
        });
      scope.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data }));
      scope.importScripts = (...sources) =>
        sources.reduce((before, source) => before.then(() => load(new URL(source, address).href)), Promise.resolve());
      load(new URL(address, location.href).href).then(
        () => {
          this.scope = scope;
          this.waiting.splice(0).forEach((data) => this.postMessage(data));
        },
        (error) => this.dispatchEvent(new ErrorEvent("error", { message: error.message })),
      );
    }

    postMessage(data) {
      if (this.scope) this.scope.dispatchEvent(new this.scope.MessageEvent("message", { data }));
      else this.waiting.push(data);
    }

    terminate() {
      this.scope = null;
    }
  }

  window.IFrameWorker = IFrameWorker;
  window.Worker = IFrameWorker;
})();
