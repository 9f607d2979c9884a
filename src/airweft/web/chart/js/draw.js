// The chart painted: panels with their numbers, bubbles with their marks, joints and cuts.

import { outline } from "airweft-canvas/painter.js";
import { paintMark } from "airweft-canvas/writing.js";

const LETTERS = 4.2; // least half width of a bubble, in page pixels, that carries its mark
const NUMBERS = 9; // least width of a column for numbers
const PLATES = 13; // and for the numbers of cuts

// `unit` is the width of a column in canvas pixels, (x, y) the chart's upper left corner there, `shifts`
// where each part is set.
export function paintChart(ctx, model, s, { unit, x, y, px, look, letters, shifts }) {
  const { width, height } = ctx.canvas;
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.fillStyle = look.card;
  ctx.fillRect(0, 0, width, height);
  model.parts.forEach((part, k) => {
    paintPart(ctx, part, unit, x + shifts[k][0] * unit, y + shifts[k][1] * unit, px, look);
  });
  const line = Math.min(Math.max(0.5, unit * 0.05), 1.6 * px);
  ctx.lineWidth = line;
  ctx.strokeStyle = "#1b1b22";
  for (let k = 0; k < s.drawn; k++) {
    const i = s.order[k];
    const far = s.major[i] + line;
    if (s.cx[i] + far < 0 || s.cy[i] + far < 0 || s.cx[i] - far > width || s.cy[i] - far > height) continue;
    outline(ctx, s, i);
    ctx.fillStyle = model.palette[model.colour[i]].tones.base;
    ctx.fill();
    ctx.stroke();
  }
  if (letters && unit * 0.3 > LETTERS * px) {
    ctx.textAlign = "center";
    ctx.textBaseline = "alphabetic";
    for (let k = 0; k < s.drawn; k++) {
      const i = s.order[k];
      const { mark } = model.palette[model.colour[i]];
      if (!mark || s.cx[i] < -unit || s.cy[i] < -unit || s.cx[i] > width + unit || s.cy[i] > height + unit) continue;
      paintMark(ctx, s.cx[i], s.cy[i], s.minor[i] * 0.62, mark);
    }
  }
  ctx.fillStyle = "#1b1b22";
  const dot = Math.min(3 * px, unit * 0.075);
  for (let k = 0; k < s.jx.length && dot > 0.6; k++) {
    ctx.beginPath();
    ctx.arc(s.jx[k], s.jy[k], dot, 0, 2 * Math.PI);
    ctx.fill();
  }
  if (unit > PLATES * px) paintPlates(ctx, model.plates, shifts, unit, x, y, px);
}

function paintPart(ctx, { name, box, columns, rows, meets }, unit, x, y, px, look) {
  const left = x + box[0] * unit;
  const top = y + box[1] * unit;
  const wide = box[2] * unit;
  const high = box[3] * unit;
  if (columns) {
    const edge = unit * 0.16;
    ctx.fillStyle = look.sunk;
    ctx.beginPath();
    ctx.roundRect(left - edge, top - edge, wide + 2 * edge, high + 2 * edge, unit * 0.35);
    ctx.fill();
  }
  ctx.textBaseline = "alphabetic";
  const tall = Math.min(15 * px, Math.max(10 * px, unit * 0.55));
  ctx.fillStyle = look.ink;
  ctx.textAlign = "start";
  ctx.font = `600 ${tall}px "Fira Sans", system-ui, sans-serif`;
  // Squeezed rather than cut off at the edge.
  const room = Math.max(40 * px, ctx.canvas.width - left - 6 * px);
  ctx.fillText(name, left, top - (columns ? 0.5 : 0.75) * unit, room);
  const named = ctx.measureText(name).width;
  if (unit < NUMBERS * px) return;
  const type = Math.min(13 * px, Math.max(8 * px, unit * 0.42));
  ctx.fillStyle = look.quiet;
  ctx.font = `400 ${type}px "Fira Sans", system-ui, sans-serif`;
  const every = unit > 15 * px ? 1 : unit > 11 * px ? 2 : 5;
  ctx.textAlign = "center";
  for (let c = 0; c < columns; c++) {
    if (c && (c + 1) % every) continue;
    ctx.fillText(c + 1, left + (c + 0.5) * unit, top + high + unit * 0.4 + type);
  }
  ctx.textAlign = "end";
  rows.forEach(([text, rx, ry], r) => {
    if (r && (r + 1) % every) return;
    ctx.fillText(text, x + rx * unit - (columns ? 0.4 : 0) * unit, y + ry * unit + type * 0.36);
  });
  if (meets.top && named + ctx.measureText(meets.top).width + unit < wide) {
    ctx.fillText(meets.top, left + wide, top - unit * 0.5);
  }
  const below = top + high + unit * 0.5 + 2.1 * type;
  if (meets.bottom && ctx.measureText(meets.bottom).width < wide) ctx.fillText(meets.bottom, left + wide, below);
  for (const [side, at] of [["left", left - unit * 0.6 - type * 1.5], ["right", left + wide + unit * 0.4]]) {
    if (!meets[side] || ctx.measureText(meets[side]).width > high) continue;
    ctx.save();
    ctx.translate(at, top);
    ctx.rotate(Math.PI / 2);
    ctx.textAlign = "start";
    ctx.fillText(meets[side], 0, 0);
    ctx.restore();
  }
}

// The numbers of joints that lie at several places, on small plates.
function paintPlates(ctx, plates, shifts, unit, x, y, px) {
  const type = Math.min(11 * px, Math.max(7 * px, unit * 0.3));
  ctx.font = `600 ${type}px "Fira Sans", system-ui, sans-serif`;
  ctx.textAlign = "center";
  ctx.textBaseline = "alphabetic";
  ctx.lineWidth = px;
  for (const [text, part, jx, jy] of plates) {
    const wide = ctx.measureText(text).width + type * 0.7;
    const cx = x + (jx + shifts[part][0]) * unit;
    const cy = y + (jy + shifts[part][1]) * unit;
    if (cx < -wide || cy < -wide || cx > ctx.canvas.width + wide || cy > ctx.canvas.height + wide) continue;
    ctx.beginPath();
    ctx.roundRect(cx - wide / 2, cy - type * 0.65, wide, type * 1.3, type * 0.4);
    ctx.fillStyle = "#fff6cf";
    ctx.fill();
    ctx.strokeStyle = "#1b1b22";
    ctx.stroke();
    ctx.fillStyle = "#1b1b22";
    ctx.fillText(text, cx, cy + type * 0.36);
  }
}
