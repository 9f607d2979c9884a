// The view itself, without the page builder around it: the picture, what lies over it, and its state.

import { readModel } from "airweft-canvas/data.js";
import { colourMark, flagged, makersLabel, partMark } from "airweft-canvas/labels.js";
import { makePicture } from "airweft-canvas/picture.js";
import { makeCut } from "./cut.js";
import { readLook, watchLook } from "./look.js";
import { addPlaces, bubblesAt, middleOf, readNet } from "./net.js";
import { paintMarked, paintMeasures, paintPointed } from "./over.js";
import { bubbleAt, jointAt } from "./pick.js";
import { element } from "./registry.js";
import { makeStrokes } from "./strokes.js";
import { TEXT } from "./texts.js";

const REACH = 9; // page pixels around a joint within which it is meant
const PING = 900; // ms for which new marks draw the eye
const NAMED = {
  corner: null,
  front: [0, 8],
  right: [90, 8],
  back: [180, 8],
  left: [270, 8],
  above: [0, 90],
  below: [0, -90],
};

// `root` is the element to fill; `emit(name, args)` tells the page: pick, stroke, camera.
export function makeStage(root, emit) {
  const frame = element("div", "pv-frame");
  const main = element("canvas", "pv-main");
  const over = element("canvas", "pv-over");
  over.setAttribute("aria-hidden", "true");
  const empty = element("p", "pv-empty", TEXT.empty);
  frame.append(main, over, empty);
  root.append(frame);
  const overCtx = over.getContext("2d");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const calls = new Map();
  let raw = null;
  let model = null;
  let picture = null;
  let look = readLook(root);
  let cut = () => null;
  let last = null; // the last frame: {s, eye, how}
  let overFrame = 0;
  let pinged = -1e9;
  let state = { mode: "look", brush: "", letters: true, marks: [], step: null, section: null, measures: false };
  let pointed = -1;
  let seenFrom = [0, 0];
  let cameraTimer = 0;

  function tell(kind) {
    for (const call of calls.get(kind) || []) call();
  }

  // A pack may bring only what has changed since the last one.
  function take(part, whole) {
    raw = whole ? part : { ...raw, ...part };
    const kind = raw.kind === "steps" ? readModel(raw) : readNet(raw);
    const first = !picture;
    model = addPlaces(kind, raw);
    strokes.keepOwn(model);
    pointed = pointed < model.bubbleCount ? pointed : -1;
    empty.hidden = model.bubbleCount > 0;
    main.style.visibility = over.style.visibility = model.bubbleCount ? "" : "hidden";
    cut = makeCut(model, state.section);
    if (model.bubbleCount) {
      if (first) start();
      else picture.adopt(model, shown());
      if (first || isStepping()) picture.show(shown());
    }
    tell("model");
  }

  function start() {
    picture = makePicture(main, model, {
      isDark: () => look.dark,
      ground: () => look.card,
      wheel: true,
      padding: () => [state.measures ? 56 : 18, 40, (state.section ? 124 : 64) + (state.measures ? 44 : 0)],
      cut: (matrix) => cut(matrix),
      over: framed,
      onLook: looked,
      grab: (event) =>
        state.mode === "paint" && event.button === 0 && !event.shiftKey ? strokes.begin(event) : null,
      tap: (event) => pickAt(...spot(event)),
    });
  }

  const isStepping = () => state.step !== null && model.stops.length > 0;

  // The stop that is shown; null for the finished piece.
  function currentStop() {
    return isStepping() && state.step < model.stops.length ? model.stops[state.step] : null;
  }

  function shown() {
    const whole = { base: 0, colour: model.colour, made: 0, shown: model.bubbleCount, whole: true };
    const stop = model.stops.length ? currentStop() : null;
    if (!stop) {
      const label = state.letters ? colourMark(model) : null;
      return { ...whole, locks: [], named: [], label, view: model.cover };
    }
    return {
      base: stop.base,
      colour: stop.joins ? model.partColour : model.colour,
      made: stop.firstBubble,
      shown: stop.lastBubble,
      whole: Boolean(stop.joins),
      locks: stop.locks,
      named: flagged(model, stop, stop.text || model.steps[stop.step].text),
      label: stop.joins ? partMark(model) : makersLabel(model, stop),
      view: stop.view,
      type: 13,
    };
  }

  // After every frame of the picture: what lies over it follows.
  function framed(s, eye, how) {
    last = { s, eye, how };
    paintOver();
  }

  function drawOver() {
    if (!overFrame) overFrame = requestAnimationFrame(paintOver);
  }

  function paintOver() {
    overFrame = 0;
    if (!last) return;
    const { s, eye, how } = last;
    if (over.width !== main.width || over.height !== main.height) {
      over.width = main.width;
      over.height = main.height;
    }
    overCtx.setTransform(1, 0, 0, 1, 0, 0);
    overCtx.clearRect(0, 0, over.width, over.height);
    if (state.measures && !isStepping()) paintMeasures(overCtx, model, eye, look, how.pixel);
    const ping = calm.matches ? 1 : Math.min(1, (performance.now() - pinged) / PING);
    paintMarked(overCtx, s, inModel(state.marks), look, how.pixel, ping, 8, isBehind);
    if (ping < 1) drawOver();
    if (pointed >= 0 && pointed < how.shown) paintPointed(overCtx, s, pointed, look, how.pixel);
  }

  function isBehind(joint) {
    const front = bubbleAt(last.s, last.s.jx[joint], last.s.jy[joint]);
    return front >= 0 && !bubblesAt(model, joint).includes(front);
  }

  const inModel = (marks) =>
    marks.map(({ tone, bubbles, joints }) => ({
      tone,
      bubbles: bubbles.filter((i) => i < (last ? last.how.shown : 0)),
      joints: joints.filter((j) => j < model.jointCount),
    }));

  function looked(angles) {
    const same = angles[0] === seenFrom[0] && angles[1] === seenFrom[1];
    seenFrom = angles;
    tell("look");
    if (same) return;
    clearTimeout(cameraTimer);
    cameraTimer = setTimeout(() => emit("camera", { around: angles[0], above: angles[1] }), 250);
  }

  // A place of the page in canvas pixels.
  function spot(event) {
    const box = main.getBoundingClientRect();
    return [
      ((event.clientX - box.left) * main.width) / Math.max(1, box.width),
      ((event.clientY - box.top) * main.height) / Math.max(1, box.height),
    ];
  }

  function pickAt(x, y) {
    if (!last) return;
    const joint = jointAt(last.s, model, bubblesAt, x, y, REACH * last.how.pixel);
    const bubble = bubbleAt(last.s, x, y);
    emit("pick", { bubbles: bubble < 0 ? [] : [bubble], joint, serial: raw.serial });
  }

  function point(i) {
    if (i === pointed) return;
    pointed = i;
    drawOver();
    tell("pointed");
  }

  main.addEventListener("pointermove", (event) => {
    if (event.pointerType === "mouse" && !event.buttons && last) point(bubbleAt(last.s, ...spot(event)));
  });
  main.addEventListener("pointerleave", () => point(-1));

  const strokes = makeStrokes({
    stage: {
      get model() {
        return model;
      },
      seen: () => picture.seen,
      spot,
    },
    brush: () => state.brush,
    changed() {
      picture.draw();
      tell("colours");
    },
    tell: (bubbles, number, done) => emit("stroke", { bubbles, number, done, serial: raw.serial }),
  });

  function set(next) {
    const before = state;
    state = { ...state, ...next };
    frame.dataset.mode = state.mode;
    if (!model || !picture) return;
    if (state.section !== before.section) cut = makeCut(model, state.section);
    if (state.marks !== before.marks) {
      pinged = performance.now();
      if (next.reveal) reveal();
      tell("marks");
    }
    if (state.step !== before.step) {
      picture.show(shown());
      tell("step");
    } else if (
      state.measures !== before.measures ||
      state.letters !== before.letters ||
      Boolean(state.section) !== Boolean(before.section)
    ) {
      picture.write({ label: shown().label });
      picture.refit();
    } else {
      picture.draw();
    }
    if (state.mode !== before.mode || state.measures !== before.measures || state.section !== before.section) {
      tell("state");
    }
  }

  // Turns to what is marked where none of it is seen.
  function reveal() {
    const bubbles = state.marks.flatMap((mark) => [
      ...mark.bubbles,
      ...mark.joints.flatMap((joint) => bubblesAt(model, joint)),
    ]);
    const inside = bubbles.filter((i) => i < model.bubbleCount);
    if (!inside.length || !last || inside.some((i) => bubbleAt(last.s, last.s.cx[i], last.s.cy[i]) === i)) return;
    const out = [0, 0, 0];
    for (const i of inside) for (let k = 0; k < 3; k++) out[k] += model.normal[3 * i + k];
    if (Math.hypot(...out) < 1) {
      const middle = middleOf(model, inside[0]);
      for (let k = 0; k < 3; k++) out[k] = middle[k] - model.scene.middle[k];
    }
    const long = Math.hypot(...out) || 1;
    const above = Math.max(-60, Math.min(60, (Math.asin(out[2] / long) * 180) / Math.PI));
    picture.lookFrom([(Math.atan2(out[0], -out[1]) * 180) / Math.PI, above]);
  }

  const unwatch = watchLook(() => {
    const next = readLook(root);
    if (JSON.stringify(next) === JSON.stringify(look)) return;
    look = next;
    if (picture) picture.recolour();
  });

  return {
    frame,
    main,
    take,
    set,
    point,
    get model() {
      return model;
    },
    get state() {
      return state;
    },
    get pointed() {
      return pointed;
    },
    get seenFrom() {
      return seenFrom;
    },
    get picture() {
      return picture;
    },
    get last() {
      return last;
    },
    currentStop,
    // Colours that were painted elsewhere, as [bubble, colour].
    recolour(changed) {
      for (const [i, colour] of changed) model.colour[i] = colour;
      picture.draw();
    },
    camera(where) {
      if (!picture) return;
      const angles = typeof where === "string" ? NAMED[where] : where;
      if (angles) picture.lookFrom(angles);
      else picture.home();
    },
    // What a click on bubble i or joint j would do, for keys and lists.
    use(i, j = -1) {
      if (state.mode === "paint" && i >= 0) strokes.dab(i);
      else emit("pick", { bubbles: i < 0 ? [] : [i], joint: j, serial: raw.serial });
    },
    on(kind, call) {
      const list = calls.get(kind) || new Set();
      calls.set(kind, list.add(call));
      return () => list.delete(call);
    },
    close() {
      unwatch();
      clearTimeout(cameraTimer);
      cancelAnimationFrame(overFrame);
      if (picture) picture.close();
    },
  };
}
