// What lies over the picture on a canvas of its own: marks, the bubble under the pointer, measures.

import { outline, placing } from "airweft-canvas/painter.js";
import { bubbleAt } from "./pick.js";

const MOST_ASKED = 400; // marked bubbles that are compared with what may hide them

// `marks` are {tone, bubbles, joints}; `look` has the colours: card, ink, and one for each tone. `ping`
// runs from 0 to 1 while new marks draw the eye to them, and is 1 afterwards. Joints get rings of `reach`
// page pixels; what `behind(joint)` says lies behind the piece is dashed, as hidden bubbles are.
export function paintMarked(ctx, s, marks, look, px, ping, reach = 8, behind = () => false) {
  ctx.lineJoin = "round";
  for (const { tone, bubbles, joints } of marks) {
    const colour = look[tone] || look.accent;
    const asked = bubbles.length <= MOST_ASKED;
    for (const i of bubbles) {
      if (!s.major[i]) continue;
      const hidden = asked && bubbleAt(s, s.cx[i], s.cy[i]) !== i;
      ring(ctx, s, i, colour, look.card, hidden ? 2 * px : 3.4 * px, hidden ? [5 * px, 4 * px] : []);
    }
    for (const j of joints) {
      const x = s.jx[j];
      const y = s.jy[j];
      if (ping < 1) {
        ctx.globalAlpha = 1 - ping;
        circle(ctx, x, y, (reach + 30 * ping) * px, colour, 2.5 * px);
        ctx.globalAlpha = 1;
      }
      circle(ctx, x, y, reach * px, look.card, reach * 0.88 * px);
      if (behind(j)) ctx.setLineDash([reach * 0.6 * px, reach * 0.5 * px]);
      circle(ctx, x, y, reach * px, colour, reach * 0.42 * px);
      ctx.setLineDash([]);
    }
  }
}

export function paintPointed(ctx, s, i, look, px) {
  ring(ctx, s, i, look.ink, look.card, 2 * px, []);
}

function ring(ctx, s, i, colour, halo, wide, dashes) {
  outline(ctx, s, i);
  ctx.strokeStyle = halo;
  ctx.lineWidth = wide * 2;
  ctx.stroke();
  ctx.setLineDash(dashes);
  ctx.strokeStyle = colour;
  ctx.lineWidth = wide;
  ctx.stroke();
  ctx.setLineDash([]);
}

function circle(ctx, x, y, reach, colour, wide) {
  ctx.beginPath();
  ctx.arc(x, y, reach, 0, 2 * Math.PI);
  ctx.strokeStyle = colour;
  ctx.lineWidth = wide;
  ctx.stroke();
}

// Width, depth and height along those edges of the box around the piece that lie outermost.
export function paintMeasures(ctx, model, eye, look, px) {
  const { low, high } = model.box;
  const { place, spot } = placing(model, eye);
  const at = (corner) => {
    place(...corner.map((side, k) => (side ? high[k] : low[k])));
    return [spot[0], spot[1]];
  };
  const ends = [0, 1].map((k) => {
    const all = CORNERS.map(at).map((p) => p[k]);
    return [Math.min(...all), Math.max(...all)];
  });
  const middle = ends.map(([a, b]) => (a + b) / 2);
  const type = 13 * px;
  ctx.font = `600 ${type}px "Fira Sans", system-ui, sans-serif`;
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  ctx.lineCap = "round";
  model.sizes.forEach(({ text }, way) => {
    let best = null;
    for (const [a, b] of edgesAlong(way)) {
      const from = at(a);
      const to = at(b);
      const x = (from[0] + to[0]) / 2 - middle[0];
      const y = (from[1] + to[1]) / 2 - middle[1];
      // Level edges are measured below the piece, upright ones beside it.
      const worth = way < 2 ? y : Math.abs(x) + (x < 0 ? 1 : 0);
      if (!best || worth > best.worth) best = { from, to, worth, x, y };
    }
    paintMeasure(ctx, best, text, type, look, px);
  });
  ctx.lineCap = "butt";
}

function paintMeasure(ctx, { from, to, x, y }, text, type, look, px) {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const long = Math.hypot(dx, dy);
  // Seen end on, it says nothing.
  if (long < 24 * px) return;
  let out = [-dy / long, dx / long];
  if (out[0] * x + out[1] * y < 0) out = out.map((value) => -value);
  const off = (reach) => [from, to].map((end) => [end[0] + out[0] * reach, end[1] + out[1] * reach]);
  const [a, b] = off(16 * px);
  const line = (colour, wide) => {
    ctx.beginPath();
    ctx.moveTo(...a);
    ctx.lineTo(...b);
    for (const [end, base] of [[a, from], [b, to]]) {
      ctx.moveTo(base[0] + out[0] * 5 * px, base[1] + out[1] * 5 * px);
      ctx.lineTo(end[0] + out[0] * 5 * px, end[1] + out[1] * 5 * px);
    }
    ctx.strokeStyle = colour;
    ctx.lineWidth = wide;
    ctx.stroke();
  };
  line(look.card, 5 * px);
  line(look.ink, 1.6 * px);
  const wide = ctx.measureText(text).width + 12 * px;
  const high = type * 1.6;
  const reach = 22 * px + (Math.abs(out[0]) * wide + Math.abs(out[1]) * high) / 2;
  const cx = Math.min(ctx.canvas.width - wide / 2, Math.max(wide / 2, (from[0] + to[0]) / 2 + out[0] * reach));
  const cy = Math.min(ctx.canvas.height - high / 2, Math.max(high / 2, (from[1] + to[1]) / 2 + out[1] * reach));
  ctx.fillStyle = look.card;
  ctx.beginPath();
  ctx.roundRect(cx - wide / 2, cy - high / 2, wide, high, 6 * px);
  ctx.fill();
  ctx.fillStyle = look.ink;
  ctx.fillText(text, cx, cy + px);
}

const CORNERS = [0, 1, 2, 3, 4, 5, 6, 7].map((n) => [n & 1, (n >> 1) & 1, (n >> 2) & 1]);

// The four edges of a box that run along one of its three ways, as pairs of corners.
function edgesAlong(way) {
  return CORNERS.filter((corner) => !corner[way]).map((corner) => [
    corner,
    corner.map((side, k) => (k === way ? 1 : side)),
  ]);
}
