// The same bodies as pixels in memory, for frames that must be quick: the canvas's own paths take many
// times as long where there are thousands of them.
//
// Near ones come first. A pixel that is full is not worked out again, so that what lies behind costs next
// to nothing. While it fills, its fourth byte counts how full it is: 255 is full. Edges are smooth, and
// the gloss comes from a small table of the canvas's own.

import { BANDS, FLAT, LONG, TOWARDS_LIGHT, coatOf } from "./inks.js";

const GRID = [64, 256]; // sides of the tables of gloss: for small bubbles and for large ones
const SMALL = 24; // the largest waist radius of small ones, in pixels
const FULL = 0xff000000 | 0;
const NEARLY = 252; // fuller than this is taken for full

function pen(side) {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = side;
  return canvas.getContext("2d", { willReadFrequently: true });
}

function pixelsOf(ctx, side) {
  return new Int32Array(ctx.getImageData(0, 0, side, side).data.buffer);
}

// The inks as they lie in the memory of a picture, made once for each theme.
function packedInks(inks) {
  if (inks.packed) return inks.packed;
  const ctx = pen(1);
  const packed = (colour) => {
    ctx.fillStyle = colour;
    ctx.fillRect(0, 0, 1, 1);
    return pixelsOf(ctx, 1)[0];
  };
  const colours = inks.colours.map(({ flat, inside, veil, veilInside, veilLine, tones }) => ({
    flat: packed(flat),
    inside: packed(inside),
    veil: packed(veil),
    veilInside: packed(veilInside),
    veilLine: packed(veilLine),
    bands: [tones.deep, ...BANDS.map(([tone]) => tones[tone])].map(packed),
    gloss: [null, null],
  }));
  inks.packed = { ground: packed(inks.card), outline: packed(inks.outline), halo: packed(inks.halo), colours };
  return inks.packed;
}

// The gloss of a colour on a grid over the box of a bubble.
function glossTable(inks, colour, large) {
  const tables = inks.packed.colours[colour].gloss;
  if (!tables[large]) {
    const side = GRID[large];
    const ctx = pen(side);
    ctx.setTransform(side, 0, 0, side, 0, 0);
    ctx.fillStyle = inks.colours[colour].gloss;
    ctx.fillRect(0, 0, 1, 1);
    tables[large] = pixelsOf(ctx, side);
  }
  return tables[large];
}

// A share (of 256) of a pixel, in all its four bytes.
function shareOf(pixel, share) {
  const even = Math.imul(pixel & 0xff00ff, share) >>> 8;
  const odd = Math.imul((pixel >>> 8) & 0xff00ff, share);
  return (even & 0xff00ff) | (odd & 0xff00ff00);
}

// A share of `over` laid on `under`.
function laidOn(under, over, share) {
  const rest = 256 - share;
  const even = (Math.imul(under & 0xff00ff, rest) + Math.imul(over & 0xff00ff, share)) >>> 8;
  const odd = Math.imul((under >>> 8) & 0xff00ff, rest) + Math.imul((over >>> 8) & 0xff00ff, share);
  return (even & 0xff00ff) | (odd & 0xff00ff00);
}

// `behind` seen where a pixel is not full yet.
function filledUp(pixel, behind) {
  const room = 255 - (pixel >>> 24);
  const sum = pixel + shareOf(behind, room + (room >> 7));
  return sum >>> 24 > NEARLY ? sum | FULL : sum | 0;
}

// Whether bubble i lies beside the canvas.
export function isOutside(s, i, width, height) {
  const x = s.cx[i];
  const y = s.cy[i];
  const far = (s.major[i] > s.minor[i] ? s.major[i] : s.minor[i]) + s.straight[i];
  return x + far < 0 || y + far < 0 || x - far > width || y - far > height;
}

// Paints the bubbles of the scratch's order over the whole canvas.
export function paintPixels(ctx, inks, made, s, how, line) {
  const { width, height } = ctx.canvas;
  if (!s.sheet || s.sheet.width !== width || s.sheet.height !== height) {
    s.sheet = ctx.createImageData(width, height);
  }
  const pixels = new Int32Array(s.sheet.data.buffer);
  const all = packedInks(inks);
  pixels.fill(0);
  for (let at = s.drawn - 1; at >= 0; at--) {
    const i = s.order[at];
    if (isOutside(s, i, width, height)) continue;
    const own = all.colours[how.colour[i]];
    const coat = coatOf(s, i, made, how.whole);
    const glossy = !coat.fill && s.minor[i] >= FLAT;
    const long = glossy && s.straight[i] > LONG * s.minor[i];
    const large = s.minor[i] > SMALL ? 1 : 0;
    const body = {
      fill: coat.fill ? own[coat.fill] : own.flat,
      table: glossy && !long ? glossTable(inks, how.colour[i], large) : null,
      grid: GRID[large],
      bands: long ? bandsOf(s, i, own.bands) : null,
      half: (coat.line * line) / 2,
      stroke: coat.stroke ? own[coat.stroke] : all.outline,
      rim: (coat.halo * line) / 2,
      halo: all.halo,
    };
    fillPixels(pixels, width, height, s, i, body);
  }
  for (let at = 0; at < pixels.length; at++) {
    if (pixels[at] >>> 24 !== 255) pixels[at] = filledUp(pixels[at], all.ground) | FULL;
  }
  ctx.putImageData(s.sheet, 0, 0);
}

// The tones of a long body, and for each band half its length, where it lies across and half its width.
function bandsOf(s, i, tones) {
  const r = s.minor[i];
  const side = -s.uy[i] * TOWARDS_LIGHT[0] + s.ux[i] * TOWARDS_LIGHT[1] > 0 ? 1 : -1;
  const places = BANDS.map(([, beyond, shift, wide]) => [
    Math.abs(s.straight[i] + beyond * s.major[i]),
    side * shift * r,
    (wide * r) / 2,
  ]);
  return { tones, places };
}

function bandPixel({ tones, places }, a, b) {
  let pixel = tones[0];
  for (let k = 0; k < places.length; k++) {
    const [half, across, wide] = places[k];
    const along = Math.max(0, Math.abs(a) - half);
    const cover = wide + 0.5 - Math.sqrt(along * along + (b - across) * (b - across));
    if (cover > 0) pixel = laidOn(pixel, tones[k + 1], cover < 1 ? (cover * 256) | 0 : 256);
  }
  return pixel;
}

// One bubble: an ellipse pulled apart in its middle, with a line of half width `half` on its outline and
// a halo as far as `rim`. For a pixel, `a` and `b` lie along and across, `f` is 1 on the outline, and
// `off` is how far outside it lies, exact for circles and close for all that are not far from round.
function fillPixels(pixels, width, height, s, i, body) {
  const { fill, table, grid, bands, half, stroke, rim, halo } = body;
  const cx = s.cx[i] - 0.5;
  const cy = s.cy[i] - 0.5;
  const ux = s.ux[i];
  const uy = s.uy[i];
  const major = s.major[i];
  const minor = s.minor[i];
  const straight = s.straight[i];
  // A line finer than a pixel is a pale one of a pixel, as the canvas's own are.
  const edge = half > 0.5 ? half : 0.5;
  const reach = (edge > rim ? edge : rim) + 0.5;
  const ka = 1 / (major * major);
  const kb = 1 / (minor * minor);
  const core = Math.max(0, 1 - (edge + 0.5) / minor);
  const within = core * core;
  const beyond = (1 + reach / minor) * (1 + reach / minor);
  const ex = Math.sqrt((ux * ux) / ka + (uy * uy) / kb) + Math.abs(ux) * straight;
  const ey = Math.sqrt((uy * uy) / ka + (ux * ux) / kb) + Math.abs(uy) * straight;
  // A row ends at the box around the bubble, and at the box that lies along it.
  const perX = Math.abs(ux) > 1e-3 ? 1 / ux : 0;
  const perY = Math.abs(uy) > 1e-3 ? 1 / uy : 0;
  const farX = perX ? (major + straight + reach) * Math.abs(perX) : Infinity;
  const farY = perY ? (minor + reach) * Math.abs(perY) : Infinity;
  const bottom = Math.min(height - 1, Math.floor(cy + ey + reach)) | 0;
  for (let y = Math.max(0, Math.ceil(cy - ey - reach)) | 0; y <= bottom; y++) {
    const dy = y - cy;
    const midX = -dy * uy * perX;
    const midY = dy * ux * perY;
    const low = Math.max(-ex - reach, midX - farX, midY - farY);
    const high = Math.min(ex + reach, midX + farX, midY + farY);
    const first = Math.max(0, Math.ceil(cx + low)) | 0;
    const last = Math.min(width - 1, Math.floor(cx + high)) | 0;
    const row = Math.max(0, Math.min(grid - 1, (((dy + ey) * grid) / (2 * ey)) | 0)) * grid;
    for (let x = first, at = y * width + first; x <= last; x++, at++) {
      const before = pixels[at];
      if (before >>> 24 === 255) continue;
      const dx = x - cx;
      const a = dx * ux + dy * uy;
      const b = dy * ux - dx * uy;
      const p = Math.max(0, Math.abs(a) - straight);
      const fa = p * p * ka;
      const fb = b * b * kb;
      const f = fa + fb;
      if (f >= beyond) continue;
      let pixel = fill;
      if (table) pixel = table[row + Math.max(0, Math.min(grid - 1, (((dx + ex) * grid) / (2 * ex)) | 0))];
      else if (bands) pixel = bandPixel(bands, a, b);
      if (f >= within) {
        const off = f > 0 ? (Math.sqrt(f) - 1) * Math.sqrt(f / (fa * ka + fb * kb)) : -minor;
        const under = off < rim + 0.5 && rim > 0 ? shareOf(halo, Math.min(256, ((rim + 0.5 - off) * 256) | 0)) : 0;
        pixel = off < 0.5 ? laidOn(under, pixel, Math.min(256, ((0.5 - off) * 256) | 0)) : under;
        const line = half < 0.5 ? 2 * half * (1 - Math.abs(off)) : Math.min(half, off + 0.5) - Math.max(-half, off - 0.5);
        if (line > 0) pixel = laidOn(pixel, stroke, Math.min(256, (line * 256) | 0));
      }
      pixels[at] = before ? filledUp(before, pixel) : pixel;
    }
  }
}
