// A photograph and what is drawn over it: lines, rings, the loupe. Everything over it keeps its size on the screen.
(function () {
  const SVG = "http://www.w3.org/2000/svg";
  const CLOSER = 3; // how much the loupe magnifies what is shown
  const FINEST = 12; // and at most: screen pixels for one pixel of the picture
  const RING = { plain: 7, current: 11 };

  function drawn(tag, attributes, children = []) {
    const made = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    made.append(...children);
    return made;
  }
  const moved = (shown) => `translate(${shown.x} ${shown.y}) scale(${shown.scale})`;

  // Everything is drawn twice, dark and broad under light and thin, so that it is seen on any ground
  const twice = (tag, attributes, look) =>
    ["under", "over"].map((layer) => drawn(tag, { ...attributes, class: `${look} ${layer}` }));
  const stroke = ([ax, ay], [bx, by], look) => twice("line", { x1: ax, y1: ay, x2: bx, y2: by }, look);
  const ring = ([cx, cy], isCurrent) => {
    const look = isCurrent ? "ring current" : "ring";
    const r = isCurrent ? RING.current : RING.plain;
    return [...twice("circle", { cx, cy, r }, look), ...twice("circle", { cx, cy, r: 1.5 }, "dot")];
  };

  // A line between two rings leaves both open, so that what lies in them is seen
  function betweenRings([ax, ay], [bx, by]) {
    const part = RING.plain / Math.hypot(bx - ax, by - ay);
    if (part >= 0.5) return [];
    const [dx, dy] = [(bx - ax) * part, (by - ay) * part];
    return stroke([ax + dx, ay + dy], [bx - dx, by - dy], "pair");
  }

  class Picture {
    constructor(source, shown, label) {
      this.shown = shown;
      this.image = this.photograph(source);
      this.lines = drawn("g", { class: "lines" });
      this.rings = drawn("g", { class: "rings" });
      this.loupe = new Loupe(this.photograph(source), shown);
      this.svg = drawn("svg", { role: "img", "aria-label": label }, [this.image, this.lines, this.rings, this.loupe.drawn]);
    }
    photograph(source) {
      const { width, height } = this.shown;
      return drawn("image", { href: source, width, height, preserveAspectRatio: "none" });
    }

    // A place on the screen, as the drawing counts it: the same also where the page itself is magnified
    placeOf({ clientX, clientY }) {
      const box = this.svg.getBoundingClientRect();
      const [width, height] = this.shown.room;
      return [((clientX - box.left) * width) / box.width, ((clientY - box.top) * height) / box.height];
    }
    fit(width, height) {
      this.shown.fit(width, height);
      this.svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    }

    // pairs: of names; lines: each from place to place, with a look; points by name; aim: the place under a finger, if any
    draw({ pairs, lines, points, current, aim }) {
      const at = (place) => this.shown.toScreen(place);
      this.image.setAttribute("transform", moved(this.shown));
      this.lines.replaceChildren(
        ...pairs.flatMap(([one, other]) => betweenRings(at(points[one]), at(points[other]))),
        ...lines.flatMap(({ points: [a, b], look }) => stroke(at(a), at(b), look)),
      );
      const names = Object.keys(points).sort((one, other) => (one === current) - (other === current));
      this.rings.replaceChildren(...names.flatMap((name) => ring(at(points[name]), name === current)));
      this.loupe.show(aim);
    }
  }

  // A round magnified piece of the picture, in the upper corner away from the finger: a hand covers what is below it
  let loupes = 0;
  class Loupe {
    constructor(image, shown) {
      this.shown = shown;
      this.image = image;
      this.left = false;
      this.hole = drawn("circle", {});
      this.ground = drawn("circle", { class: "ground" });
      const id = `loupe-${++loupes}`;
      const clip = drawn("clipPath", { id }, [this.hole]);
      const inside = drawn("g", { "clip-path": `url(#${id})` }, [this.ground, image]);
      this.cross = drawn("g", {});
      this.edge = twice("circle", {}, "edge");
      this.drawn = drawn("g", { class: "loupe", "aria-hidden": "true" }, [clip, inside, this.cross, ...this.edge]);
      this.drawn.style.display = "none";
    }
    show(aim) {
      this.drawn.style.display = aim ? "" : "none";
      if (!aim) return;
      const [width, height] = this.shown.room;
      const radius = Math.min(72, width * 0.16, height * 0.3);
      const [sx] = this.shown.toScreen(aim);
      if (Math.abs(sx - width / 2) > width * 0.04) this.left = sx > width / 2;
      const middle = [this.left ? radius + 8 : width - radius - 8, radius + 8];
      this.magnify(aim, middle, radius);
      this.cross.replaceChildren(...crossed(middle, radius));
    }
    magnify([px, py], [x, y], radius) {
      const scale = Math.max(this.shown.scale, Math.min(this.shown.scale * CLOSER, FINEST));
      this.image.setAttribute("transform", `translate(${x - px * scale} ${y - py * scale}) scale(${scale})`);
      for (const circle of [this.hole, this.ground, ...this.edge]) place(circle, { cx: x, cy: y, r: radius });
    }
  }
  const place = (made, numbers) => Object.entries(numbers).forEach(([name, value]) => made.setAttribute(name, value));

  // The cross leaves its middle free, so that the place itself is seen
  function crossed([x, y], radius) {
    const gap = 5;
    const arms = [[-radius, -gap], [gap, radius]];
    return arms.flatMap(([from, to]) => [
      ...stroke([x + from, y], [x + to, y], "cross"),
      ...stroke([x, y + from], [x, y + to], "cross"),
    ]);
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, Picture };
})();
