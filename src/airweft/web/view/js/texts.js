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
  insideSide: (side) => `From ${side}`,
  insideHow: "How much is cut off",
  insideShare: (share) => `${Math.round(share * 100)} % cut off`,
  sides: [
    ["sight", "your side"],
    ["depth", "the front"],
    ["width", "the right"],
    ["height", "the top"],
  ],
  measures: "Measures",
  empty: "Nothing to show yet.",
  bubble: (name, colour, mark) => `${name}, ${colour}${mark ? ` (${mark})` : ""}`,
  chart: (name) => (name ? `${name}, laid flat` : "The piece, laid flat"),
  chartPart: "flat chart",
  chartTools: "Chart",
  chartHome: "Show the whole chart",
  chartKeys:
    "Arrow keys go from bubble to bubble, Enter picks or paints it. Plus and minus come closer and " +
    "go back, 0 shows the whole chart. Shift with an arrow key moves the chart.",
  noChart: "A bare frame has no flat chart: use the picture, or the list of bubbles.",
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
  sizes: (sizes) => {
    const said = sizes.map(({ way, text }) => `${way} ${text}`).join(", ");
    return said.charAt(0).toUpperCase() + said.slice(1);
  },
};
