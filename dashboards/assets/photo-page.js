// What a Photos page does by itself: it hands a photograph over, asks what the marked points measure, and saves them.
(function () {
  const LATER = 150; // ms after the last change
  const element = (id) => document.getElementById(id);
  const form = () => element("photo-form");
  const section = () => document.querySelector("section.marking");
  const { ask, post } = window.ledgerAsk;
  const show = (id, children) => window.dash_clientside.set_props(id, { children });

  // A photograph is chosen, or dropped

  async function hand(file) {
    if (!file) return;
    show("photo-message", "");
    const label = document.querySelector(".drop .action");
    const asked = label.textContent;
    label.textContent = `Keeping ${file.name} …`;
    try {
      const told = await (await post(`/keep?name=${encodeURIComponent(file.name)}`, file, "application/octet-stream")).json();
      if (told.href) return void window.location.assign(told.href);
      show("photo-message", told.message);
    } catch (failure) {
      show("photo-message", failure.message === "413" ? "This file is larger than a photograph can be here." : "The program does not answer. Start it again, then choose the photo once more.");
    }
    label.textContent = asked;
    element("photo-file").value = "";
  }
  document.addEventListener("change", (event) => event.target.id === "photo-file" && hand(event.target.files[0]));
  for (const name of ["dragover", "dragleave", "drop"])
    document.addEventListener(name, (event) => {
      const place = element("photo-drop");
      if (!place || !event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault(); // else the browser opens the file itself
      place.classList.toggle("over", name === "dragover");
      if (name === "drop") hand(event.dataTransfer.files[0]);
    });

  // What the points measure, asked anew after each change

  function sent() {
    const said = window.ledgerForm.typed(form());
    const { photo, loaded, again = "" } = section().dataset;
    const asked = ({ type, checked, value }) => (type === "checkbox" ? checked : value.trim());
    const lines = [...form().querySelectorAll("[name^=line-]")].filter(asked).map(({ name, value }) => [name.slice("line-".length), value]);
    const { points, view } = window.ledgerMarking;
    const opened = JSON.parse(loaded || "null");
    return { ...said, ...(again && opened), view: view(section()), photo, lines, points: points(section()), loaded: opened, again };
  }

  let timer = 0;
  let asking = 0;
  function changed() {
    if (!section()) return;
    clearTimeout(timer);
    timer = setTimeout(measure, LATER);
  }
  async function measure() {
    if (!section()) return;
    const number = ++asking;
    try {
      const told = await ask("/measure", sent());
      if (number !== asking || !section()) return;
      show("photo-read", told.read);
      window.ledgerMarking.setLines(section(), told.lines || []);
    } catch (stopped) {
      // Saving says it; the page's own watch does too
    }
  }
  document.addEventListener("points-changed", changed);
  for (const name of ["change", "input"])
    document.addEventListener(name, (event) => event.target.closest?.("#photo-form") && changed());

  // Saved in one go; and taken back

  let busy = false;
  let before = ""; // what the workbook had before it was saved, which it has again once that is taken back
  async function save() {
    if (busy || form().hidden) return;
    busy = true;
    const button = element("photo-save");
    button.textContent = "Saving …";
    show("photo-message", "");
    try {
      const said = sent();
      const told = await ask("/enter-points", said);
      if (told.message) {
        show("photo-message", told.message);
        if (told.field === "date" && element("photo-when")) element("photo-when").open = true;
      } else {
        window.ledgerMarking.saved(section(), said);
        before = section().dataset.loaded || "";
        if ("loaded" in told) section().dataset.loaded = told.loaded;
        answered(told.answer, true);
      }
    } catch (stopped) {
      show("photo-message", "The program does not answer, so it is not known whether this is saved. The points stay here: start the program again, look at the sheet Photo points, then press Save.");
    } finally {
      busy = false;
      button.textContent = "Save";
    }
  }
  // The heading of the answer gets the focus once it is drawn, and is thus read out
  function focusOnAnswer(answer) {
    new MutationObserver((_, drawn) => {
      const heading = answer.querySelector("[data-focus]");
      if (!heading) return;
      drawn.disconnect();
      heading.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    }).observe(answer, { childList: true, subtree: true, characterData: true });
  }
  function answered(children, hide) {
    focusOnAnswer(element("photo-answer"));
    show("photo-answer", children);
    form().hidden = hide;
    window.scrollTo(0, 0);
  }
  async function undo(button) {
    if (busy) return;
    busy = true;
    try {
      const told = await ask("/undo-points", { entries: button.dataset.entries.split(" ") });
      window.ledgerMarking.unsaved(section());
      if ("loaded" in told) section().dataset.loaded = told.loaded;
      else if (told.state === "taken back") section().dataset.loaded = before;
      answered(told.answer || told.message, false);
    } catch (stopped) {
      button.textContent = "Undo: the program does not answer, try again";
    } finally {
      busy = false;
    }
  }
  document.addEventListener("submit", (event) => event.target.id === "photo-form" && save());
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-do=undo-points]");
    if (button) undo(button);
  });

  new MutationObserver(() => {
    const of = form();
    if (!of || of.dataset.ready) return;
    of.dataset.ready = "yes";
    changed();
  }).observe(document.body, { childList: true, subtree: true });
})();
