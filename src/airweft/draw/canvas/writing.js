// What is written on the picture: marks on bubbles, rings on joints that are locked, flags with names.
//
// `s` is the scratch of the painter after a frame, with each bubble's place in the order in `slot`.

export const MOST_PAIRS = 4e6; // bubbles compared for hiding in one frame, at most
const DISC = 0.56; // radius of a mark's disc as a share of the waist

// Where a disc may lie on a bubble, in half axes along and across it; the middle is best.
const SPOTS = [
  [0, 0],
  [0.5, 0],
  [-0.5, 0],
  [0, 0.45],
  [0, -0.45],
  [0.4, 0.4],
  [-0.4, 0.4],
  [0.4, -0.4],
  [-0.4, -0.4],
];

// Marks of the bubbles from `first` on, each where nothing nearer covers it; none where all is.
export function paintMarks(ctx, model, first, shown, s, how) {
  const count = shown - first;
  if (!count || s.minor[s.order[s.drawn >> 1]] * DISC < 3.2 * how.pixel) return;
  const searched = count * shown < MOST_PAIRS;
  ctx.textAlign = "center";
  ctx.textBaseline = "alphabetic";
  for (let i = first; i < shown; i++) {
    const text = how.label(i);
    if (!text || (how.whole && s.back[i]) || (how.hidden && how.hidden[i])) continue;
    const disc = s.minor[i] * DISC;
    if (!searched) {
      paintMark(ctx, s.cx[i], s.cy[i], disc, text);
      continue;
    }
    const nearer = nearerThan(i, s.slot[i], s);
    for (const shrink of [1, 0.72]) {
      const spot = SPOTS.find((at) => isFree(at, i, disc * shrink, nearer, s));
      if (!spot) continue;
      const [x, y] = spotAt(spot, i, s);
      paintMark(ctx, x, y, disc * shrink, text);
      break;
    }
  }
}

function nearerThan(i, rank, s) {
  const found = [];
  const reach = s.major[i] + s.straight[i];
  for (let at = rank + 1; at < s.drawn; at++) {
    const o = s.order[at];
    const far = reach + s.major[o] + s.straight[o];
    if (Math.abs(s.cx[o] - s.cx[i]) < far && Math.abs(s.cy[o] - s.cy[i]) < far) found.push(o);
  }
  return found;
}

function spotAt([along, across], i, s) {
  const a = along * (s.major[i] + s.straight[i]);
  const b = across * s.minor[i];
  return [s.cx[i] + s.ux[i] * a - s.uy[i] * b, s.cy[i] + s.uy[i] * a + s.ux[i] * b];
}

function isFree(spot, i, disc, nearer, s) {
  const [x, y] = spotAt(spot, i, s);
  // Off the middle, the disc must still lie on its own bubble.
  const reach = s.major[i] + s.straight[i];
  if (spot[0] && Math.abs(spot[0]) * reach + disc > reach * 0.95) return false;
  if (spot[1] && Math.abs(spot[1]) * s.minor[i] + disc > s.minor[i] * 0.95) return false;
  return !nearer.some((o) => onBubble(s, o, x, y, disc * 0.95));
}

// Whether hardly a place of bubble i is seen.
export function isHidden(i, s) {
  const nearer = nearerThan(i, s.slot[i], s);
  return SPOTS.filter((at) => isFree(at, i, 0, nearer, s)).length <= SPOTS.length / 4;
}

// Whether the point lies on bubble i, whose outline is an ellipse pulled apart in its middle. `more`
// pixels around count as well.
export function onBubble(s, i, x, y, more = 0) {
  const dx = x - s.cx[i];
  const dy = y - s.cy[i];
  const along = Math.max(0, Math.abs(dx * s.ux[i] + dy * s.uy[i]) - s.straight[i]);
  const across = dx * s.uy[i] - dy * s.ux[i];
  const a = along / (s.major[i] + more);
  const b = across / (s.minor[i] + more);
  return a * a + b * b <= 1;
}

export function paintMark(ctx, x, y, disc, text) {
  const type = disc * (text.length > 2 ? 0.8 : text.length > 1 ? 1.05 : 1.5);
  ctx.beginPath();
  ctx.arc(x, y, disc, 0, 2 * Math.PI);
  ctx.fillStyle = "#fff";
  ctx.fill();
  ctx.fillStyle = "#1b1b22";
  ctx.font = `700 ${type.toFixed(1)}px system-ui, "Segoe UI", Roboto, sans-serif`;
  ctx.fillText(text, x, y + type * 0.36, disc * 1.9);
}

// Joints that this stop locks, as small rings over everything.
export function paintLocks(ctx, locks, waist, px, s) {
  const size = Math.max(2.6 * px, Math.min(8 * px, waist * 0.16));
  ctx.fillStyle = "#ffffff";
  ctx.strokeStyle = "#1b1b22";
  ctx.lineWidth = Math.max(1.3 * px, size * 0.5);
  for (const joint of locks) {
    ctx.beginPath();
    ctx.arc(s.jx[joint], s.jy[joint], size, 0, 2 * Math.PI);
    ctx.fill();
    ctx.stroke();
  }
}

// Flags on the joints that the text names: beside the new work and beside each other, as near as may
// be, and rather not under the signs and buttons that lie on the picture; one that finds no room is
// left out.
const MOST_NAMES = 12;
const FLAG_TURNS = [0, 0.5, -0.5, 1, -1, 1.6, -1.6, 2.3, -2.3, 3.1];
const FLAG_REACHES = [9, 24, 44, 70];
const UNDER = 60; // what it counts to lie under a sign, as much as so many page pixels farther away
export function paintNames(ctx, made, shown, waist, how, s) {
  const px = how.pixel;
  const [, above, below] = how.signs.map((room) => room * px);
  const type = Math.max(how.type * px, Math.min(20 * px, waist * 0.36));
  const high = type * 1.5;
  const fresh = [];
  let mx = 0;
  let my = 0;
  for (let i = made; i < shown; i++) {
    mx += s.cx[i] / (shown - made);
    my += s.cy[i] / (shown - made);
    const r = s.minor[i] * 0.8;
    fresh.push({ x: s.cx[i] - r, y: s.cy[i] - r, wide: 2 * r, high: 2 * r });
  }
  ctx.font = `700 ${type.toFixed(1)}px system-ui, "Segoe UI", Roboto, sans-serif`;
  ctx.textAlign = "center";
  ctx.textBaseline = "alphabetic";
  const flags = [];
  for (const [name, joint] of how.named.slice(0, MOST_NAMES)) {
    const x = s.jx[joint];
    const y = s.jy[joint];
    const wide = ctx.measureText(name).width + type * 0.8;
    const first = shown > made ? Math.atan2(y - my, x - mx) : -Math.PI / 2;
    let best = null;
    let least = Infinity;
    for (const reach of FLAG_REACHES) {
      for (const turn of FLAG_TURNS) {
        const along = [Math.cos(first + turn), Math.sin(first + turn)];
        const far = reach * px + (Math.abs(along[0]) * wide + Math.abs(along[1]) * high) / 2;
        const box = { x: x + along[0] * far - wide / 2, y: y + along[1] * far - high / 2, wide, high };
        if (!fitsIn(box, ctx.canvas, px) || flags.some((other) => overlap(box, other.box))) continue;
        const hides = fresh.filter((bubble) => overlap(box, bubble)).length;
        const under = box.y < above || box.y + high > ctx.canvas.height - below;
        const cost = hides * 100 + (under ? UNDER : 0) + reach + 4 * Math.abs(turn);
        if (cost < least) {
          least = cost;
          best = box;
        }
      }
    }
    if (best) flags.push({ name, x, y, box: best });
  }
  for (const flag of flags) paintLeader(ctx, flag, px);
  for (const flag of flags) paintFlag(ctx, flag, type, px);
}

function fitsIn(box, canvas, px) {
  const edge = 3 * px;
  return (
    box.x >= edge &&
    box.y >= edge &&
    box.x + box.wide <= canvas.width - edge &&
    box.y + box.high <= canvas.height - edge
  );
}

function overlap(a, b) {
  return a.x < b.x + b.wide && b.x < a.x + a.wide && a.y < b.y + b.high && b.y < a.y + a.high;
}

function paintLeader(ctx, { x, y, box }, px) {
  ctx.beginPath();
  ctx.moveTo(x, y);
  ctx.lineTo(box.x + box.wide / 2, box.y + box.high / 2);
  ctx.strokeStyle = "#fff6cf";
  ctx.lineWidth = 3.2 * px;
  ctx.stroke();
  ctx.strokeStyle = "#1b1b22";
  ctx.lineWidth = 1.4 * px;
  ctx.stroke();
  ctx.beginPath();
  ctx.arc(x, y, 2.6 * px, 0, 2 * Math.PI);
  ctx.fillStyle = "#1b1b22";
  ctx.fill();
}

function paintFlag(ctx, { name, box }, type, px) {
  ctx.beginPath();
  ctx.rect(box.x, box.y, box.wide, box.high);
  ctx.fillStyle = "#fff6cf";
  ctx.fill();
  ctx.strokeStyle = "#1b1b22";
  ctx.lineWidth = 1.4 * px;
  ctx.stroke();
  ctx.fillStyle = "#1b1b22";
  ctx.fillText(name, box.x + box.wide / 2, box.y + box.high / 2 + type * 0.36);
}
