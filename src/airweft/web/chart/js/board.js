// The chart itself, without the page builder around it: a flat picture that is moved, picked, painted.

import { listenToHands } from "airweft-canvas/hands.js";
import { makeGround } from "airweft-view/ground.js";
import { TEXT } from "airweft-view/texts.js";
import { arrange, makePlaces, place, readChart } from "./data.js";
import { paintChart } from "./draw.js";

const WIDEST = 38; // page pixels to a column when the whole chart is shown
const CLOSEST = 90; // and at most
const BUTTONS = 52; // page pixels at the bottom for the buttons
const REACH = 9; // page pixels around a joint within which it is meant

export function makeBoard(root, emit) {
  let model = null;
  let s = null;
  let eye = null; // {scale, x, y} in page pixels
  let fitted = null;
  let set = null; // how the parts are set: {wide, high, shifts}
  let frameAsked = 0;
  let pixel = 1;

  const ground = makeGround(root, emit, {
    get model() {
      return model;
    },
    seen: () => (model && eye ? { scratch: s, pixel } : null),
    draw,
    recolour: draw,
    jointAt,
    shown: () => model.bubbleCount,
    places: (joints) => [...model.jointOf.keys()].filter((k) => joints.includes(model.jointOf[k])),
    rings: () => Math.min(8, eye.scale * 0.45),
    walks: true,
  });
  const { frame, main } = ground;
  const ctx = main.getContext("2d", { alpha: false });

  function take(part, whole) {
    model = readChart(ground.pack(part, whole));
    s = makePlaces(model);
    ground.adopt(model, model.charted > 0, model.bubbleCount ? TEXT.noChart : TEXT.empty);
    fit();
    draw();
    ground.tell("model");
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

  function paintNow() {
    frameAsked = 0;
    const box = main.getBoundingClientRect();
    if (!model || !eye || box.width < 2) return;
    pixel = Math.min(window.devicePixelRatio || 1, 3);
    const width = Math.round(box.width * pixel);
    const height = Math.round(box.height * pixel);
    if (main.width !== width || main.height !== height) {
      main.width = width;
      main.height = height;
    }
    const unit = eye.scale * pixel;
    const at = { x: eye.x * pixel, y: eye.y * pixel };
    place(model, s, set.shifts, unit, at.x, at.y);
    const { look } = ground;
    const { letters } = ground.state;
    paintChart(ctx, model, s, { ...at, unit, px: pixel, look, letters, shifts: set.shifts });
    ground.paint();
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
      ...ground.hands,
    },
    true,
  );

  // A joint that the chart divides lies at several places.
  function jointAt(x, y) {
    let joint = -1;
    let least = (REACH * pixel) ** 2;
    for (let k = 0; k < s.jx.length; k++) {
      const far = (s.jx[k] - x) ** 2 + (s.jy[k] - y) ** 2;
      if (far < least) {
        least = far;
        joint = model.jointOf[k];
      }
    }
    return joint;
  }

  const watch = new ResizeObserver(() => {
    fit();
    draw();
  });
  watch.observe(main);

  return {
    frame,
    main,
    take,
    pan,
    zoom,
    home,
    on: ground.on,
    point: ground.point,
    use: ground.use,
    recolour: ground.recolour,
    get model() {
      return model;
    },
    get state() {
      return ground.state;
    },
    get pointed() {
      return ground.pointed;
    },
    get places() {
      return { s, pixel };
    },
    // How the chart lies: the eye in page pixels, and where each part is set in columns.
    get view() {
      return { eye, set };
    },
    set(next) {
      ground.set(next);
      draw();
    },
    close() {
      ground.close();
      watch.disconnect();
      cancelAnimationFrame(frameAsked);
    },
  };
}
