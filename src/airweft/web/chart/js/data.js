// The chart's data: one outline for each charted bubble, places of joints, names and numbers.

import { bytes, lines, readPalette } from "airweft-view/net.js";

export function readChart(raw) {
  const { bubbles, joints } = raw.counts;
  return {
    name: raw.name,
    palette: readPalette(raw.palette),
    colour: new Uint16Array(bytes(raw.colours)),
    bubbleCount: bubbles,
    jointCount: joints,
    charted: raw.counts.charted,
    bubbleNames: lines(raw.bubbleNames, bubbles),
    jointNames: lines(raw.jointNames, joints),
    bubbleOf: new Int32Array(bytes(raw.bubbleOf)),
    spots: new Float32Array(bytes(raw.spots)), // x, y, direction x, y, half length, half width
    partOf: new Uint16Array(bytes(raw.partOf)),
    jointOf: new Int32Array(bytes(raw.jointOf)),
    jointPart: new Uint16Array(bytes(raw.jointPart)),
    jointSpots: new Float32Array(bytes(raw.jointSpots)),
    plates: raw.plates,
    parts: raw.parts,
    wide: raw.wide,
    high: raw.high,
  };
}

// Places in canvas pixels, by bubble; those that are not on the chart stay far outside.
export function makePlaces(model) {
  const floats = () => new Float32Array(model.bubbleCount).fill(-1e6);
  const s = {
    cx: floats(),
    cy: floats(),
    ux: floats(),
    uy: floats(),
    major: new Float32Array(model.bubbleCount),
    minor: new Float32Array(model.bubbleCount),
    straight: new Float32Array(model.bubbleCount),
    order: model.bubbleOf,
    drawn: model.bubbleOf.length,
    // By place, since a joint that the chart divides lies at several.
    jx: new Float32Array(model.jointOf.length),
    jy: new Float32Array(model.jointOf.length),
  };
  model.bubbleOf.forEach((i, k) => {
    s.ux[i] = model.spots[6 * k + 2];
    s.uy[i] = model.spots[6 * k + 3];
  });
  return s;
}

const ROOM = { left: 2.4, right: 1.4, above: 1.9, below: 2.2 }; // columns around a part set in lines
const WORTH = 1.3; // how much larger the chart must get for parts to be set in lines

// Where the parts lie in a room of some page pixels: unfolded, as on paper, or set in lines where that
// shows them so much larger, on a phone. Returns {wide, high, shifts} with a shift for each part.
export function arrange(model, width, height) {
  const still = model.parts.map(() => [0, 0]);
  const unfolded = { wide: model.wide, high: model.high, shifts: still };
  const fits = ({ wide, high }) => Math.min(width / wide, height / high);
  let best = unfolded;
  const sizes = model.parts.map(({ box }) => [
    box[2] + ROOM.left + ROOM.right,
    box[3] + ROOM.above + ROOM.below,
  ]);
  const all = sizes.reduce((sum, [wide]) => sum + wide, 0);
  const widest = Math.max(0, ...sizes.map(([wide]) => wide));
  for (let k = 0; k <= 12 && sizes.length > 1; k++) {
    const lined = inLines(model, sizes, widest + ((all - widest) * k) / 12);
    if (fits(lined) > (best === unfolded ? WORTH : 1.001) * fits(best)) best = lined;
  }
  return best;
}

function inLines(model, sizes, limit) {
  const shifts = [];
  let x = 0;
  let y = 0;
  let tall = 0;
  let wide = 0;
  sizes.forEach(([w, h], k) => {
    if (x > 0 && x + w > limit + 1e-6) {
      x = 0;
      y += tall;
      tall = 0;
    }
    const [left, top] = model.parts[k].box;
    shifts.push([x + ROOM.left - left, y + ROOM.above - top]);
    x += w;
    tall = Math.max(tall, h);
    wide = Math.max(wide, x);
  });
  return { wide, high: y + tall, shifts };
}

// The bubbles' and joints' places in canvas pixels, `scale` of them to a column.
export function place(model, s, shifts, scale, x, y) {
  model.bubbleOf.forEach((i, k) => {
    const shift = shifts[model.partOf[k]];
    s.cx[i] = (model.spots[6 * k] + shift[0]) * scale + x;
    s.cy[i] = (model.spots[6 * k + 1] + shift[1]) * scale + y;
    s.major[i] = model.spots[6 * k + 4] * scale;
    s.minor[i] = model.spots[6 * k + 5] * scale;
  });
  for (let k = 0; k < s.jx.length; k++) {
    const shift = shifts[model.jointPart[k]];
    s.jx[k] = (model.jointSpots[2 * k] + shift[0]) * scale + x;
    s.jy[k] = (model.jointSpots[2 * k + 1] + shift[1]) * scale + y;
  }
}
