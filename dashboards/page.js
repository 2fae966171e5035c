"use strict";
// Filters the rows of a chapter, keeps the choice in the address, opens what a link leads to. It chooses; it never adds up.
(() => {
  const forms = [...document.querySelectorAll("form.filters")];

  const choices = (form) =>
    [...form.querySelectorAll("select")].filter((select) => select.value !== "").map((select) => ({
      column: select.dataset.filter,
      code: select.value,
      text: select.selectedOptions[0].textContent,
      label: select.parentElement.firstChild.textContent.trim(),
    }));

  const filterPart = (part, wanted) => {
    const own = wanted.filter(({ column }) => part.dataset.filters.split(" ").includes(column));
    const fits = (line) => own.every(({ column, code }) => line.getAttribute("data-by-" + column) === code);
    const lines = [...part.querySelectorAll("tr[data-row]")];
    lines.forEach((line) => { line.hidden = !fits(line); });
    part.querySelectorAll(".mark").forEach((mark) => mark.toggleAttribute("hidden", !fits(mark)));
    part.classList.toggle("chosen", own.length > 0);
    const isEmpty = own.length > 0 && lines.every((line) => line.hidden);
    part.querySelector(".nothing").hidden = !isEmpty;
    part.querySelectorAll(".drawing").forEach((drawing) => { drawing.hidden = isEmpty; });
    part.querySelector(".whole").hidden = !(wanted.length > 0 && own.length === 0);
  };

  const filterChapter = (form) => {
    const wanted = choices(form);
    form.closest(".chapter").querySelectorAll(".part").forEach((part) => filterPart(part, wanted));
    const words = wanted.map(({ label, text }) => label + " " + text).join(", ");
    form.querySelector(".filter-state").textContent = words
      ? "Shown: " + words + ". Sentences and tables without that column still speak of the whole shop."
      : "";
  };

  // The address: #money.item_type=tripod&carriers.service=ground. Values are texts, so that it holds in another month.
  const write = () => {
    const parts = forms.flatMap((form) =>
      choices(form).map(({ column, text }) => form.dataset.chapter + "." + column + "=" + encodeURIComponent(text)));
    history.replaceState(null, "", parts.length ? "#" + parts.join("&") : location.pathname + location.search);
  };

  const read = () => {
    const wanted = new URLSearchParams(location.hash.slice(1));
    if (![...wanted.keys()].some((name) => name.includes("."))) return;
    forms.forEach((form) => {
      form.querySelectorAll("select").forEach((select) => {
        const text = wanted.get(form.dataset.chapter + "." + select.dataset.filter);
        const option = [...select.options].find((each) => text !== null && each.value && each.textContent === text);
        select.value = option ? option.value : "";
      });
      filterChapter(form);
    });
  };

  // What a link leads to is opened, with all that holds it.
  const reveal = () => {
    const target = /^#[\w-]+$/.test(location.hash) && document.getElementById(location.hash.slice(1));
    if (!target) return;
    const inner = target.querySelector(":scope > details");
    if (inner) inner.open = true;
    for (let up = target; up; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    target.scrollIntoView();
  };

  // Only what scrolls is a stop of the Tab key. What is folded is asked when it opens: to lay it out takes half of the
  // time that the page needs to be ready.
  const stops = () => {
    document.querySelectorAll(".scroll").forEach((region) => {
      if (region.closest("details:not([open])")) return;
      const scrolls = region.scrollWidth > region.clientWidth + 1;
      const caption = region.querySelector("caption");
      if (scrolls) {
        region.tabIndex = 0;
        region.setAttribute("role", "region");
        region.setAttribute("aria-label", caption.textContent);
      } else {
        ["tabindex", "role", "aria-label"].forEach((name) => region.removeAttribute(name));
      }
    });
  };

  forms.forEach((form) => {
    form.hidden = false;
    form.addEventListener("change", () => { filterChapter(form); write(); });
    form.addEventListener("reset", () => setTimeout(() => { filterChapter(form); write(); }));
    form.addEventListener("submit", (event) => event.preventDefault());
  });
  addEventListener("hashchange", () => { read(); reveal(); });
  addEventListener("resize", stops);
  document.addEventListener("toggle", stops, true);
  read();
  reveal();
  stops();
})();
