/* Zoom and pan of drawings, and sideways tables that the keyboard can reach. Works without it too, only plainer. */
(function () {
  "use strict";
  const STEP = 1.4;
  const MOST = 8;

  function sheet(figure) {
    const frame = figure.querySelector(".sheet__frame");
    const image = figure.querySelector(".sheet__image");
    const bar = figure.querySelector(".sheet__bar");
    const buttons = {};
    bar.querySelectorAll("[data-zoom]").forEach((button) => (buttons[button.dataset.zoom] = button));
    let zoom = 1;

    function set(wanted, clientX, clientY) {
      const next = Math.min(MOST, Math.max(1, wanted));
      const box = frame.getBoundingClientRect();
      const x = clientX === undefined ? box.width / 2 : clientX - box.left;
      const y = clientY === undefined ? box.height / 2 : clientY - box.top;
      // the point under the pointer stays where it is
      const atX = (frame.scrollLeft + x) / image.offsetWidth;
      const atY = (frame.scrollTop + y) / image.offsetHeight;
      zoom = next;
      image.style.width = zoom * 100 + "%";
      frame.scrollLeft = atX * image.offsetWidth - x;
      frame.scrollTop = atY * image.offsetHeight - y;
      frame.toggleAttribute("data-zoomed", zoom > 1);
      buttons.out.disabled = buttons.fit.disabled = zoom <= 1;
      buttons.in.disabled = zoom >= MOST;
    }

    buttons.in.addEventListener("click", () => set(zoom * STEP));
    buttons.out.addEventListener("click", () => set(zoom / STEP));
    buttons.fit.addEventListener("click", () => set(1));
    frame.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === "+" || event.key === "=") set(zoom * STEP);
      else if (event.key === "-") set(zoom / STEP);
      else if (event.key === "0") set(1);
      else return;
      event.preventDefault();
      event.stopPropagation();
    });
    frame.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        set(zoom * Math.exp(-event.deltaY / 300), event.clientX, event.clientY);
      },
      { passive: false },
    );

    let from = null;
    frame.addEventListener("pointerdown", (event) => {
      if (event.pointerType === "touch" || event.button !== 0 || zoom <= 1) return;
      from = { x: event.clientX + frame.scrollLeft, y: event.clientY + frame.scrollTop };
      frame.setPointerCapture(event.pointerId);
      frame.setAttribute("data-dragging", "");
    });
    frame.addEventListener("pointermove", (event) => {
      if (!from) return;
      frame.scrollLeft = from.x - event.clientX;
      frame.scrollTop = from.y - event.clientY;
    });
    const drop = () => {
      from = null;
      frame.removeAttribute("data-dragging");
    };
    frame.addEventListener("pointerup", drop);
    frame.addEventListener("pointercancel", drop);

    bar.hidden = false;
    set(1);
  }

  function reachable() {
    document.querySelectorAll(".table__frame").forEach((frame) => {
      if (frame.scrollWidth > frame.clientWidth + 1) frame.tabIndex = 0;
      else frame.removeAttribute("tabindex");
    });
  }

  // The theme's menu and search are check boxes that no key reaches, and its search has no name.
  document.querySelectorAll("[data-opens]").forEach((button) =>
    button.addEventListener("click", () => document.getElementById(button.dataset.opens).click()),
  );
  document.querySelectorAll(".md-search[role=dialog]").forEach((dialog) => {
    dialog.setAttribute("aria-label", dialog.querySelector("input").getAttribute("aria-label"));
  });

  document.querySelectorAll("[data-sheet]").forEach(sheet);
  reachable();
  window.addEventListener("resize", reachable);
})();
