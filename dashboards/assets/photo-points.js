// The points of one photograph: which are marked, which is the current one, what can be undone. Nothing here touches the page.
(function () {
  const ONE_MOVE = 1000; // ms: arrow keys pressed in quick succession are undone together
  const line = (name) => /^line(\d)_/.exec(name)?.[1];
  const kin = (name) => /^(line\d|card|scale)_/.exec(name)?.[1];
  const isSame = (one, other) => String(one) === String(other);

  class Marks {
    constructor(views, points) {
      Object.assign(this, { views, points: { ...points }, done: [], skipped: [], current: null });
      this.setView(Object.keys(views)[0]);
    }

    // The view, and what it asks for

    setView(view) {
      if (!this.views[view]) return;
      this.view = view;
      this.goOn(-1);
    }
    get asked() {
      return this.views[this.view];
    }
    get offered() {
      return this.asked.order.filter((name) => this.isOffered(name));
    }
    // Growth lines come one after another: the next once the one before is complete
    isOffered(name) {
      const number = Number(line(name));
      if (!number || number === 1) return true;
      const ends = (of) => this.asked.order.filter((other) => Number(line(other)) === of);
      return ends(number - 1).every((end) => this.points[end]) || ends(number).some((end) => this.points[end]);
    }
    isOptional(name) {
      return this.asked.optional?.includes(name) || Boolean(line(name));
    }
    isSkipped(name) {
      return this.skipped.includes(name) && !this.points[name];
    }
    get marked() {
      return Object.fromEntries(this.asked.order.filter((name) => this.points[name]).map((name) => [name, this.points[name]]));
    }

    // The way through

    choose(name) {
      this.current = name;
    }
    // The next one that is open, from a place in the order on; then those that were left before it
    goOn(from = this.asked.order.indexOf(this.current)) {
      const { order } = this.asked;
      const inTurn = [...order.slice(from + 1), ...order.slice(0, from + 1)];
      this.current = inTurn.find((name) => this.isOpen(name)) ?? null;
    }
    isOpen(name) {
      return !this.points[name] && !this.skipped.includes(name) && this.isOffered(name);
    }
    // Whether a press means this point even where it lies beside the ring of another
    isAskedFor(name) {
      return Boolean(name) && (!this.points[name] || this.asked.order.some((other) => this.isOpen(other)));
    }
    goBack() {
      const { offered } = this;
      const at = offered.indexOf(this.current);
      if (at !== 0) this.current = offered.at(at > 0 ? at - 1 : -1);
    }
    // The corners of a card, the ends of a scale or a line are of no use one without the other
    skip() {
      const { current } = this;
      if (!current) return;
      this.setAside(this.asked.order.filter((name) => name === current || (kin(name) && kin(name) === kin(current))));
      this.goOn();
    }
    setAside(names) {
      this.skipped = [...new Set([...this.skipped, ...names.filter((name) => !this.points[name])])];
    }
    thatIsAll() {
      this.setAside(this.asked.order.filter((name) => this.isOptional(name)));
      this.goOn();
    }

    // Changes. `live` is for a point under a finger: it counts, but is not yet done.

    live(name, place) {
      if (place) this.points[name] = place;
      else delete this.points[name];
    }
    change(name, to, from = this.points[name] ?? null, nudge = false) {
      this.live(name, to);
      if (isSame(from, to)) return false;
      if (to) this.skipped = this.skipped.filter((other) => other !== name);
      const last = this.done.at(-1);
      const now = Date.now();
      const goesOn = nudge && last?.nudge && last.name === name && from && now - last.at < ONE_MOVE;
      if (goesOn) Object.assign(last, { to, at: now });
      else this.done.push({ name, from, to, nudge: nudge && Boolean(from), at: now });
      return true;
    }
    get lastDone() {
      return this.done.findLastIndex(({ name }) => this.asked.order.includes(name));
    }
    // Takes back the last change to a point of this view
    undo() {
      const at = this.lastDone;
      if (at < 0) return null;
      const [{ name, from }] = this.done.splice(at, 1);
      this.live(name, from);
      this.current = name;
      return name;
    }
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, Marks };
})();
