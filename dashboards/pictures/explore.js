"use strict";
// Draws the pictures to explore, and filters them. It chooses; it never adds up.
(() => {
  const config = { displaylogo: false, responsive: true, modeBarButtonsToRemove: ["toImage", "sendDataToCloud"] };
  const parts = [...document.querySelectorAll(".part")];
  const form = document.getElementById("filters");
  const ink = getComputedStyle(document.body).color;

  const described = (part) => JSON.parse(document.getElementById(part.id + "-figure").textContent);

  const draw = (part, wanted) => {
    const figure = described(part);
    const fits = (row) => wanted.every(({ column, code }) => {
      const own = figure.by[row] || {};
      return !(column in own) || String(own[column]) === code;
    });
    const traces = figure.data.map((trace) => cut(trace, fits)).filter((trace) => trace.meta.rows.length);
    const layout = { ...figure.layout, font: { ...figure.layout.font, color: ink } };
    const drawing = part.querySelector(".explored");
    drawing.hidden = traces.length === 0;
    part.querySelector(".nothing").hidden = traces.length > 0;
    if (traces.length) Plotly.react(drawing, traces, layout, config);
  };

  // Keeps the points of a trace whose row is kept, in every list that has one entry per row.
  const cut = (trace, fits) => {
    const size = trace.meta.rows.length;
    if (size === 1) return fits(trace.meta.rows[0]) ? trace : { ...trace, meta: { rows: [] } };
    const at = trace.meta.rows.map((row, index) => (fits(row) ? index : -1)).filter((index) => index >= 0);
    const walk = (node) => {
      if (Array.isArray(node)) return node.length === size ? at.map((index) => node[index]) : node;
      if (node === null || typeof node !== "object") return node;
      return Object.fromEntries(Object.entries(node).map(([name, value]) => [name, walk(value)]));
    };
    return walk(trace);
  };

  const chosen = () =>
    [...document.querySelectorAll("#filters select")].filter((select) => select.value !== "")
      .map((select) => ({ column: select.dataset.filter, code: select.value }));
  const drawAll = () => { const wanted = chosen(); parts.forEach((part) => draw(part, wanted)); };

  if (form) {
    form.addEventListener("change", drawAll);
    form.addEventListener("reset", () => setTimeout(drawAll));
    form.addEventListener("submit", (event) => event.preventDefault());
  }
  drawAll();
})();
