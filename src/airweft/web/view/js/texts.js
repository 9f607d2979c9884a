// Every sentence that the view puts on the page, in one place.

import { seenWords } from "airweft-canvas/seen.js";

export function counted(count, one, many) {
  return `${count.toLocaleString("en")} ${count === 1 ? one : many}`;
}

export const TEXT = {
  view: (around, above) => `Seen ${seenWords(around, above)}`,
  piece: (name) => (name ? `${name}, in three dimensions` : "The piece, in three dimensions"),
  keys:
    "Arrow keys turn the piece. Plus and minus come closer and go back, 0 shows the whole piece. " +
    "Shift with an arrow key moves the picture. The list of bubbles says the same in words.",
  part: "rotatable picture",
  tools: "Picture",
  turnGroup: "Turn",
  left: "Turn to the left",
  right: "Turn to the right",
  up: "Look from higher up",
  down: "Look from lower down",
  closer: "Closer",
  farther: "Farther away",
  home: "Show the whole piece",
  turn: "Turning buttons",
  inside: "Look inside",
  insideFrom: "Cut off from",
  insideHow: "How far",
  insideShare: (share) => `${Math.round(share * 100)} % cut off`,
  sides: [
    ["sight", "where you look from"],
    ["depth", "the front"],
    ["width", "the right"],
    ["height", "the top"],
  ],
  measures: "Measures",
  empty: "Nothing to show yet.",
  bubble: (name, colour, mark) => `${name}, ${colour}${mark ? ` (${mark})` : ""}`,
  joint: (name, bubbles) =>
    `${name || "joint without a name"}: ${counted(bubbles.length, "bubble ends", "bubbles end")} here: ${bubbles.join(", ")}`,
  between: (from, to) => (from === to ? `A loop on ${from}` : `From ${from} to ${to}`),
  madeBy: (code, count) => `, bubble ${count} of ${code}`,
  cut: (axis, share) =>
    `${Math.round(share * 100)} % cut off from ${TEXT.sides.find(([name]) => name === axis)[1]}`,
  twin: "Bubbles and joints in words",
  twinShow: "Show",
  twinFind: "Find",
  twinList: "Bubbles and joints",
  twinAll: (count) => `All: ${counted(count, "bubble", "bubbles")}`,
  twinNew: (bubbles, locks) =>
    `New: ${counted(bubbles, "bubble", "bubbles")}, ${counted(locks, "lock", "locks")}`,
  twinOther: "No panel",
  twinJoints: (count) => counted(count, "joint", "joints"),
  twinBefore: "Earlier",
  twinAfter: "More",
  twinWhere: (first, last, all) => `${first} to ${last} of ${all.toLocaleString("en")}`,
  twinNone: "Nothing of this name.",
  sizes: (sizes) => sizes.map(({ way, text }) => `${way} ${text}`).join(", "),
};
