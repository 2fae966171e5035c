"use strict";
// Draws the figures and filters rows and figures alike. It chooses; it never adds up.
(() => {
  const PAPER_WIDTH = 680;
  const config = { displayModeBar: false, displaylogo: false, responsive: true, scrollZoom: false };
  const parts = [...document.querySelectorAll(".part")];
  const form = document.getElementById("filters");

  const figureOf = (part) => {
    const text = document.getElementById(part.id + "-figure");
    return text && JSON.parse(text.textContent);
  };

  // The page and Plotly must agree on one palette of text: Plotly writes hover text in the hue of the point.
  const draw = (part, kept) => {
    const drawing = document.getElementById(part.id + "-drawing");
    const figure = figureOf(part);
    if (!drawing || !figure || !window.Plotly) return;
    const traces = kept ? figure.data.map((trace) => cut(trace, kept)).filter((t) => t.meta.rows.length) : figure.data;
    Plotly.react(drawing, traces, narrowed(figure.layout, drawing.clientWidth), config);
    drawing.hidden = traces.length === 0;
  };

  // Plotly sizes a scene by its height alone: where the page is narrower than the scene needs, all of it is drawn smaller.
  const narrowed = (layout, width) => {
    if (!layout.scene || !layout.meta || !width) return layout;
    const share = Math.min(1, width / layout.meta.width_px);
    const smaller = Object.entries(layout.scene.aspectratio).map(([axis, length]) => [axis, length * share]);
    return { ...layout, scene: { ...layout.scene, aspectratio: Object.fromEntries(smaller) } };
  };

  // Keeps the points of a trace whose row is kept, in every list that has one entry per row.
  const cut = (trace, kept) => {
    const at = trace.meta.rows.map((row, index) => (kept.has(row) ? index : -1)).filter((index) => index >= 0);
    const size = trace.meta.rows.length;
    const walk = (node) => {
      if (Array.isArray(node)) return node.length === size ? at.map((index) => node[index]) : node;
      if (node === null || typeof node !== "object") return node;
      return Object.fromEntries(Object.entries(node).map(([name, value]) => [name, walk(value)]));
    };
    return walk(trace);
  };

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
    const kept = lines.filter((line) => !line.hidden).map((line) => Number(line.dataset.line));
    show(part, ".nothing", own.length > 0 && kept.length === 0);
    show(part, ".whole", wanted.length > 0 && own.length === 0);
    if (part.dataset.drawnFor !== keyOf(own)) draw(part, own.length ? new Set(kept) : null);
    part.dataset.drawnFor = keyOf(own);
  };

  const keyOf = (own) => own.map(({ column, code }) => column + "=" + code).join("&");

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
    resize((drawing) => ({ width: PAPER_WIDTH, autosize: false }));
  });
  addEventListener("afterprint", () => {
    opened.forEach((details) => { details.open = false; });
    resize(() => ({ width: undefined, autosize: true }));
  });

  const resize = (layout) => {
    if (!window.Plotly) return;
    document.querySelectorAll(".drawing.js-plotly-plot:not([hidden])").forEach((drawing) => {
      Plotly.relayout(drawing, layout(drawing));
    });
  };

  parts.forEach((part) => draw(part, null));
  if (form) {
    form.hidden = false;
    form.addEventListener("change", filterPage);
    form.addEventListener("reset", () => setTimeout(filterPage));
    form.addEventListener("submit", (event) => event.preventDefault());
    filterPage();
  }
})();
