// What stands beside the picture: the point that is asked for, the buttons, the list of all points.
(function () {
  const BUTTONS = [
    ["goBack", "Back"],
    ["skip", "Skip"],
    ["undo", "Undo"],
    ["takeOff", "Take off"],
    ["closer", "Closer"],
    ["further", "Further"],
    ["whole", "Whole picture"],
    ["thatIsAll", "That is all"],
  ];
  const made = (tag, properties = {}, children = []) => {
    const element = Object.assign(document.createElement(tag), properties);
    element.append(...children);
    return element;
  };
  const button = (text, properties) => made("button", { type: "button", textContent: text, ...properties });
  const able = (of, can) => of.setAttribute("aria-disabled", String(!can));

  class Panel {
    constructor(section, wish) {
      this.box = section.querySelector(".point-now");
      this.list = section.querySelector(".points");
      this.wish = wish;
      this.drawing = made("img", { className: "where", alt: "" });
      this.name = made("p", { className: "name" });
      this.said = made("p");
      this.state = made("p", { className: "small" });
      this.told = made("p", { className: "told" });
      this.told.setAttribute("role", "status");
      this.buttons = Object.fromEntries(BUTTONS.map(([doing, text]) => [doing, this.does(doing, text)]));
      const words = made("div", {}, [this.name, this.said, this.state]);
      const asked = made("div", { className: "asked" }, [this.drawing, words]);
      const doing = made("div", { className: "doing" }, Object.values(this.buttons));
      this.box.replaceChildren(asked, doing, this.told);
    }
    does(doing, text) {
      const made = button(text);
      made.addEventListener("click", () => made.getAttribute("aria-disabled") === "true" || this.wish[doing]());
      return made;
    }
    tell(sentence) {
      this.told.textContent = sentence;
    }

    draw(marks, shown) {
      if (this.view !== marks.view) this.begin(marks);
      this.ask(marks);
      this.tick(marks);
      const { goBack, skip, undo, takeOff, closer, further, whole, thatIsAll } = this.buttons;
      able(goBack, marks.current !== marks.offered[0]);
      able(skip, Boolean(marks.current));
      able(undo, marks.lastDone >= 0);
      able(takeOff, Boolean(marks.points[marks.current]));
      able(closer, shown.scale < shown.closest);
      able(further, !shown.isWhole);
      able(whole, !shown.isWhole);
      thatIsAll.hidden = !marks.current || !marks.isOptional(marks.current);
    }

    // The list is made once for a view, and then kept up to date in its place, so that focus stays
    begin(marks) {
      this.view = marks.view;
      this.items = marks.asked.order.map((name) => {
        const state = made("span", { className: "state" });
        const choose = button("", { value: name });
        choose.append(made("span", { className: "sign", ariaHidden: "true" }), made("span", { textContent: named(marks, name) }), state);
        choose.addEventListener("click", () => this.wish.choose(name));
        return made("li", {}, [choose]);
      });
      this.list.replaceChildren(...this.items);
    }
    tick(marks) {
      const { offered } = marks;
      for (const item of this.items) {
        const choose = item.firstChild;
        const name = choose.value;
        const state = marks.points[name] ? "marked" : marks.isSkipped(name) ? "skipped" : "not marked";
        item.hidden = !offered.includes(name);
        choose.dataset.state = state;
        choose.querySelector(".state").textContent = state;
        if (name !== marks.current) choose.removeAttribute("aria-current");
        else if (!choose.hasAttribute("aria-current")) this.bringIn(choose);
      }
    }
    // Where the list scrolls by itself, the current point is seen in it; the page stays where it is
    bringIn(choose) {
      choose.setAttribute("aria-current", "step");
      const { top, bottom } = this.list.getBoundingClientRect();
      const seen = choose.getBoundingClientRect();
      this.list.scrollTop += Math.min(seen.top - top, 0) + Math.max(seen.bottom - bottom, 0);
    }
    ask(marks) {
      const { current, offered, asked } = marks;
      const drawing = current && asked.drawings?.[current];
      this.drawing.hidden = !drawing;
      if (drawing && this.drawing.src !== drawing) this.drawing.src = drawing;
      this.name.textContent = current ? named(marks, current) : "Nothing more is asked for";
      this.said.textContent = current ? asked.said?.[current] || "" : "To mark or move a point, choose it in the list or press on its ring.";
      const standing = marks.points[current] ? "marked" : marks.isSkipped(current) ? "skipped" : "not marked yet";
      const count = `${offered.indexOf(current) + 1} of ${offered.length}, ${standing}${marks.isOptional(current) ? ", can be left out" : ""}`;
      const open = offered.filter((name) => !marks.points[name]).length;
      this.state.textContent = current ? count : open ? `Skipped: ${open}` : "";
    }
  }
  const named = (marks, name) => marks.asked.names?.[name] || name;

  window.ledgerPhoto = { ...window.ledgerPhoto, Panel, named };
})();
