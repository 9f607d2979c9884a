// The section plane: which bubbles are cut away so that the inside shows.

import { middleOf } from "./net.js";

// The outward direction of the side that is cut off.
const SIDES = { width: [1, 0, 0], depth: [0, -1, 0], height: [0, 0, 1] };

// Returns a function of the orientation that gives 1 for each bubble cut away, or null for none.
// Bubbles go whole, by their middles; `share` of the way through the piece is cut off, from the right,
// the front or the top, or from where the eye is.
export function makeCut(model, section) {
  if (!section || !(section.share > 0)) return () => null;
  const hidden = new Uint8Array(model.bubbleCount);
  const middles = new Float32Array(3 * model.bubbleCount);
  for (let i = 0; i < model.bubbleCount; i++) middles.set(middleOf(model, i), 3 * i);
  const far = new Float32Array(model.bubbleCount);

  function cutAlong([x, y, z]) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < far.length; i++) {
      far[i] = x * middles[3 * i] + y * middles[3 * i + 1] + z * middles[3 * i + 2];
      low = Math.min(low, far[i]);
      high = Math.max(high, far[i]);
    }
    const limit = high - section.share * (high - low);
    for (let i = 0; i < far.length; i++) hidden[i] = far[i] > limit ? 1 : 0;
    return hidden;
  }

  const side = SIDES[section.axis];
  if (side) {
    cutAlong(side);
    return () => hidden;
  }
  return (matrix) => cutAlong([matrix[6], matrix[7], matrix[8]]);
}
