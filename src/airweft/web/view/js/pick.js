// What lies under a point of the picture: the nearest bubble in front, or a joint that can be seen.

import { onBubble } from "airweft-canvas/writing.js";

// The bubble that was painted last at this point of the last frame; -1 where there is none.
export function bubbleAt(s, x, y) {
  for (let at = s.drawn - 1; at >= 0; at--) {
    const i = s.order[at];
    if (onBubble(s, i, x, y)) return i;
  }
  return -1;
}

// The joint within `reach` pixels that lies on the surface that is seen; -1 if there is none.
export function jointAt(s, model, bubblesAt, x, y, reach) {
  let found = -1;
  let least = reach * reach;
  for (let j = 0; j < model.jointCount; j++) {
    const dx = s.jx[j] - x;
    const dy = s.jy[j] - y;
    const far = dx * dx + dy * dy;
    if (far >= least) continue;
    const front = bubbleAt(s, s.jx[j], s.jy[j]);
    if (front >= 0 && !bubblesAt(model, j).includes(front)) continue;
    least = far;
    found = j;
  }
  return found;
}

// Every bubble in front along a straight stroke, in the order in which the stroke meets them.
export function bubblesAlong(s, from, to, step) {
  const found = new Set();
  const far = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const pieces = Math.max(1, Math.ceil(far / step));
  for (let k = 0; k <= pieces; k++) {
    const share = k / pieces;
    const x = from[0] + (to[0] - from[0]) * share;
    const y = from[1] + (to[1] - from[1]) * share;
    const i = bubbleAt(s, x, y);
    if (i >= 0) found.add(i);
  }
  return [...found];
}
