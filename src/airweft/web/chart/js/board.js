// The chart itself, without the page builder around it: a flat picture that is moved, picked, painted.

import { listenToHands } from "airweft-canvas/hands.js";
import { readLook, watchLook } from "airweft-view/look.js";
import { paintMarked, paintPointed } from "airweft-view/over.js";
import { bubbleAt } from "airweft-view/pick.js";
import { element } from "airweft-view/registry.js";
import { makeStrokes } from "airweft-view/strokes.js";
import { TEXT } from "airweft-view/texts.js";
import { arrange, makePlaces, place, readChart } from "./data.js";
import { paintChart } from "./draw.js";

const WIDEST = 38; // page pixels to a column when the whole chart is shown
const CLOSEST = 90; // and at most
const BUTTONS = 52; // page pixels at the bottom for the buttons
const REACH = 9; // page pixels around a joint within which it is meant
const PING = 900; // ms for which new marks draw the eye

export function makeBoard(root, emit) {
  const frame = element("div", "pv-frame");
  const main = element("canvas", "pv-main");
  const over = element("canvas", "pv-over");
  over.setAttribute("aria-hidden", "true");
  const empty = element("p", "pv-empty");
  frame.append(main, over, empty);
  root.append(frame);
  const ctx = main.getContext("2d", { alpha: false });
  const overCtx = over.getContext("2d");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const calls = new Map();
  let raw = null;
  let model = null;
  let s = null;
  let look = readLook(root);
  let state = { mode: "look", brush: "", letters: true, marks: [] };
  let pointed = -1;
  let eye = null; // {scale, x, y} in page pixels
  let fitted = null;
  let set = null; // how the parts are set: {wide, high, shifts}
  let frameAsked = 0;
  let overAsked = 0;
  let pinged = -1e9;
  let pixel = 1;

  function tell(kind) {
    for (const call of calls.get(kind) || []) call();
  }

  function take(part, whole) {
    raw = whole ? part : { ...raw, ...part };
    model = readChart(raw);
    strokes.keepOwn(model);
    s = makePlaces(model);
    if (pointed >= model.bubbleCount) pointed = -1;
    empty.hidden = model.charted > 0;
    empty.textContent = model.bubbleCount ? TEXT.noChart : TEXT.empty;
    main.style.visibility = over.style.visibility = model.charted ? "" : "hidden";
    fit();
    draw();
    tell("model");
  }

  // Shows the whole chart, unless the maker has come closer.
  function fit(again) {
    const box = main.getBoundingClientRect();
    if (!model || !model.charted || box.width < 2) return;
    const room = box.height - BUTTONS;
    set = arrange(model, box.width, room);
    const scale = Math.min(WIDEST, box.width / set.wide, room / set.high);
    const next = {
      scale,
      x: (box.width - set.wide * scale) / 2,
      y: (room - set.high * scale) / 2,
    };
    const atHome = !eye || !fitted || (eye.scale === fitted.scale && eye.x === fitted.x && eye.y === fitted.y);
    fitted = next;
    if (atHome || again) eye = { ...next };
  }

  function draw() {
    if (!frameAsked) frameAsked = requestAnimationFrame(paintNow);
  }

  function drawOver() {
    if (!overAsked) overAsked = requestAnimationFrame(paintOver);
  }

  function paintNow() {
    frameAsked = 0;
    const box = main.getBoundingClientRect();
    if (!model || !eye || box.width < 2) return;
    pixel = Math.min(window.devicePixelRatio || 1, 3);
    for (const canvas of [main, over]) {
      const width = Math.round(box.width * pixel);
      const height = Math.round(box.height * pixel);
      if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
      }
    }
    const unit = eye.scale * pixel;
    const at = { x: eye.x * pixel, y: eye.y * pixel };
    place(model, s, set.shifts, unit, at.x, at.y);
    const { letters } = state;
    paintChart(ctx, model, s, { ...at, unit, px: pixel, look, letters, shifts: set.shifts });
    paintOver();
  }

  function paintOver() {
    overAsked = 0;
    if (!model || !eye) return;
    overCtx.clearRect(0, 0, over.width, over.height);
    const ping = calm.matches ? 1 : Math.min(1, (performance.now() - pinged) / PING);
    const marks = state.marks.map(({ tone, bubbles, joints }) => ({
      tone,
      bubbles: bubbles.filter((i) => i < model.bubbleCount),
      joints: [...model.jointOf.keys()].filter((k) => joints.includes(model.jointOf[k])),
    }));
    paintMarked(overCtx, s, marks, look, pixel, ping, Math.min(8, eye.scale * 0.45));
    if (ping < 1) drawOver();
    if (pointed >= 0) paintPointed(overCtx, s, pointed, look, pixel);
  }

  function spot(event) {
    const box = main.getBoundingClientRect();
    return [
      ((event.clientX - box.left) * main.width) / Math.max(1, box.width),
      ((event.clientY - box.top) * main.height) / Math.max(1, box.height),
    ];
  }

  function pan(dx, dy) {
    if (!eye) return;
    eye = { ...eye, x: eye.x + dx, y: eye.y + dy };
    keepInside();
    draw();
  }

  // Some of the chart stays on the canvas, however far it is pushed.
  function keepInside() {
    const within = (at, size, room) => Math.max(60 - size, Math.min(room - 60, at));
    eye.x = within(eye.x, set.wide * eye.scale, main.clientWidth);
    eye.y = within(eye.y, set.high * eye.scale, main.clientHeight);
  }

  // Comes closer to the point (x, y), in page pixels from the middle.
  function zoom(factor, x, y) {
    if (!eye) return;
    const scale = Math.max(fitted.scale * 0.6, Math.min(CLOSEST, eye.scale * factor));
    const k = scale / eye.scale;
    const px = x + main.clientWidth / 2;
    const py = y + main.clientHeight / 2;
    eye = { scale, x: px - (px - eye.x) * k, y: py - (py - eye.y) * k };
    keepInside();
    draw();
  }

  function home() {
    fit(true);
    draw();
  }

  listenToHands(
    main,
    {
      turn(around, up) {
        const reach = Math.min(main.clientWidth, main.clientHeight) || 1;
        pan((around * reach) / -Math.PI, (up * reach) / Math.PI);
      },
      pan,
      zoom,
      roll() {},
      home,
      grab: (event) =>
        state.mode === "paint" && event.button === 0 && !event.shiftKey && model
          ? strokes.begin(event)
          : null,
      tap: (event) => pickAt(...spot(event)),
    },
    true,
  );

  function pickAt(x, y) {
    if (!model) return;
    let joint = -1;
    let least = (REACH * pixel) ** 2;
    for (let k = 0; k < s.jx.length; k++) {
      const far = (s.jx[k] - x) ** 2 + (s.jy[k] - y) ** 2;
      if (far < least) {
        least = far;
        joint = model.jointOf[k];
      }
    }
    const bubble = bubbleAt(s, x, y);
    emit("pick", { bubbles: bubble < 0 ? [] : [bubble], joint, serial: raw.serial });
  }

  function point(i) {
    if (i === pointed) return;
    pointed = i;
    drawOver();
    tell("pointed");
  }

  main.addEventListener("pointermove", (event) => {
    if (event.pointerType === "mouse" && !event.buttons && model) point(bubbleAt(s, ...spot(event)));
  });
  main.addEventListener("pointerleave", () => document.activeElement !== main && point(-1));

  const strokes = makeStrokes({
    stage: {
      get model() {
        return model;
      },
      seen: () => ({ scratch: s, pixel }),
      spot,
    },
    brush: () => state.brush,
    changed() {
      draw();
      tell("colours");
    },
    tell: (bubbles, number, done) => emit("stroke", { bubbles, number, done, serial: raw.serial }),
  });

  const unwatch = watchLook(() => {
    look = readLook(root);
    draw();
  });
  const watch = new ResizeObserver(() => {
    fit();
    draw();
  });
  watch.observe(main);

  return {
    frame,
    main,
    take,
    point,
    pan,
    zoom,
    home,
    get model() {
      return model;
    },
    get state() {
      return state;
    },
    get pointed() {
      return pointed;
    },
    get places() {
      return { s, pixel };
    },
    // How the chart lies: the eye in page pixels, and where each part is set in columns.
    get view() {
      return { eye, set };
    },
    set(next) {
      if (next.marks && next.marks !== state.marks) pinged = performance.now();
      state = { ...state, ...next };
      frame.dataset.mode = state.mode;
      draw();
    },
    // Colours that were painted elsewhere, as [bubble, colour].
    recolour(changed) {
      for (const [i, colour] of changed) model.colour[i] = colour;
      draw();
    },
    use(i) {
      if (i < 0) return;
      if (state.mode === "paint") strokes.dab(i);
      else emit("pick", { bubbles: [i], joint: -1, serial: raw.serial });
    },
    on(kind, call) {
      const list = calls.get(kind) || new Set();
      calls.set(kind, list.add(call));
      return () => list.delete(call);
    },
    close() {
      unwatch();
      watch.disconnect();
      cancelAnimationFrame(frameAsked);
      cancelAnimationFrame(overAsked);
    },
  };
}
