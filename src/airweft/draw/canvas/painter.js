// The painter: plump glossy bubbles, far ones first, with no library and no graphics card.
//
// The same bodies, tones and outlines as in the printed pictures (see docs/phone-page.md): a bubble
// is an ellipsoid of revolution, pulled apart in the middle when it is long; its outline is exact.
// New work is strong with its mark; finished work is veiled: a pale flat fill (never opacity, which
// is slow and lets the far side shine through). What is not made yet is not drawn.

import { BANDS, FLAT, LONG, TOWARDS_LIGHT, coatOf } from "./inks.js";
import { isOutside, paintPixels } from "./pixels.js";
import { MOST_PAIRS, isHidden, paintLocks, paintMarks, paintNames } from "./writing.js";

const PULL = 0.97; // tip to tip, as a share of the distance between the joints
const REACH = 9; // distance of the eye in radii of the piece
const INSIDE = -0.04; // facing below this: the inner side of the bubble is seen

// Room for one frame's numbers; made once for a piece and used again for every frame.
export function makeScratch(model) {
  const n = model.bubbleCount;
  const floats = (length) => new Float32Array(length);
  return {
    jx: floats(model.jointCount),
    jy: floats(model.jointCount),
    cx: floats(n),
    cy: floats(n),
    major: floats(n),
    minor: floats(n),
    ux: floats(n),
    uy: floats(n),
    straight: floats(n),
    near: floats(n),
    back: new Uint8Array(n),
    order: new Int32Array(n),
    slot: new Int32Array(n),
    counts: new Int32Array(8193),
    drawn: 0,
  };
}

// How points of the piece are placed on the canvas: `place` takes x, y, z, leaves the spot in canvas
// pixels and how near it is (mm towards the eye) in `spot`, and returns how much nearness enlarges.
// `eye` is {matrix, scale, pivot, x, y}: the point `pivot` of the piece lies at (x, y).
export function placing(model, eye) {
  const m = eye.matrix;
  const k = eye.scale;
  const [ox, oy, oz] = model.scene.middle;
  const distance = REACH * model.scene.radius;
  const nearest = distance * 0.05;
  const spot = [0, 0, 0];
  let shiftX = 0;
  let shiftY = 0;
  const place = (x, y, z) => {
    const dx = x - ox;
    const dy = y - oy;
    const dz = z - oz;
    const near = m[6] * dx + m[7] * dy + m[8] * dz;
    const grow = distance / Math.max(distance - near, nearest);
    spot[0] = shiftX + (m[0] * dx + m[1] * dy + m[2] * dz) * grow * k;
    spot[1] = shiftY - (m[3] * dx + m[4] * dy + m[5] * dz) * grow * k;
    spot[2] = near;
    return grow;
  };
  place(...eye.pivot);
  shiftX = eye.x - spot[0];
  shiftY = eye.y - spot[1];
  return { place, spot };
}

// Projects all joints and the first `count` bubbles into canvas pixels.
export function project(model, eye, count, s) {
  const m = eye.matrix;
  const k = eye.scale;
  const { place, spot } = placing(model, eye);
  const { x, y, z, from, to, waist, cap: caps, normal } = model;
  for (let j = 0; j < model.jointCount; j++) {
    place(x[j], y[j], z[j]);
    s.jx[j] = spot[0];
    s.jy[j] = spot[1];
  }
  for (let i = 0; i < count; i++) {
    const a = from[i];
    const b = to[i];
    let mx = (x[a] + x[b]) / 2;
    let my = (y[a] + y[b]) / 2;
    let mz = (z[a] + z[b]) / 2;
    const shift = model.shifts.size ? model.shifts.get(i) : undefined;
    if (shift) {
      mx += shift[0];
      my += shift[1];
      mz += shift[2];
    }
    const grow = place(mx, my, mz);
    s.cx[i] = spot[0];
    s.cy[i] = spot[1];
    s.near[i] = spot[2];
    // The half axis in space, and in the picture.
    const hx = ((x[b] - x[a]) * PULL) / 2;
    const hy = ((y[b] - y[a]) * PULL) / 2;
    const hz = ((z[b] - z[a]) * PULL) / 2;
    const reach = Math.sqrt(hx * hx + hy * hy + hz * hz);
    const r = waist[i];
    const cap = caps[i];
    const rounded = reach > 0 ? Math.min(1, cap / reach) : 1;
    const zoom = grow * k;
    const px = (m[0] * hx + m[1] * hy + m[2] * hz) * zoom;
    const py = -(m[3] * hx + m[4] * hy + m[5] * hz) * zoom;
    const long = Math.sqrt(px * px + py * py);
    const minor = r * zoom;
    const share = long * rounded;
    s.minor[i] = minor;
    s.major[i] = Math.sqrt(minor * minor + share * share * (1 - (r / cap) * (r / cap)));
    s.ux[i] = long > 1e-6 ? px / long : 1;
    s.uy[i] = long > 1e-6 ? py / long : 0;
    s.straight[i] = long * (1 - rounded);
    const facing = m[6] * normal[3 * i] + m[7] * normal[3 * i + 1] + m[8] * normal[3 * i + 2];
    s.back[i] = facing < INSIDE * 20 ? 1 : 0;
  }
}

// Far to near, by counting: linear in the number of bubbles, and stable among equals. `hidden`, if
// there is any, is 1 for each bubble to leave out.
function sortByDepth(first, count, s, hidden) {
  const { near, order, slot, counts } = s;
  let low = Infinity;
  let high = -Infinity;
  for (let i = first; i < count; i++) {
    if (near[i] < low) low = near[i];
    if (near[i] > high) high = near[i];
  }
  const slots = counts.length - 1;
  const step = high > low ? (slots - 1) / (high - low) : 0;
  counts.fill(0);
  s.drawn = 0;
  for (let i = first; i < count; i++) {
    if (hidden && hidden[i]) continue;
    slot[i] = ((near[i] - low) * step) | 0;
    counts[slot[i] + 1]++;
    s.drawn++;
  }
  for (let c = 0; c < slots; c++) counts[c + 1] += counts[c];
  for (let i = first; i < count; i++) {
    if (!hidden || !hidden[i]) order[counts[slot[i]]++] = i;
  }
}

// After sorting, `slot` is free to hold each bubble's place in the order.
export function rankByOrder(s) {
  for (let at = 0; at < s.drawn; at++) s.slot[s.order[at]] = at;
}

// The outline of bubble i as the current path.
export function outline(ctx, s, i) {
  const { cx, cy, major, minor, ux, uy, straight } = s;
  const angle = Math.atan2(uy[i], ux[i]);
  ctx.beginPath();
  if (straight[i] < 0.05) {
    ctx.ellipse(cx[i], cy[i], major[i], minor[i], angle, 0, 2 * Math.PI);
    return;
  }
  const sx = ux[i] * straight[i];
  const sy = uy[i] * straight[i];
  ctx.ellipse(cx[i] + sx, cy[i] + sy, major[i], minor[i], angle, -Math.PI / 2, Math.PI / 2);
  ctx.ellipse(cx[i] - sx, cy[i] - sy, major[i], minor[i], angle, Math.PI / 2, 1.5 * Math.PI);
  ctx.closePath();
}

// Paints bubbles [base, made) veiled and [made, shown) strong. `how` is {base, colour, quick, swift,
// whole, hidden, label, locks, named, type, signs, pixel}: base is the first bubble on the table, colour the
// palette entry of each bubble, quick leaves out all writing, swift paints the bodies as pixels, whole
// paints everything strong, hidden marks bubbles that are cut away, label gives a bubble's text, named
// the joints to flag in letters `type` high, signs the page pixels [beside, above, below] that are
// taken by signs and buttons, pixel is the number of canvas pixels in one of the page's.
export function paint(ctx, model, inks, eye, made, shown, s, how) {
  const { width, height } = ctx.canvas;
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.fillStyle = inks.card;
  ctx.fillRect(0, 0, width, height);
  project(model, eye, shown, s);
  sortByDepth(how.base, shown, s, how.hidden);
  const typical = s.drawn ? s.minor[s.order[s.drawn >> 1]] : 1;
  const line = Math.min(Math.max(typical * 0.085, 0.25), 2.6 * how.pixel);
  ctx.lineJoin = "round";
  if (how.swift) paintPixels(ctx, inks, made, s, how, line);
  else paintBodies(ctx, inks, made, s, how, line);
  if (!how.quick) rankByOrder(s);
  if (!how.whole && !how.quick) paintGhosts(ctx, made, shown, inks, line, s, how.hidden);
  if (how.label && !how.quick) paintMarks(ctx, model, how.whole ? how.base : made, shown, s, how);
  if (how.locks && how.locks.length) paintLocks(ctx, how.locks, typical, how.pixel, s);
  if (how.named && how.named.length && !how.quick) paintNames(ctx, made, shown, typical, how, s);
}

function paintBodies(ctx, inks, made, s, how, line) {
  const { width, height } = ctx.canvas;
  for (let at = 0; at < s.drawn; at++) {
    const i = s.order[at];
    if (isOutside(s, i, width, height)) continue;
    const colour = inks.colours[how.colour[i]];
    const coat = coatOf(s, i, made, how.whole);
    outline(ctx, s, i);
    if (coat.halo) {
      ctx.lineWidth = line * coat.halo;
      ctx.strokeStyle = inks.halo;
      ctx.stroke();
    }
    if (coat.fill) {
      ctx.fillStyle = colour[coat.fill];
      ctx.fill();
    } else {
      fillGlossy(ctx, s, i, colour);
    }
    ctx.lineWidth = line * coat.line;
    ctx.strokeStyle = coat.stroke ? colour[coat.stroke] : inks.outline;
    ctx.stroke();
  }
}

// Fills the current path; the path is kept, in canvas pixels, for the stroke that follows.
function fillGlossy(ctx, s, i, colour) {
  if (s.minor[i] < FLAT) {
    ctx.fillStyle = colour.flat;
    ctx.fill();
    return;
  }
  if (s.straight[i] > LONG * s.minor[i]) {
    fillBands(ctx, s, i, colour);
    return;
  }
  const ux = s.ux[i];
  const uy = s.uy[i];
  const a2 = s.major[i] * s.major[i];
  const b2 = s.minor[i] * s.minor[i];
  const ex = Math.sqrt(ux * ux * a2 + uy * uy * b2) + Math.abs(ux) * s.straight[i];
  const ey = Math.sqrt(uy * uy * a2 + ux * ux * b2) + Math.abs(uy) * s.straight[i];
  ctx.setTransform(2 * ex, 0, 0, 2 * ey, s.cx[i] - ex, s.cy[i] - ey);
  ctx.fillStyle = colour.gloss;
  ctx.fill();
  ctx.setTransform(1, 0, 0, 1, 0, 0);
}

// A long body in flat strokes along its axis: shaded edge, base, light band and glint.
function fillBands(ctx, s, i, { tones }) {
  ctx.fillStyle = tones.deep;
  ctx.fill();
  const ux = s.ux[i];
  const uy = s.uy[i];
  const r = s.minor[i];
  const side = -uy * TOWARDS_LIGHT[0] + ux * TOWARDS_LIGHT[1] > 0 ? 1 : -1;
  ctx.lineCap = "round";
  for (const [tone, beyond, shift, wide] of BANDS) {
    const half = s.straight[i] + beyond * s.major[i];
    const x = s.cx[i] - side * uy * shift * r;
    const y = s.cy[i] + side * ux * shift * r;
    ctx.beginPath();
    ctx.moveTo(x - ux * half, y - uy * half);
    ctx.lineTo(x + ux * half, y + uy * half);
    ctx.strokeStyle = tones[tone];
    ctx.lineWidth = wide * r;
    ctx.stroke();
  }
  ctx.lineCap = "butt";
  outline(ctx, s, i);
}

// New work that lies behind other bubbles shows as a dashed outline over what hides it.
function paintGhosts(ctx, made, shown, inks, line, s, hidden) {
  if ((shown - made) * shown > MOST_PAIRS) return;
  for (let i = made; i < shown; i++) {
    if (hidden && hidden[i]) continue;
    if (!isHidden(i, s)) continue;
    outline(ctx, s, i);
    ctx.lineWidth = line * 3.2;
    ctx.strokeStyle = inks.halo;
    ctx.stroke();
    ctx.setLineDash([line * 4, line * 4]);
    ctx.lineWidth = line * 1.6;
    ctx.strokeStyle = inks.outline;
    ctx.stroke();
    ctx.setLineDash([]);
  }
}
