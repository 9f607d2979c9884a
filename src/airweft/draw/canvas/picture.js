import { listenToHands } from "./hands.js";
import { makeInks } from "./inks.js";
import { FEW, makePace } from "./pace.js";
import { makeScratch, paint, project } from "./painter.js";
import { DEGREE, between, orientationOf, rolled, seenFrom, tipped, turnedAround } from "./turning.js";

// A canvas that shows the piece: fitting, free turning, zooming, and calm moves between views.

const CLOSEST = 60; // largest drawn waist radius, in CSS pixels
const FARTHEST = 0.4; // smallest scale, as a share of the fitted one
const REST = [140, 400]; // ms for which nothing changes before the full picture, at least and at most
const TURN_KEY = 15 * DEGREE;

// `options`: isDark() and padding() -> [beside, above, below] are asked for every frame; onLook(seen
// from, at home) is told where the eye rests; wheel: it zooms. Further, where they are wanted:
// ground() the colour behind, cut(orientation) which bubbles are cut away, over(scratch, eye, how) is
// called after each frame, grab and tap as in hands.js.
export function makePicture(canvas, model, options) {
  const ctx = canvas.getContext("2d", { alpha: false });
  let scratch = makeScratch(model);
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let inks = null;
  let what = { base: 0, colour: model.colour, made: 0, shown: 0, whole: true, locks: [], named: [], view: model.cover, label: null, type: 12 };
  let eye = null; // {matrix, scale, pivot, panX, panY}, lengths in CSS pixels
  let home = null;
  let move = null;
  let frame = 0;
  let settle = 0;
  let quick = false;
  let pixel = 1;
  const pace = makePace();
  let moving = false;
  let full = false; // the next frame is to be the full picture, however many bubbles there are
  let fullTook = 0;

  // Fits the canvas to its place on the page; true if its size in page pixels has changed.
  let wide = 0;
  let high = 0;
  function measure() {
    const box = canvas.getBoundingClientRect();
    if (box.width < 2 || box.height < 2) return false;
    pixel = Math.min(window.devicePixelRatio || 1, 3) / (quick ? pace.coarser(what.shown) : 1);
    const width = Math.round(box.width * pixel);
    const height = Math.round(box.height * pixel);
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    const changed = wide !== box.width || high !== box.height;
    wide = box.width;
    high = box.height;
    return changed;
  }

  function resize() {
    if (measure() || (wide && !eye)) refit();
    draw();
  }

  function refit() {
    const wasHome = isHome();
    home = fitted();
    if (move && wasHome) move.to = home;
    else if (!eye || wasHome) eye = { ...home };
  }

  // The step's own view: all that is made, unless its bubbles would be too small to work from; then
  // the new work is brought close enough.
  function fitted(from = what.view) {
    const matrix = orientationOf(from[0], from[1]);
    const count = Math.max(what.base + 1, what.shown);
    const all = spanOf(what.base, count);
    const unit = { matrix, scale: 1, pivot: all.middle, x: 0, y: 0 };
    project(model, unit, count, scratch);
    const whole = edges(what.base, count);
    const [padX, padTop, padBottom] = options.padding();
    const roomX = Math.max(40, wide - 2 * padX);
    const roomY = Math.max(40, high - padTop - padBottom);
    const offY = (padTop - padBottom) / 2;
    const into = (box) => Math.min(roomX / (box.right - box.left), roomY / (box.bottom - box.top));
    const scale = Math.min(into(whole), CLOSEST / whole.waist);
    const centred = (box, k) => ({
      matrix,
      scale: k,
      pivot: all.middle,
      panX: (-(box.left + box.right) / 2) * k,
      panY: (-(box.top + box.bottom) / 2) * k + offY,
    });
    if (what.whole || what.shown <= what.made) return centred(whole, scale);
    const fresh = edges(what.made, what.shown);
    const legible = Math.max(10, Math.min(17, 0.05 * Math.min(wide, high))) / fresh.waist;
    const close = Math.min(legible, 0.85 * into(fresh));
    if (close <= scale) return centred(whole, scale);
    return { ...centred(fresh, close), ...aimedAt(spanOf(what.made, what.shown).middle, offY) };
  }

  // A close view turns about the new work and not about the middle of the piece.
  function aimedAt(pivot, offY) {
    return { pivot, panX: 0, panY: offY };
  }

  // The box around some projected bubbles, and their largest waist.
  function edges(first, last) {
    const box = { left: Infinity, top: Infinity, right: -Infinity, bottom: -Infinity, waist: 0 };
    for (let i = first; i < last; i++) {
      const far = Math.max(scratch.major[i], scratch.minor[i]) + scratch.straight[i];
      box.left = Math.min(box.left, scratch.cx[i] - far);
      box.right = Math.max(box.right, scratch.cx[i] + far);
      box.top = Math.min(box.top, scratch.cy[i] - far);
      box.bottom = Math.max(box.bottom, scratch.cy[i] + far);
      box.waist = Math.max(box.waist, scratch.minor[i]);
    }
    return box;
  }

  function spanOf(first, last) {
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    for (let i = first; i < last; i++) {
      for (const j of [model.from[i], model.to[i]]) {
        const p = [model.x[j], model.y[j], model.z[j]];
        for (let k = 0; k < 3; k++) {
          low[k] = Math.min(low[k], p[k]);
          high[k] = Math.max(high[k], p[k]);
        }
      }
    }
    return { middle: low.map((value, k) => (value + high[k]) / 2) };
  }

  function isHome() {
    if (move) return move.to === home;
    return !eye || !home || (eye.matrix === home.matrix && eye.scale === home.scale &&
      eye.panX === home.panX && eye.panY === home.panY && eye.pivot === home.pivot);
  }

  function draw() {
    if (!frame) frame = requestAnimationFrame(paintNow);
  }

  function paintNow(time) {
    frame = 0;
    if (!eye || !wide) return;
    if (move) {
      const t = Math.min(1, (time - move.start) / move.length);
      const soft = t * t * (3 - 2 * t);
      eye = t >= 1 ? move.to : blend(move.from, move.to, soft);
      quick = t < 1;
      if (t >= 1) move = null;
      else draw();
    }
    const begun = performance.now();
    if (quick && !moving) pace.begin();
    moving = quick;
    const swift = quick ? pace.swift(what.shown) : what.shown > FEW && !full;
    if (swift && !quick) rest();
    full = false;
    if (measure()) refit();
    inks = inks || makeInks(ctx, model.palette, options.isDark(), options.ground && options.ground());
    const how = {
      ...what,
      hidden: options.cut ? options.cut(eye.matrix) : null,
      quick,
      swift,
      signs: options.padding(),
      pixel,
    };
    paint(ctx, model, inks, onCanvas(), what.made, what.shown, scratch, how);
    if (options.over) options.over(scratch, onCanvas(), how);
    timeFrame(begun, swift);
    if (!move) options.onLook(seenFrom(eye.matrix), isHome());
  }

  // Paths are painted when the frame has ended, pixels at once.
  function timeFrame(begun, swift) {
    const count = what.shown;
    const whileMoving = quick;
    const tell = () => {
      const ms = performance.now() - begun;
      if (whileMoving) pace.took(ms, count);
      else if (!swift) fullTook = ms;
    };
    if (swift) tell();
    else setTimeout(tell, 0);
  }

  // The full picture follows when nothing has changed for a while: the longer it takes, the later, so
  // that a short rest of the hand does not hold it up.
  function rest() {
    clearTimeout(settle);
    settle = setTimeout(() => {
      quick = false;
      full = true;
      draw();
    }, Math.max(REST[0], Math.min(REST[1], fullTook)));
  }

  function onCanvas() {
    return {
      matrix: eye.matrix,
      scale: eye.scale * pixel,
      pivot: eye.pivot,
      x: canvas.width / 2 + eye.panX * pixel,
      y: canvas.height / 2 + eye.panY * pixel,
    };
  }

  function blend(from, to, t) {
    const mix = (a, b) => a + (b - a) * t;
    return {
      matrix: between(from.matrix, to.matrix, t),
      scale: from.scale * Math.pow(to.scale / from.scale, t),
      pivot: from.pivot.map((value, k) => mix(value, to.pivot[k])),
      panX: mix(from.panX, to.panX),
      panY: mix(from.panY, to.panY),
    };
  }

  function goTo(target) {
    if (calm.matches || !eye || document.visibilityState !== "visible") {
      move = null;
      quick = false;
      eye = target;
    } else {
      move = { from: eye, to: target, start: performance.now(), length: 380 };
    }
    draw();
  }

  // A change by hand: painted quickly while it lasts, in full when the hand rests.
  function byHand(change) {
    if (!eye) return;
    move = null;
    eye = { ...eye, ...change(eye) };
    quick = true;
    draw();
    rest();
  }

  function turn(around, up) {
    byHand((e) => {
      // Upside down, the near side moves the other way round.
      const sign = e.matrix[5] < 0 ? -1 : 1;
      return { matrix: tipped(turnedAround(e.matrix, around * sign), up) };
    });
  }

  function zoom(factor, x, y) {
    byHand((e) => {
      const scale = Math.max(
        home.scale * FARTHEST,
        Math.min(Math.max(home.scale * 4, CLOSEST / 6), e.scale * factor),
      );
      const k = scale / e.scale;
      return { scale, panX: x - (x - e.panX) * k, panY: y - (y - e.panY) * k };
    });
  }

  const pan = (dx, dy) => byHand((e) => ({ panX: e.panX + dx, panY: e.panY + dy }));
  listenToHands(canvas, {
    turn,
    zoom,
    pan,
    roll: (angle) => byHand((e) => ({ matrix: rolled(e.matrix, angle) })),
    home: () => goTo(home),
    grab: options.grab,
    tap: options.tap,
  }, options.wheel);
  const watch = new ResizeObserver(resize);
  watch.observe(canvas);

  return {
    draw,
    pan,
    // The room around the piece has changed.
    refit() {
      if (wide) refit();
      draw();
    },
    // Another piece, or the same one changed: seen as the old one was, which a view from its own home
    // follows to the new home.
    adopt(next, shown) {
      model = next;
      scratch = makeScratch(model);
      inks = null;
      const wasHome = isHome();
      const before = home;
      what = { ...what, ...shown };
      if (move) quick = false;
      move = null;
      if (!wide) return;
      home = fitted(before ? seenFrom(before.matrix) : what.view);
      if (!eye || wasHome) eye = { ...home };
      else eye = { ...eye, pivot: home.pivot, scale: (eye.scale * home.scale) / before.scale };
      draw();
    },
    // The eye's place now, in page pixels: {matrix, scale, pivot, panX, panY}; null before it has one.
    get eye() {
      return eye;
    },
    // What lies where in the last frame, in canvas pixels, and how many of them make one of the page's.
    get seen() {
      return { scratch, pixel, eye: eye && wide ? onCanvas() : null };
    },
    close() {
      watch.disconnect();
      cancelAnimationFrame(frame);
      clearTimeout(settle);
      wide = 0;
    },
    // Shows bubbles [base, shown), those from `made` on as new work, from the given view.
    show(next) {
      what = { ...what, ...next };
      if (!wide || !eye) {
        resize();
        return;
      }
      home = fitted();
      goTo(home);
    },
    // Changes what is written on the picture: {label, type}.
    write(next) {
      what = { ...what, ...next };
      draw();
    },
    recolour() {
      inks = null;
      draw();
    },
    resize,
    home: () => goTo(home),
    lookFrom: (from) => goTo(fitted(from)),
    nudge(how) {
      const step = { left: [1, 0], right: [-1, 0], up: [0, -1], down: [0, 1] }[how];
      if (step) turn(step[0] * TURN_KEY, step[1] * TURN_KEY);
      if (how === "closer") zoom(1.25, 0, 0);
      if (how === "farther") zoom(0.8, 0, 0);
    },
    // The least milliseconds of some frames, turning a little each time; a pixel is read back so that
    // the painting is really done. For measurements.
    time(frames, quickly) {
      let least = Infinity;
      for (let i = 0; i < frames; i++) {
        const start = performance.now();
        eye = { ...eye, matrix: turnedAround(eye.matrix, 0.05) };
        paint(ctx, model, inks, onCanvas(), what.made, what.shown, scratch, {
          ...what,
          quick: quickly,
          swift: quickly && pace.swift(what.shown),
          signs: options.padding(),
          pixel,
        });
        ctx.getImageData(0, 0, 1, 1);
        least = Math.min(least, performance.now() - start);
      }
      return least;
    },
  };
}
