"use strict";
/* Sorts tables by the buttons it puts into their heads, and moves along a chart by arrow keys. */
(() => {
  const make = (name, className) => {
    const made = document.createElement(name);
    made.className = className;
    return made;
  };

  const said = document.querySelector("[data-ascending]");

  /* Sorts the rows by one column, those without a value last, and says so. */
  const sort = (head, place) => {
    const table = head.closest("table");
    const down = head.getAttribute("aria-sort") === "ascending";
    const rank = (row) => row.cells[place].dataset.rank;
    const order = (one, other) => {
      if (!rank(one) || !rank(other)) return !rank(one) - !rank(other);
      return (rank(one) - rank(other)) * (down ? -1 : 1);
    };
    table.tBodies[0].append(...[...table.tBodies[0].rows].sort(order));
    for (const each of table.tHead.rows[0].cells) each.removeAttribute("aria-sort");
    const turned = down ? "descending" : "ascending";
    head.setAttribute("aria-sort", turned);
    said.textContent = said.dataset[turned].replace("{head}", () => head.innerText.trim());
  };

  for (const table of document.querySelectorAll("table.sortable")) {
    [...table.tHead.rows[0].cells].forEach((head, place) => {
      const button = make("button", "sort");
      button.type = "button";
      button.append(...head.childNodes);
      button.addEventListener("click", () => sort(head, place));
      head.append(button);
    });
  }

  for (const hint of document.querySelectorAll(".hint")) hint.hidden = false;

  /* One stop of the Tab key a chart; the arrows, Home and End go along its values. */
  const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
  for (const figure of document.querySelectorAll("figure")) {
    const spots = [...figure.querySelectorAll(".spot")];
    const reading = figure.querySelector(".reading");
    const read = (spot) => {
      reading.textContent = spot.querySelector("title").textContent;
    };
    const go = (to) => {
      for (const spot of spots) spot.setAttribute("tabindex", "-1");
      spots[to].setAttribute("tabindex", "0");
      spots[to].focus();
    };
    spots.forEach((spot, place) => {
      spot.addEventListener("focus", () => read(spot));
      spot.addEventListener("mouseenter", () => read(spot));
      spot.addEventListener("keydown", (event) => {
        const last = spots.length - 1;
        const ends = { Home: 0, End: last };
        const to = ends[event.key] ?? place + (steps[event.key] ?? NaN);
        if (Number.isNaN(to) || event.ctrlKey || event.altKey || event.metaKey) return;
        event.preventDefault();
        go(Math.min(Math.max(to, 0), last));
      });
    });
  }
})();
