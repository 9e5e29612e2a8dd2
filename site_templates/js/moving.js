/* Storyboards that are clicked through, and sliders that answer from what the page carries. Nothing is asked for. */
(function () {
  "use strict";
  const MARKS = { good: "✓", caution: "▲", danger: "◆", unknown: "?" };

  function steps(board) {
    const bar = board.querySelector(".steps__bar");
    const place = board.querySelector("[data-place]");
    const all = [...board.querySelectorAll(".steps__step")];
    const back = bar.querySelector("[data-go=back]");
    const on = bar.querySelector("[data-go=on]");
    let now = 0;

    function show(wanted) {
      now = Math.min(all.length - 1, Math.max(0, wanted));
      all.forEach((step, number) => (step.hidden = number !== now));
      const name = all[now].querySelector(".steps__name").textContent.trim();
      place.textContent = `${place.dataset.place} ${now + 1} ${place.dataset.of} ${all.length}: ${name}`;
      // a button that turns off would lose the reader's place
      back.setAttribute("aria-disabled", now === 0);
      on.setAttribute("aria-disabled", now === all.length - 1);
    }

    back.addEventListener("click", () => show(now - 1));
    on.addEventListener("click", () => show(now + 1));
    bar.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === "ArrowLeft") show(now - 1);
      else if (event.key === "ArrowRight") show(now + 1);
      else return;
      event.preventDefault();
      event.stopPropagation();
    });
    board.setAttribute("data-moving", "");
    bar.hidden = false;
    show(0);
  }

  function figure(box, text, ref, tone, word) {
    box.className = `number tone--${tone}`;
    const line = box.querySelector(".number__figure");
    line.textContent = "";
    if (tone !== "plain") {
      const mark = document.createElement("span");
      mark.className = tone === "unknown" ? "mark mark--round" : "mark";
      mark.setAttribute("aria-hidden", "true");
      mark.textContent = MARKS[tone];
      const said = document.createElement("span");
      said.className = "unseen";
      said.textContent = `${word}: `;
      line.append(mark, "\u00a0", said);
    }
    const number = document.createElement("span");
    number.className = "num";
    if (ref) number.dataset.ref = ref;
    number.textContent = text;
    line.append(number);
  }

  function sliders(section) {
    const data = JSON.parse(section.dataset.sliders);
    const inputs = [...section.querySelectorAll(".sliders__input")];
    const values = [...section.querySelectorAll(".sliders__value")];
    const boxes = [...section.querySelectorAll("[data-answer]")];

    function show() {
      let place = 0;
      inputs.forEach((input, number) => {
        const axis = data.axes[number];
        const at = Number(input.value);
        place = place * axis.texts.length + at;
        values[number].textContent = axis.texts[at];
        if (axis.list) values[number].dataset.ref = `${axis.list}[${at}]`;
        input.setAttribute("aria-valuetext", axis.texts[at]);
      });
      boxes.forEach((box, number) => {
        const answer = data.answers[number];
        const tone = answer.tones[place];
        figure(box, answer.texts[place], answer.list && `${answer.list}[${place}]`, tone, data.words[tone]);
      });
    }

    inputs.forEach((input) => input.addEventListener("input", show));
    section.querySelector("[data-reset]").addEventListener("click", () => {
      inputs.forEach((input, number) => (input.value = data.axes[number].proposed));
      show();
    });
    section.querySelector(".sliders__axes").hidden = false;
    section.querySelector("[data-table]").open = false;
    show();
  }

  document.querySelectorAll("[data-steps]").forEach(steps);
  document.querySelectorAll("[data-sliders]").forEach(sliders);
  if (window.matchMedia("(max-width: 44.99em)").matches) {
    document.querySelectorAll("[data-fold]").forEach((fold) => (fold.open = false));
  }
})();
