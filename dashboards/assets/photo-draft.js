// The draft of one photograph: what was marked stays in this tab, with all that can be undone, until it is saved.
(function () {
  const asTold = (points) => JSON.stringify(Object.entries(points).sort());

  // Where the browser keeps nothing, there is no draft
  function store(doing) {
    try {
      return doing(window.sessionStorage);
    } catch (refused) {
      return null;
    }
  }

  class Draft {
    constructor(section, marks) {
      Object.assign(this, { section, marks, clean: asTold(marks.points) });
      this.place = `marking ${section.dataset.workbook || ""} ${section.dataset.photo}`;
    }
    // What is as the workbook has it needs no draft
    keep() {
      const { points, done, skipped, view } = this.marks;
      if (asTold(points) === this.clean) return this.forget();
      store((kept) => kept.setItem(this.place, JSON.stringify({ points, done, skipped, view })));
    }
    // A draft opens with the view that it was left in
    takeUp() {
      const draft = store((kept) => JSON.parse(kept.getItem(this.place)));
      if (!draft) return false;
      const { view, ...rest } = draft;
      Object.assign(this.marks, rest);
      const choices = this.section.closest("form")?.querySelectorAll("input[name=view]") || [];
      const choice = [...choices].find(({ value }) => value === view);
      if (choice && !choice.checked) choice.click();
      return true;
    }
    saved() {
      this.clean = asTold(this.marks.points);
      this.forget();
    }
    unsaved() {
      this.clean = "";
      this.keep();
    }
    forget() {
      store((kept) => kept.removeItem(this.place));
    }
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, Draft };
})();
