// The view itself, without the page builder around it: the picture, what lies over it, and its state.

import { readModel } from "airweft-canvas/data.js";
import { colourMark, flagged, makersLabel, partMark } from "airweft-canvas/labels.js";
import { makePicture } from "airweft-canvas/picture.js";
import { makeCut } from "./cut.js";
import { makeGround } from "./ground.js";
import { addPlaces, bubblesAt, middleOf, readNet } from "./net.js";
import { paintMeasures } from "./over.js";
import { bubbleAt, jointAt } from "./pick.js";
import { TEXT } from "./texts.js";

const REACH = 9; // page pixels around a joint within which it is meant
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
  let model = null;
  let picture = null;
  let cut = () => null;
  let last = null; // the last frame: {s, eye, how}
  let seenFrom = [0, 0];
  let cameraTimer = 0;

  const ground = makeGround(root, emit, {
    get model() {
      return model;
    },
    seen: () => last && { scratch: last.s, pixel: last.how.pixel },
    draw: () => picture.draw(),
    recolour: () => picture && picture.recolour(),
    jointAt: (x, y) => jointAt(last.s, model, bubblesAt, x, y, REACH * last.how.pixel),
    shown: () => last.how.shown,
    places: (joints) => joints.filter((j) => j < model.jointCount),
    rings: () => 8,
    under(ctx, { pixel }, look) {
      if (!state.measures || isStepping()) return false;
      paintMeasures(ctx, model, last.eye, look, pixel);
      return true;
    },
    behind: isBehind,
  });
  const { frame, main } = ground;
  ground.set({ step: null, section: null, measures: false });
  let { state } = ground;

  function take(part, whole) {
    const raw = ground.pack(part, whole);
    const first = !picture;
    model = addPlaces(raw.kind === "steps" ? readModel(raw) : readNet(raw), raw);
    const there = model.bubbleCount > 0;
    ground.adopt(model, there, TEXT.empty);
    cut = makeCut(model, state.section);
    if (there) {
      if (first) start();
      else picture.adopt(model, shown());
      if (first || isStepping()) picture.show(shown());
    }
    ground.tell("model");
  }

  function start() {
    picture = makePicture(main, model, {
      isDark: () => ground.look.dark,
      ground: () => ground.look.card,
      wheel: true,
      padding: () => [state.measures ? 56 : 18, 40, (state.section ? 124 : 64) + (state.measures ? 44 : 0)],
      cut: (matrix) => cut(matrix),
      over: framed,
      onLook: looked,
      ...ground.hands,
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
    ground.paint();
  }

  function isBehind(joint) {
    const front = bubbleAt(last.s, last.s.jx[joint], last.s.jy[joint]);
    return front >= 0 && !bubblesAt(model, joint).includes(front);
  }

  function looked(angles) {
    const same = angles[0] === seenFrom[0] && angles[1] === seenFrom[1];
    seenFrom = angles;
    ground.tell("look");
    if (same) return;
    clearTimeout(cameraTimer);
    cameraTimer = setTimeout(() => emit("camera", { around: angles[0], above: angles[1] }), 250);
  }

  function set(next) {
    const before = state;
    ground.set(next);
    state = ground.state;
    if (!model || !picture) return;
    if (state.section !== before.section) cut = makeCut(model, state.section);
    if (state.marks !== before.marks) {
      if (next.reveal) reveal();
      ground.tell("marks");
    }
    if (state.step !== before.step) {
      picture.show(shown());
      ground.tell("step");
    } else if (
      state.measures !== before.measures ||
      state.letters !== before.letters ||
      Boolean(state.section) !== Boolean(before.section)
    ) {
      picture.write({ label: shown().label });
      picture.refit();
    } else if (state.section !== before.section) {
      picture.draw();
    } else {
      ground.paint();
    }
    if (state.mode !== before.mode || state.measures !== before.measures || state.section !== before.section) {
      ground.tell("state");
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

  return {
    frame,
    main,
    take,
    set,
    on: ground.on,
    point: ground.point,
    use: ground.use,
    recolour: ground.recolour,
    get model() {
      return model;
    },
    get state() {
      return state;
    },
    get pointed() {
      return ground.pointed;
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
    camera(where) {
      if (!picture) return;
      const angles = typeof where === "string" ? NAMED[where] : where;
      if (angles) picture.lookFrom(angles);
      else picture.home();
    },
    close() {
      ground.close();
      clearTimeout(cameraTimer);
      if (picture) picture.close();
    },
  };
}
