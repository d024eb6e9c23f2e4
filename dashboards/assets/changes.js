// Shows or hides the marks of changes on all charts of a page, kind by kind, without drawing the page anew.
// The tab remembers what is hidden. A mark's name is "change " and its kind (tracker/show/charts/changes.py).
(function () {
  const MARK = "change ";
  const KEPT = "changes hidden";
  const hidden = new Set();
  try {
    JSON.parse(sessionStorage.getItem(KEPT) || "[]").forEach((kind) => hidden.add(kind));
  } catch (unreadable) {
    // then everything is shown
  }

  const ticks = () => document.querySelectorAll("#change-kinds input");
  const marks = (parts) =>
    (parts || []).flatMap((part, at) => (part.name?.startsWith(MARK) ? [[at, !hidden.has(part.name.slice(MARK.length))]] : []));
  const wrong = (found, parts) => found.some(([at, visible]) => (parts[at].visible !== false) !== visible);

  const apply = (plot) => {
    const heads = marks(plot.data);
    const lines = marks(plot.layout.shapes);
    if (!wrong(heads, plot.data) && !wrong(lines, plot.layout.shapes)) return;
    const shapes = Object.fromEntries(lines.map(([at, visible]) => [`shapes[${at}].visible`, visible]));
    const places = heads.map(([at]) => at);
    if (places.length) window.Plotly.update(plot, { visible: heads.map(([, visible]) => visible) }, shapes, places);
    else window.Plotly.relayout(plot, shapes);
  };

  const settle = () => {
    ticks().forEach((tick) => (tick.checked = !hidden.has(tick.value)));
    document.querySelectorAll(".js-plotly-plot").forEach((plot) => plot.data && plot.layout && apply(plot));
  };

  document.addEventListener("change", (event) => {
    if (!event.target.closest?.("#change-kinds")) return;
    hidden[event.target.checked ? "delete" : "add"](event.target.value);
    try {
      sessionStorage.setItem(KEPT, JSON.stringify([...hidden]));
    } catch (full) {
      // then only this page remembers
    }
    settle();
  });

  // A page that is drawn anew, or a chart that is drawn late, takes up the choice.
  let waits = false;
  new MutationObserver(() => {
    if (waits || !hidden.size) return;
    waits = true;
    requestAnimationFrame(() => {
      waits = false;
      settle();
    });
  }).observe(document.body, { childList: true, subtree: true });
})();
