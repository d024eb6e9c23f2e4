// Which part of a photograph is shown, and how large. Numbers only; nothing here touches the page.
(function () {
  const CLOSEST = 8; // screen pixels for one pixel of the picture
  const between = (low, value, high) => Math.min(Math.max(value, low), high);

  // Where the picture lies along one side of the window: in the middle while it is smaller, else without a gap
  const laid = (offset, length, room) => (length <= room ? (room - length) / 2 : between(room - length, offset, 0));

  class Shown {
    constructor([width, height]) {
      Object.assign(this, { width, height, room: [1, 1], scale: 0, x: 0, y: 0 });
    }

    get whole() {
      return Math.min(this.room[0] / this.width, this.room[1] / this.height);
    }
    get closest() {
      return Math.max(CLOSEST, this.whole * CLOSEST);
    }
    get isWhole() {
      return this.scale <= this.whole * 1.0001;
    }

    // Screen to picture and back; `inside` keeps a place within the picture and gives it to a tenth of a pixel
    toPicture([x, y]) {
      return [(x - this.x) / this.scale, (y - this.y) / this.scale];
    }
    toScreen([x, y]) {
      return [x * this.scale + this.x, y * this.scale + this.y];
    }
    inside([x, y]) {
      const tenth = (value) => Math.round(value * 10) / 10;
      return [tenth(between(0, x, this.width)), tenth(between(0, y, this.height))];
    }
    get middle() {
      return this.inside(this.toPicture([this.room[0] / 2, this.room[1] / 2]));
    }

    // A window of another size shows the same middle, as close as it was
    fit(width, height) {
      const was = { whole: this.isWhole, middle: this.toPicture([this.room[0] / 2, this.room[1] / 2]) };
      this.room = [width, height];
      if (was.whole) this.showWhole();
      else this.put(was.middle, [width / 2, height / 2]);
    }
    showWhole() {
      this.scale = this.whole;
      this.put([0, 0], [0, 0]);
    }

    // Lay a place of the picture onto a place of the screen
    put([px, py], [sx, sy], scale = this.scale) {
      this.scale = between(this.whole, scale, this.closest);
      this.x = laid(sx - px * this.scale, this.width * this.scale, this.room[0]);
      this.y = laid(sy - py * this.scale, this.height * this.scale, this.room[1]);
    }
    zoom(factor, screen) {
      this.put(this.toPicture(screen), screen, this.scale * factor);
    }
    pan(dx, dy) {
      this.put([0, 0], [this.x + dx, this.y + dy]);
    }
    // Moves only where the place would lie outside, or close to the edge
    bringIn(place, margin = 32) {
      const [sx, sy] = this.toScreen(place);
      const [width, height] = this.room;
      this.pan(between(margin, sx, width - margin) - sx, between(margin, sy, height - margin) - sy);
    }
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, Shown, between };
})();
