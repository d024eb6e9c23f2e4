// What a finger, a mouse and the keys do on a photograph. Each is told apart here and handed on as a plain wish:
// hold, aim, drop, let, zoom, pan, nudge and the like, which photo.js carries out.
(function () {
  const REACH = { touch: 18, other: 11 }; // how close to a ring takes hold of it, in screen pixels
  const STILL = { touch: 8, other: 3 }; // a press that moves less is a tap: it takes no ring along
  const BESIDE = 24; // a press this far outside the picture still means its edge
  const TURN = 1 / 400; // how much a turn of the wheel zooms
  const LINE = 16; // screen pixels of one line, where a wheel counts in lines

  const apart = ([ax, ay], [bx, by]) => Math.hypot(bx - ax, by - ay);
  const halfway = ([ax, ay], [bx, by]) => [(ax + bx) / 2, (ay + by) / 2];

  function listenToPointers(canvas, wish, signal) {
    const fingers = new Map(); // where each finger is
    let aiming = null; // the one finger that places or moves a point
    let panning = null;

    const by = (lengths, event) => (event.pointerType === "touch" ? lengths.touch : lengths.other);
    const listen = (name, doing, more) => canvas.addEventListener(name, doing, { signal, ...more });

    function down(event) {
      if (event.button > 1) return;
      const at = wish.placeOf(event);
      fingers.set(event.pointerId, at);
      canvas.setPointerCapture(event.pointerId);
      if (fingers.size > 1) return letGo();
      if (event.button === 1 || event.shiftKey) {
        event.preventDefault();
        panning = event.pointerId;
      } else if (wish.isNear(at, BESIDE)) {
        aiming = { id: event.pointerId, began: at, still: by(STILL, event), ...wish.hold(at, by(REACH, event)) };
        if (!aiming.held) wish.aim(at);
      }
    }
    function letGo() {
      if (aiming) wish.letGo();
      aiming = null;
    }
    function move(event) {
      const was = fingers.get(event.pointerId);
      if (!was) return;
      const at = wish.placeOf(event);
      if (fingers.size > 1) pinch(event.pointerId, was, at);
      else if (panning === event.pointerId) wish.pan(at[0] - was[0], at[1] - was[1]);
      else if (aiming) aimAt(at);
      fingers.set(event.pointerId, at);
    }
    // A point that is held keeps its distance to the finger, so that it does not jump. A ring that is only near is
    // taken hold of once the press is dragged; until then the press means the point that is asked for.
    function aimAt(at) {
      const { held, ring, moves, began, still } = aiming;
      if ((held || ring) && !moves && apart(at, began) < still) return;
      if (ring) Object.assign(aiming, { ring: null, ...wish.takeHold(ring, began) });
      aiming.moves = true;
      const [dx, dy] = aiming.offset;
      wish.aim([at[0] + dx, at[1] + dy]);
    }
    // What lay between two fingers stays between them
    function pinch(id, was, at) {
      const other = [...fingers].find(([finger]) => finger !== id)[1];
      const before = halfway(was, other);
      const now = halfway(at, other);
      wish.pan(now[0] - before[0], now[1] - before[1]);
      wish.zoom(apart(at, other) / Math.max(apart(was, other), 1), now);
    }
    function up(event) {
      if (!fingers.delete(event.pointerId)) return;
      if (panning === event.pointerId) panning = null;
      if (aiming?.id !== event.pointerId) return;
      const { held, moves } = aiming;
      aiming = null;
      wish.drop(!held || Boolean(moves));
    }
    function lost(event) {
      fingers.delete(event.pointerId);
      panning = null;
      letGo();
    }
    function wheel(event) {
      const turned = event.deltaY * (event.deltaMode === 1 ? LINE : 1);
      if (turned > 0 && wish.isWhole() && !event.ctrlKey) return; // the page scrolls on
      event.preventDefault();
      wish.zoom(Math.exp(-turned * TURN), wish.placeOf(event));
    }

    listen("pointerdown", down);
    listen("pointermove", move);
    listen("pointerup", up);
    listen("pointercancel", lost);
    listen("wheel", wheel, { passive: false });
    listen("contextmenu", (event) => fingers.size && event.preventDefault()); // a long press
    listen("dragstart", (event) => event.preventDefault());
    listen("keydown", (event) => event.key === "Escape" && letGo());
  }

  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const KEYS = {
    Enter: "goOn",
    Delete: "takeOff",
    Backspace: "takeOff",
    "+": "closer",
    "=": "closer",
    "-": "further",
    0: "whole",
  };

  // Only the keys named here are taken: Tab and all else go on to the page
  function listenToKeys(canvas, wish, signal) {
    const take = (event, doing) => {
      event.preventDefault();
      doing();
    };
    const key = (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const arrow = ARROWS[event.key];
      const step = event.shiftKey ? 10 : 1;
      if (arrow) take(event, () => wish.nudge(arrow[0] * step, arrow[1] * step));
      else if (KEYS[event.key]) take(event, wish[KEYS[event.key]]);
    };
    canvas.addEventListener("keydown", key, { signal });
  }
  function listenToUndo(section, wish, signal) {
    const isText = (target) => target.matches("textarea, select, input:not([type=radio], [type=checkbox])");
    const key = (event) => {
      const isUndo = (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === "z";
      if (!isUndo || isText(event.target)) return;
      event.preventDefault();
      wish.undo();
    };
    section.addEventListener("keydown", key, { signal });
  }

  window.ledgerPhoto = { ...window.ledgerPhoto, listenToPointers, listenToKeys, listenToUndo };
})();
