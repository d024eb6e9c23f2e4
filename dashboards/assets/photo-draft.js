// The draft of one photograph: what was marked and typed stays in this tab, with all that can be undone, until it is saved.
// Each view is saved by itself, so that what is not saved of another view stays.
(function () {
  const TAKEN_BACK = "taken back"; // like no place of the workbook
  const asTold = (points) => JSON.stringify(Object.entries(points).sort());
  const only = (names, points) => Object.fromEntries(names.filter((name) => points[name]).map((name) => [name, points[name]]));

  // Where the browser keeps nothing, there is no draft
  function store(doing) {
    try {
      return doing(window.sessionStorage);
    } catch (refused) {
      return null;
    }
  }

  // The other fields of the form, each beside what the page gave it

  const isChoice = ({ type }) => type === "radio" || type === "checkbox";
  const nameOf = (field) => [field.name, field.dataset.part || "", isChoice(field) ? field.value : ""].join(" ");
  const stands = (field) => (isChoice(field) ? field.checked : field.value);
  const wasGiven = (field) => (isChoice(field) ? field.defaultChecked : field.defaultValue);
  function fieldsOf(section) {
    const all = section.closest("form")?.querySelectorAll("input[name], textarea[name]") || [];
    return [...all].filter(({ name }) => name !== "view" && !isLine(name)); // how it is looked at, not what is written
  }
  const isLine = (name) => name.startsWith("line-");
  const linesOf = (section) => [...(section.closest("form")?.querySelectorAll("input[name^=line-]") || [])];
  const changedIn = (fields) => fields.filter((field) => stands(field) !== wasGiven(field)).map((field) => [nameOf(field), stands(field)]);
  function fill(fields, changed) {
    const told = new Map(changed);
    for (const field of fields.filter((each) => told.has(nameOf(each)))) {
      if (isChoice(field)) field.checked = told.get(nameOf(field));
      else field.value = told.get(nameOf(field));
    }
  }

  // Whether a marking holds what is typed; a size is written only beside the points that it belongs to
  const SIZED = { card: "card_1", scale: "scale_a" };
  function isSaid(typed, marking) {
    const asked = ["foot", "horse", "date", "stage", ...Object.keys(SIZED).filter((name) => SIZED[name] in marking.points)];
    return asked.every((name) => (typed[name] ?? "") === marking[name]);
  }

  class Draft {
    constructor(section, marks) {
      const { photo, workbook = "", marking = "" } = section.dataset;
      Object.assign(this, { section, marks, began: asTold(marks.points), clean: { ...marks.points }, typed: "[]", aside: false });
      this.place = `marking ${JSON.stringify([workbook, marking, photo])}`;
      this.linesPlace = `lines ${JSON.stringify([workbook, photo])}`;
    }
    // The lines to compare with are never written, so that they outlast a save; they are of the photograph
    keepLines() {
      const chosen = changedIn(linesOf(this.section));
      store((kept) => (chosen.length ? kept.setItem(this.linesPlace, JSON.stringify(chosen)) : kept.removeItem(this.linesPlace)));
    }
    takeUpLines() {
      const chosen = store((kept) => JSON.parse(kept.getItem(this.linesPlace))) || [];
      fill(linesOf(this.section), chosen);
      const box = this.section.querySelector("details.guides");
      if (box && chosen.length) box.open = true;
    }
    get changed() {
      return changedIn(fieldsOf(this.section));
    }
    // The points of every view of which something is not saved
    get names() {
      const { points, views } = this.marks;
      const isOpen = (name) => String(points[name]) !== String(this.clean[name]);
      const orders = Object.values(views).map(({ order }) => order);
      return [...new Set(orders.filter((order) => order.some(isOpen)).flat())];
    }
    // What is as the workbook has it needs no draft
    keep() {
      const { names, changed, began } = this;
      if (!names.length && JSON.stringify(changed) === this.typed) return this.aside || this.forget();
      const { points, done, skipped, view } = this.marks;
      const draft = {
        began, view, names, changed,
        points: only(names, points),
        done: done.filter(({ name }) => names.includes(name)),
        skipped: skipped.filter((name) => names.includes(name)),
      };
      store((kept) => kept.setItem(this.place, JSON.stringify(draft)));
    }
    // What became of the draft: "taken up", "left aside" since the workbook was changed meanwhile, or "" where there is none
    takeUp() {
      const draft = store((kept) => JSON.parse(kept.getItem(this.place)));
      if (!draft) return "";
      if (draft.began !== this.began) return this.leaveAside(draft);
      if (this.isHeld(draft)) return (this.forget(), "");
      const { points, done, skipped } = draft;
      for (const name of draft.names) this.marks.live(name, points[name]);
      Object.assign(this.marks, { done, skipped });
      fill(fieldsOf(this.section), draft.changed);
      this.open(draft.view);
      return "taken up";
    }
    // The first save of a marking whose answer was lost: the workbook has it among the photograph's other markings
    isHeld({ names, points, changed, view }) {
      const held = JSON.parse(this.section.dataset.held || "[]").map((marking) => JSON.parse(marking));
      if (!held.length || !names.length) return false;
      const fields = fieldsOf(this.section);
      const before = fields.map((field) => [nameOf(field), stands(field)]);
      fill(fields, changed);
      const typed = window.ledgerForm.typed(this.section.closest("form"));
      fill(fields, before);
      return held.some((marking) => marking.view === view && asTold(marking.points) === asTold(points) && isSaid(typed, marking));
    }
    // One that was saved, though the answer never came, is as the workbook is now
    leaveAside({ names, points, changed }) {
      const now = new Map(fieldsOf(this.section).map((field) => [nameOf(field), stands(field)]));
      const isSaved = asTold(only(names, this.marks.points)) === asTold(points) && changed.every(([name, value]) => now.get(name) === value);
      this.aside = !isSaved;
      if (isSaved) this.forget();
      return isSaved ? "" : "left aside";
    }
    // A draft opens with the view that it was left in
    open(view) {
      const choices = this.section.closest("form")?.querySelectorAll("input[name=view]") || [];
      const choice = [...choices].find(({ value }) => value === view);
      if (choice && !choice.checked) choice.click();
    }
    saved({ view, points } = { view: this.marks.view, points: this.marks.marked }) {
      for (const name of this.marks.views[view].order) this.clean[name] = points[name];
      Object.assign(this, { typed: JSON.stringify(this.changed), aside: false });
      this.keep();
    }
    unsaved() {
      for (const name of this.marks.asked.order) this.clean[name] = TAKEN_BACK;
      this.keep();
    }
    forget() {
      store((kept) => kept.removeItem(this.place));
    }
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, Draft };
})();
