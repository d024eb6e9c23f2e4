// Marking points on a photograph. A page holds a <section class="marking">; this fills its canvas, its panel and its
// list, says "points-changed" after every change, and keeps a draft in this tab until the page says that it is saved.
(function () {
  const { Shown, Marks, Draft, Picture, Panel, named, listenToPointers, listenToKeys, listenToUndo } = window.ledgerPhoto;
  const OFTEN = 100; // ms between two words of a point that is being dragged
  const CLOSER = 1.5;
  const KEYS =
    "Arrow keys move the point by one pixel of the picture, with Shift by ten; the first puts it in the middle. " +
    "Enter goes on to the next point, Delete takes the point off, plus and minus zoom, 0 shows the whole picture, " +
    "Control and Z undo, Tab leaves the picture.";

  const given = (section, name, otherwise) => JSON.parse(section.dataset[name] || otherwise);
  const viewOf = (section) => section.closest("form")?.querySelector("input[name=view]:checked")?.value;
  const GIVEN = ["photo", "src", "size", "points", "views", "workbook", "marking"];
  const asGiven = ({ dataset }) => GIVEN.map((name) => dataset[name] || "");
  const LEFT_ASIDE =
    "What was marked or typed here before and not saved is left aside: the workbook has other points now, which are those you see.";

  class Marking {
    constructor(section, before) {
      this.section = section;
      this.given = asGiven(section);
      this.canvas = section.querySelector(".canvas");
      this.ended = new AbortController();
      this.lines = [];
      const isSame = before && String(before.given.slice(0, 3)) === String(this.given.slice(0, 3));
      this.shown = isSame ? before.shown : new Shown(given(section, "size", "[1,1]"));
      this.marks = new Marks(given(section, "views", "{}"), given(section, "points", "{}"));
      this.draft = new Draft(section, this.marks);
      this.draft.takeUpLines();
      const draft = this.draft.takeUp();
      this.marks.setView(viewOf(section));
      this.panel = new Panel(section, this.wishes());
      this.show();
      this.listen();
      section.dispatchEvent(new CustomEvent("marking-ready", { bubbles: true }));
      if (draft === "left aside") this.panel.tell(LEFT_ASIDE);
      if (draft === "taken up") this.say();
    }

    // The picture in its window

    show() {
      const { photo, src } = this.section.dataset;
      this.picture = new Picture(src, this.shown, `Photograph ${photo}`);
      this.canvas.replaceChildren(this.picture.svg);
      this.canvas.style.setProperty("--ratio", `${this.shown.width} / ${this.shown.height}`);
      this.canvas.setAttribute("role", "application");
      this.canvas.setAttribute("aria-label", `Marking the photograph ${photo}. ${KEYS}`);
      this.picture.image.addEventListener("error", () => {
        this.canvas.append("This photograph cannot be shown. Load the page again.");
      });
      this.size();
    }
    size() {
      const { clientWidth, clientHeight } = this.canvas;
      if (!clientWidth || !clientHeight) return;
      this.picture.fit(clientWidth, clientHeight);
      this.drawNow();
    }
    draw() {
      this.waiting ??= requestAnimationFrame(() => this.drawNow());
    }
    drawNow() {
      cancelAnimationFrame(this.waiting);
      this.waiting = undefined;
      const { marks, shown, aiming } = this;
      const { marked, current } = marks;
      const pairs = (marks.asked.pairs || []).filter((pair) => pair.every((name) => marked[name]));
      this.picture.draw({ pairs, lines: this.lines, points: marked, current, aim: aiming && marked[current] });
      this.panel.draw(marks, shown);
    }

    // Word to the page

    say() {
      clearTimeout(this.toSay);
      this.toSay = null;
      const detail = { photo: this.section.dataset.photo, view: this.marks.view, points: this.marks.marked };
      this.section.dispatchEvent(new CustomEvent("points-changed", { bubbles: true, detail }));
    }
    sayNowAndThen() {
      this.toSay ??= setTimeout(() => this.say(), OFTEN);
    }
    changed() {
      this.draft.keep();
      this.drawNow();
      this.say();
    }

    // What hands and keys wish for

    wishes() {
      const { marks, shown } = this;
      const then = (doing) => () => (doing(), this.moveOn());
      const look = (doing) => (...how) => (doing(...how), this.draw());
      return {
        placeOf: (event) => this.picture.placeOf(event),
        isWhole: () => shown.isWhole,
        isNear: (at, within) => Math.hypot(...[0, 1].map((i) => at[i] - shown.toScreen(shown.inside(shown.toPicture(at)))[i])) <= within,
        hold: (at, reach) => this.hold(at, reach),
        takeHold: (name, at) => this.takeHold(name, at),
        aim: (at) => this.aim(at),
        drop: (moves) => this.drop(moves),
        letGo: () => this.letGo(),
        pan: look((dx, dy) => shown.pan(dx, dy)),
        zoom: look((factor, at) => shown.zoom(factor, at)),
        closer: look(() => shown.zoom(CLOSER, this.focus)),
        further: look(() => shown.zoom(1 / CLOSER, this.focus)),
        whole: look(() => shown.showWhole()),
        nudge: (dx, dy) => this.nudge(dx, dy),
        choose: (name) => this.choose(name),
        goOn: then(() => marks.goOn()),
        goBack: then(() => marks.goBack()),
        skip: then(() => marks.skip()),
        thatIsAll: then(() => (marks.thatIsAll(), this.canvas.focus({ preventScroll: true }))),
        takeOff: () => this.takeOff(),
        undo: () => this.undo(),
      };
    }
    // Buttons and keys zoom at the current point where it is seen, else at the middle
    get focus() {
      const [width, height] = this.shown.room;
      const point = this.marks.points[this.marks.current];
      const [x, y] = point ? this.shown.toScreen(point) : [-1, -1];
      return x >= 0 && y >= 0 && x <= width && y <= height ? [x, y] : [width / 2, height / 2];
    }
    moveOn() {
      this.draft.keep();
      this.bringIn();
      const { marks } = this;
      const { current } = marks;
      this.panel.tell(current ? `Now: ${named(marks, current)}, ${marks.asked.said?.[current] || ""}` : "Nothing more is asked for");
    }
    bringIn() {
      const point = this.marks.points[this.marks.current];
      if (point) this.shown.bringIn(point);
      this.drawNow();
    }
    choose(name) {
      this.marks.choose(name);
      this.moveOn();
      this.canvas.focus({ preventScroll: true });
      this.canvas.scrollIntoView({ block: "nearest" });
    }

    // A press: it aims with the point that is asked for, and names the ring that a drag would take hold of;
    // where no other point is asked for, it takes hold of that ring at once
    hold(at, reach) {
      const { marks } = this;
      const { current } = marks;
      const near = this.ringNear(at, reach);
      this.remember(current, current);
      if (near && (near === current || !marks.isAskedFor(current))) return this.takeHold(near, at);
      this.aiming = null;
      return { held: false, ring: near, offset: [0, 0] };
    }
    ringNear(at, reach) {
      const { marks, shown } = this;
      const far = (name) => Math.hypot(...shown.toScreen(marks.points[name]).map((value, i) => value - at[i]));
      const isNear = (name) => far(name) <= reach;
      const near = Object.keys(marks.marked).filter(isNear).sort((one, other) => far(one) - far(other));
      return near.includes(marks.current) ? marks.current : near[0];
    }
    remember(name, current) {
      this.before = { name, current, from: this.marks.points[name] ?? null };
    }
    // What was aimed with until now goes back to its place
    takeHold(ring, at) {
      const { marks, shown } = this;
      const { name, from, current } = this.before;
      if (name) marks.live(name, from);
      this.remember(ring, current);
      marks.choose(ring);
      this.aiming = true;
      this.draw();
      return { held: true, offset: shown.toScreen(marks.points[ring]).map((value, i) => value - at[i]) };
    }
    aim(at) {
      const { name } = this.before;
      if (!name) return;
      this.aiming = true;
      this.marks.live(name, this.shown.inside(this.shown.toPicture(at)));
      this.draw();
      this.sayNowAndThen();
    }
    drop(moves) {
      const { name, from } = this.before;
      this.aiming = false;
      const to = this.marks.points[name];
      if (!name || !moves) return this.moveOn();
      this.marks.change(name, to, from);
      this.marks.goOn();
      this.moveOn();
      this.changed();
    }
    letGo() {
      const { name, from, current } = this.before;
      this.aiming = false;
      if (!name) return;
      this.marks.live(name, from);
      this.marks.choose(current);
      this.draw();
      this.say();
    }
    nudge(dx, dy) {
      const { marks, shown } = this;
      const { current } = marks;
      if (!current) return this.panel.tell("Nothing more is asked for. Choose a point in the list.");
      const from = marks.points[current];
      const to = from ? shown.inside([from[0] + dx, from[1] + dy]) : shown.middle;
      marks.change(current, to, from, true);
      this.bringIn();
      this.panel.tell(`${named(marks, current)}: ${to[0]} across, ${to[1]} down`);
      this.changed();
    }
    takeOff() {
      const { marks } = this;
      if (!marks.points[marks.current] || !marks.change(marks.current, null)) return;
      this.panel.tell(`${named(marks, marks.current)} is taken off`);
      this.changed();
    }
    undo() {
      const name = this.marks.undo();
      if (!name) return this.panel.tell("There is nothing to undo");
      this.bringIn();
      this.panel.tell(`Undone: ${named(this.marks, name)}`);
      this.changed();
    }

    // Beginning and end

    listen() {
      const { signal } = this.ended;
      const wish = this.panel.wish;
      listenToPointers(this.canvas, wish, signal);
      listenToKeys(this.canvas, wish, signal);
      listenToUndo(this.section, wish, signal);
      for (const name of ["input", "change"])
        this.section.closest("form")?.addEventListener(name, () => (this.draft.keep(), this.draft.keepLines()), { signal });
      this.resized = new ResizeObserver(() => this.size());
      this.resized.observe(this.canvas);
      window.addEventListener("beforeprint", () => this.print(), { signal });
      window.addEventListener("afterprint", () => this.printed(), { signal });
    }
    end() {
      this.ended.abort();
      this.resized.disconnect();
      clearTimeout(this.toSay);
      cancelAnimationFrame(this.waiting);
    }
    // Paper shows the whole picture
    print() {
      const { scale, x, y } = this.shown;
      this.onScreen = { scale, x, y };
      this.shown.showWhole();
      this.drawNow();
    }
    printed() {
      Object.assign(this.shown, this.onScreen);
      this.drawNow();
    }
  }

  // Sections come and go as the page is drawn, and one may be given another photograph in its place

  const all = new Map();
  function watch() {
    for (const [section, marking] of all) if (!section.isConnected) (marking.end(), all.delete(section));
    for (const section of document.querySelectorAll("section.marking")) {
      const before = all.get(section);
      const stands = before && String(asGiven(section)) === String(before.given) && before.picture.svg.isConnected;
      if (stands || !section.querySelector(".canvas")) continue;
      before?.end();
      all.set(section, new Marking(section, before));
    }
  }
  document.addEventListener("change", (event) => {
    if (event.target.name !== "view") return;
    for (const [section, marking] of all) {
      if (section.closest("form") !== event.target.form) continue;
      marking.marks.setView(viewOf(section));
      marking.lines = [];
      marking.moveOn();
      marking.say();
    }
  });

  const doing = (section, what) => (all.get(section) ? what(all.get(section)) : undefined);
  window.ledgerMarking = {
    points: (section) => doing(section, ({ marks }) => marks.marked) || {},
    view: (section) => doing(section, ({ marks }) => marks.view),
    setLines: (section, lines) => doing(section, (marking) => ((marking.lines = lines), marking.draw())),
    saved: (section, said) => doing(section, ({ draft }) => draft.saved(said)),
    unsaved: (section) => doing(section, ({ draft }) => draft.unsaved()), // a save was taken back
  };

  const isOwn = ({ target }) => target.closest?.(".marking > .canvas, .marking > .point-now, .marking > .points");
  function begin() {
    watch();
    new MutationObserver((changes) => changes.every(isOwn) || watch()).observe(document.body, {
      childList: true,
      subtree: true,
      attributes: true,
      attributeFilter: GIVEN.map((name) => `data-${name}`),
    });
  }
  if (document.body) begin();
  else document.addEventListener("DOMContentLoaded", begin);
})();
