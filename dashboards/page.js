"use strict";
// Filters rows and pictures alike. It chooses; it never adds up.
(() => {
  const parts = [...document.querySelectorAll(".part")];
  const form = document.getElementById("filters");

  const chosen = () =>
    [...form.querySelectorAll("select")].filter((select) => select.value !== "").map((select) => ({
      column: select.dataset.filter,
      code: select.value,
      words: select.parentElement.firstChild.textContent.trim() + " " + select.selectedOptions[0].textContent,
    }));

  const filterPart = (part, wanted) => {
    const own = wanted.filter(({ column }) => part.dataset.filters.split(" ").includes(column));
    const lines = [...part.querySelectorAll("tr[data-line]")];
    const fits = (line) => own.every(({ column, code }) => line.getAttribute("data-by-" + column) === code);
    lines.forEach((line) => { line.hidden = !fits(line); });
    part.querySelectorAll(".mark").forEach((mark) => mark.toggleAttribute("hidden", !fits(mark)));
    const isEmpty = own.length > 0 && lines.every((line) => line.hidden);
    show(part, ".nothing", isEmpty);
    show(part, ".drawing", !isEmpty);
    show(part, ".whole", wanted.length > 0 && own.length === 0);
  };

  const show = (part, selector, isShown) => {
    const element = part.querySelector(selector);
    if (element) element.hidden = !isShown;
  };

  const filterPage = () => {
    const wanted = chosen();
    parts.forEach((part) => filterPart(part, wanted));
    const words = wanted.map((choice) => choice.words).join(", ");
    document.getElementById("filter-state").textContent = words
      ? "Shown: " + words + ". Sentences and tables without that column still speak of the whole shop."
      : "";
  };

  const folded = () => [...document.querySelectorAll("details:not([open])")];
  let opened = [];

  addEventListener("beforeprint", () => {
    opened = folded();
    opened.forEach((details) => { details.open = true; });
  });
  addEventListener("afterprint", () => {
    opened.forEach((details) => { details.open = false; });
  });

  if (form) {
    form.hidden = false;
    form.addEventListener("change", filterPage);
    form.addEventListener("reset", () => setTimeout(filterPage));
    form.addEventListener("submit", (event) => event.preventDefault());
    filterPage();
  }
})();
