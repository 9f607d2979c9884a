// What is written on bubbles and joints while the piece is made.

import { namedJoints } from "./data.js";

const MOST_NUMBERED = 4; // balloons at work in a step up to which their bubbles are numbered

// The colour mark of each bubble.
export function colourMark(model) {
  return (i) => model.palette[model.colour[i]].mark;
}

// The mark of the part that each bubble belongs to, where several people make the piece.
export function partMark(model) {
  return (i) => model.palette[model.partColour[i]].mark;
}

// What stands on the new bubbles of a stop: of a single balloon the bubbles' numbers, as the text
// counts them; of a few the balloon's code on its first new one and then numbers; of many the codes.
export function makersLabel(model, stop) {
  if (soleBalloon(model, stop) >= 0) return (i) => String(model.count[i]);
  const firsts = new Map();
  for (let i = stop.firstBubble; i < stop.lastBubble; i++) {
    if (!firsts.has(model.balloon[i])) firsts.set(model.balloon[i], i);
  }
  const few = firsts.size <= MOST_NUMBERED;
  const code = (i) => model.balloons[model.balloon[i]].code;
  return (i) => (few && firsts.get(model.balloon[i]) !== i ? String(model.count[i]) : code(i));
}

// The balloon that makes all new bubbles of a stop, or -1.
export function soleBalloon(model, stop) {
  const first = model.balloon[stop.firstBubble];
  for (let i = stop.firstBubble; i < stop.lastBubble; i++) {
    if (model.balloon[i] !== first) return -1;
  }
  return stop.lastBubble > stop.firstBubble ? first : -1;
}

// The joints that a stop's text names. Parts are joined where two names mean one joint: its flag
// carries both.
export function flagged(model, stop, text) {
  const named = namedJoints(model, text);
  if (!stop.joins) return named;
  const flags = new Map();
  for (const [name, joint] of named) flags.set(joint, [...(flags.get(joint) || []), name]);
  return [...flags].map(([joint, names]) => [names.join(" "), joint]);
}
