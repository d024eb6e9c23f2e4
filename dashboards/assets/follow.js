// What a page does by itself: it asks whether the workbook changed, fits its pictures to the window,
// and names its tab. Nothing here speaks to another address than the page's own.
(function () {
  const narrow = window.matchMedia("(max-width: 719px)");
  const client = (window.dash_clientside = window.dash_clientside || {});

  client.ledger = {
    follow: async function (_ticks, stamp) {
      const same = client.no_update;
      try {
        const answer = await fetch("/stamp", { cache: "no-store" });
        if (!answer.ok) return [same, same];
        const now = await answer.text();
        return [now === stamp ? same : now, true];
      } catch (stopped) {
        return [same, false];
      }
    },
    narrow: () => narrow.matches,
    title: function (title) {
      if (title) document.title = title;
    },
  };

  narrow.addEventListener("change", () => client.set_props("narrow", { data: narrow.matches }));

  // A page that is drawn anew would close what the reader has opened.
  const opened = new Set();
  document.addEventListener("toggle", (event) => opened[event.target.open ? "add" : "delete"](event.target.id), true);
  const reopen = () => opened.forEach((id) => document.getElementById(id)?.setAttribute("open", ""));
  new MutationObserver(reopen).observe(document.body, { childList: true, subtree: true });

  // A sheet of paper is narrower than a screen, and a picture stands on one sheet.
  const PAPER = { width: 660, height: 880 };
  const charts = () => document.querySelectorAll(".dash-graph");
  const fit = (graph, height, to) => {
    graph.style.height = height + "px";
    window.Plotly.relayout(graph.querySelector(".js-plotly-plot"), to);
  };
  window.addEventListener("beforeprint", () =>
    charts().forEach((graph) => {
      graph.dataset.height = graph.offsetHeight;
      const height = Math.min(graph.offsetHeight, PAPER.height);
      fit(graph, height, { width: PAPER.width, height });
    }),
  );
  window.addEventListener("afterprint", () =>
    charts().forEach((graph) => {
      const height = Number(graph.dataset.height);
      fit(graph, height, { width: null, height, autosize: true });
    }),
  );
})();
