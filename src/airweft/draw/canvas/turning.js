// Orientation of the piece: a 3 x 3 matrix whose rows are the screen's right, up and towards-the-eye
// directions in the piece's own space (x right, y away, z up).

export const DEGREE = Math.PI / 180;

export function orientationOf(around, above) {
  const a = around * DEGREE;
  const b = above * DEGREE;
  const ca = Math.cos(a);
  const sa = Math.sin(a);
  const cb = Math.cos(b);
  const sb = Math.sin(b);
  return [ca, sa, 0, -sa * sb, ca * sb, cb, sa * cb, -ca * cb, sb];
}

export function multiply(m, n) {
  const out = new Array(9);
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      out[3 * r + c] = m[3 * r] * n[c] + m[3 * r + 1] * n[3 + c] + m[3 * r + 2] * n[6 + c];
    }
  }
  return out;
}

// Turn about the piece's own upright axis; the screen stays level.
export function turnedAround(m, angle) {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return multiply(m, [c, s, 0, -s, c, 0, 0, 0, 1]);
}

// Tip about the screen's level axis.
export function tipped(m, angle) {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return multiply([1, 0, 0, 0, c, s, 0, -s, c], m);
}

// Roll about the line of sight.
export function rolled(m, angle) {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return multiply([c, s, 0, -s, c, 0, 0, 0, 1], m);
}

// A matrix between two orientations: mixed, then made square again (Gram and Schmidt).
export function between(m, n, t) {
  const mix = m.map((value, i) => value + (n[i] - value) * t);
  return squared(mix) || n.slice();
}

function squared(m) {
  const length = (v) => Math.hypot(v[0], v[1], v[2]);
  let toEye = [m[6], m[7], m[8]];
  const far = length(toEye);
  if (far < 1e-3) return null;
  toEye = toEye.map((v) => v / far);
  let right = [m[0], m[1], m[2]];
  const along = right[0] * toEye[0] + right[1] * toEye[1] + right[2] * toEye[2];
  right = right.map((v, i) => v - along * toEye[i]);
  const wide = length(right);
  if (wide < 1e-3) return null;
  right = right.map((v) => v / wide);
  const up = [
    toEye[1] * right[2] - toEye[2] * right[1],
    toEye[2] * right[0] - toEye[0] * right[2],
    toEye[0] * right[1] - toEye[1] * right[0],
  ];
  return [...right, ...up, ...toEye];
}

// From where the piece is seen: whole degrees around from the front, and above the level.
export function seenFrom(m) {
  const above = Math.asin(Math.max(-1, Math.min(1, m[8]))) / DEGREE;
  // Straight above or below, the eye has no side; the screen's up then says which way is the back.
  const around =
    Math.abs(m[8]) > 0.98
      ? Math.atan2(-m[3], m[4]) / DEGREE + (m[8] < 0 ? 180 : 0)
      : Math.atan2(m[6], -m[7]) / DEGREE;
  return [Math.round(around), Math.round(above)];
}
