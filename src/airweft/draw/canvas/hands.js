import { DEGREE } from "./turning.js";

// Pointers, fingers and the wheel on the picture. One finger turns; two pinch, move and roll; two
// taps go back to the step's own view. Where the caller wants strokes, act.grab(event) may take the
// first finger or the mouse: it returns {move(event), end(event), drop()}, or nothing to let it turn.
// act.tap(event), if there, is told of a short touch.
export function listenToHands(canvas, act, wheel) {
  const down = new Map();
  let moved = false;
  let lastTap = { time: -1e9, x: 0, y: 0 };
  let turned = 0;
  let grip = null;

  const middle = () => {
    const [a, b] = [...down.values()];
    return {
      x: (a.x + b.x) / 2,
      y: (a.y + b.y) / 2,
      far: Math.hypot(a.x - b.x, a.y - b.y),
      angle: Math.atan2(b.y - a.y, b.x - a.x),
    };
  };

  canvas.addEventListener("pointerdown", (event) => {
    // The right button turns where the left one may draw strokes.
    if (event.pointerType === "mouse" && event.button > (act.grab ? 2 : 1)) return;
    canvas.setPointerCapture(event.pointerId);
    if (down.size === 0) {
      moved = false;
      grip = (act.grab && act.grab(event)) || null;
    } else if (grip) {
      // A second finger means that the first was not a stroke.
      grip.drop();
      grip = null;
      moved = true;
    }
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    turned = 0;
  });

  canvas.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    if (grip) {
      down.set(event.pointerId, { x: event.clientX, y: event.clientY });
      grip.move(event);
      return;
    }
    const dx = event.clientX - last.x;
    const dy = event.clientY - last.y;
    if (!moved && Math.hypot(dx, dy) < 4) return;
    moved = true;
    const before = down.size === 2 ? middle() : null;
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (down.size === 1) {
      if (event.shiftKey || event.buttons === 4) {
        act.pan(dx, dy);
      } else {
        const reach = Math.min(canvas.clientWidth, canvas.clientHeight) || 1;
        act.turn((dx / reach) * -Math.PI, (dy / reach) * Math.PI);
      }
    } else if (before) {
      const after = middle();
      const box = canvas.getBoundingClientRect();
      act.pan(after.x - before.x, after.y - before.y);
      if (before.far > 0 && after.far > 0) {
        act.zoom(
          after.far / before.far,
          after.x - box.left - box.width / 2,
          after.y - box.top - box.height / 2,
        );
      }
      let angle = after.angle - before.angle;
      if (angle > Math.PI) angle -= 2 * Math.PI;
      if (angle < -Math.PI) angle += 2 * Math.PI;
      // Small twists come with every pinch; only a meant one rolls the picture.
      turned += angle;
      if (Math.abs(turned) > 14 * DEGREE) act.roll(-angle);
    }
  });

  const up = (event) => {
    if (!down.delete(event.pointerId)) return;
    if (grip) {
      if (event.type === "pointercancel") grip.drop();
      else grip.end(event);
      grip = null;
      return;
    }
    if (event.type === "pointercancel" || moved || down.size) return;
    const near = Math.hypot(event.clientX - lastTap.x, event.clientY - lastTap.y) < 28;
    if (near && event.timeStamp - lastTap.time < 350) {
      act.home();
      lastTap.time = -1e9;
    } else {
      lastTap = { time: event.timeStamp, x: event.clientX, y: event.clientY };
      if (act.tap) act.tap(event);
    }
  };
  if (act.grab) canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);

  if (wheel) {
    canvas.addEventListener(
      "wheel",
      (event) => {
        event.preventDefault();
        const box = canvas.getBoundingClientRect();
        const notch = event.deltaMode === 1 ? 0.06 : 0.002;
        act.zoom(
          Math.exp(-Math.max(-200, Math.min(200, event.deltaY)) * notch),
          event.clientX - box.left - box.width / 2,
          event.clientY - box.top - box.height / 2,
        );
      },
      { passive: false },
    );
  }
}
