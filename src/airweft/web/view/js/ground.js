// What the view and the flat chart share: two canvases in a frame, what is pointed to, marked, picked
// and painted there, and who wants to know.

import { readLook, watchLook } from "./look.js";
import { paintMarked, paintPointed } from "./over.js";
import { bubbleAt } from "./pick.js";
import { element } from "./registry.js";
import { makeStrokes } from "./strokes.js";

const PING = 900; // ms for which new marks draw the eye

// `root` is the element to fill; `emit(name, args)` tells the page: pick, stroke. `own` is what differs:
//   model        the piece that is shown, or null
//   seen()       {scratch, pixel} of the last frame, or null before there is one
//   draw()       has the next frame painted; the frame then calls `paint` of the ground
//   recolour()   the page has other colours now
//   jointAt(x, y)           the joint that is meant there, or -1
//   shown()      how many bubbles the last frame showed
//   places(joints)          where joints lie in the scratch
//   rings()                 how large the rings on joints are, in page pixels
// and where they are wanted: under(ctx, seen, look) paints below the marks and returns whether it has
// painted anything, behind(joint) says which joints lie behind, walks: keys point to bubbles too.
export function makeGround(root, emit, own) {
  const frame = element("div", "pv-frame");
  const main = element("canvas", "pv-main");
  const over = element("canvas", "pv-over");
  over.setAttribute("aria-hidden", "true");
  const empty = element("p", "pv-empty");
  frame.append(main, over, empty);
  root.append(frame);
  const ctx = over.getContext("2d");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const calls = new Map();
  let raw = null;
  let look = readLook(root);
  let state = { mode: "look", brush: "", letters: true, marks: [] };
  let pointed = -1;
  let asked = 0;
  let pinged = -1e9;

  function tell(kind) {
    for (const call of calls.get(kind) || []) call();
  }

  function drawOver() {
    if (!asked) asked = requestAnimationFrame(paint);
  }

  function paint() {
    asked = 0;
    const seen = own.seen();
    if (!seen) return;
    if (over.width !== main.width || over.height !== main.height) {
      over.width = main.width;
      over.height = main.height;
    }
    if (!over.hidden) ctx.clearRect(0, 0, over.width, over.height);
    const { scratch, pixel } = seen;
    const under = Boolean(own.under && own.under(ctx, seen, look));
    const ping = calm.matches ? 1 : Math.min(1, (performance.now() - pinged) / PING);
    const marks = state.marks.map(({ tone, bubbles, joints }) => ({
      tone,
      bubbles: bubbles.filter((i) => i < own.shown()),
      joints: own.places(joints),
    }));
    paintMarked(ctx, scratch, marks, look, pixel, ping, own.rings(), own.behind);
    if (ping < 1) drawOver();
    const pointing = pointed >= 0 && pointed < own.shown();
    if (pointing) paintPointed(ctx, scratch, pointed, look, pixel);
    // Laying even an empty canvas over every frame takes time.
    over.hidden = !under && !pointing && !marks.length;
  }

  // A place of the page in canvas pixels.
  function spot(event) {
    const box = main.getBoundingClientRect();
    return [
      ((event.clientX - box.left) * main.width) / Math.max(1, box.width),
      ((event.clientY - box.top) * main.height) / Math.max(1, box.height),
    ];
  }

  function point(i) {
    if (i === pointed) return;
    pointed = i;
    drawOver();
    tell("pointed");
  }

  main.addEventListener("pointermove", (event) => {
    const seen = own.seen();
    if (event.pointerType === "mouse" && !event.buttons && seen) point(bubbleAt(seen.scratch, ...spot(event)));
  });
  main.addEventListener("pointerleave", () => {
    if (!own.walks || document.activeElement !== main) point(-1);
  });

  const pick = (bubble, joint) =>
    emit("pick", { bubbles: bubble < 0 ? [] : [bubble], joint, serial: raw.serial });

  const strokes = makeStrokes({
    stage: {
      get model() {
        return own.model;
      },
      seen: () => own.seen(),
      spot,
    },
    brush: () => state.brush,
    changed() {
      own.draw();
      tell("colours");
    },
    tell: (bubbles, number, done) => emit("stroke", { bubbles, number, done, serial: raw.serial }),
  });

  const unwatch = watchLook(() => {
    const next = readLook(root);
    if (JSON.stringify(next) === JSON.stringify(look)) return;
    look = next;
    own.recolour();
  });

  return {
    frame,
    main,
    tell,
    paint,
    // What hands do that is not turning or moving; see hands.js.
    hands: {
      grab: (event) =>
        state.mode === "paint" && event.button === 0 && !event.shiftKey && own.seen()
          ? strokes.begin(event)
          : null,
      tap(event) {
        const seen = own.seen();
        if (!seen) return;
        const place = spot(event);
        pick(bubbleAt(seen.scratch, ...place), own.jointAt(...place));
      },
    },
    get look() {
      return look;
    },
    get state() {
      return state;
    },
    get pointed() {
      return pointed;
    },
    // The pack as it is now; a pack may bring only what has changed since the last one.
    pack(part, whole) {
      raw = whole ? part : { ...raw, ...part };
      return raw;
    },
    // A new model: what the hand has just painted stays, and `nothing` is said where nothing is there.
    adopt(model, there, nothing) {
      strokes.keepOwn(model);
      if (pointed >= model.bubbleCount) pointed = -1;
      empty.hidden = there;
      empty.textContent = nothing;
      main.style.visibility = over.style.visibility = there ? "" : "hidden";
    },
    set(next) {
      if (next.marks && next.marks !== state.marks) pinged = performance.now();
      state = { ...state, ...next };
      frame.dataset.mode = state.mode;
    },
    point,
    // Colours that were painted elsewhere, as [bubble, colour].
    recolour(changed) {
      for (const [i, colour] of changed) own.model.colour[i] = colour;
      own.draw();
    },
    // What a click on bubble i or joint j would do, for keys and lists.
    use(i, j = -1) {
      if (i < 0 && j < 0) return;
      if (state.mode === "paint" && i >= 0) strokes.dab(i);
      else pick(i, j);
    },
    on(kind, call) {
      const list = calls.get(kind) || new Set();
      calls.set(kind, list.add(call));
      return () => list.delete(call);
    },
    close() {
      unwatch();
      cancelAnimationFrame(asked);
    },
  };
}
