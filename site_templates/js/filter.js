/* A box above a long table that leaves only the rows with all words typed. Without it the whole table stands there. */
(function () {
  "use strict";
  const plain = (text) => text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();

  document.querySelectorAll("[data-filter]").forEach((home, number) => {
    const rows = [...home.querySelectorAll("tbody > tr")];
    const table = home.querySelector("table");
    const bar = document.createElement("div");
    const label = document.createElement("label");
    const input = document.createElement("input");
    const said = document.createElement("span");
    let texts = null;
    let waiting = 0;

    bar.className = "filter";
    label.className = "filter__label";
    label.textContent = home.dataset.filter;
    input.className = "filter__input";
    input.type = "search";
    input.autocomplete = "off";
    input.spellcheck = false;
    input.id = "filter-" + (number + 1);
    label.htmlFor = input.id;
    table.id = table.id || "filtered-" + (number + 1);
    input.setAttribute("aria-controls", table.id);
    said.className = "filter__said";
    said.setAttribute("role", "status");
    bar.append(label, input, said);

    function show() {
      const wanted = plain(input.value).split(/\s+/).filter(Boolean);
      texts = texts || rows.map((row) => plain(row.textContent));
      let shown = 0;
      rows.forEach((row, place) => {
        const fits = wanted.every((word) => texts[place].includes(word));
        if (row.hidden === fits) row.hidden = !fits;
        shown += fits ? 1 : 0;
      });
      said.textContent = home.dataset.rows + " " + shown + " " + home.dataset.of + " " + rows.length;
    }

    input.addEventListener("input", () => {
      window.clearTimeout(waiting);
      waiting = window.setTimeout(show, 60);
    });
    input.addEventListener("keydown", (event) => {
      // the theme listens for letters on the whole page
      event.stopPropagation();
      if (event.key === "Escape" && input.value) {
        input.value = "";
        show();
        event.preventDefault();
      }
    });
    said.textContent = home.dataset.rows + " " + rows.length;
    home.querySelector(".table__frame").before(bar);
    // a browser that comes back to the page may have kept what was typed
    if (input.value) show();
  });
})();
