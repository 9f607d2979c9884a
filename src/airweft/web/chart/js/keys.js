// The chart's keys, buttons and words. Arrow keys go from bubble to bubble, Enter uses the one reached.

import { TEXT, counted } from "airweft-view/texts.js";
import { addWords, groupOf, nearButtons } from "airweft-view/tools.js";

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const MARGIN = 40; // page pixels that the bubble reached keeps from the edge

export function addKeys(board, id) {
  const { frame, main } = board;
  const { said, heard, keys, wordsOf, close } = addWords(board, id, TEXT.chartPart, TEXT.chartKeys);
  const bar = groupOf("pv-tools pv-tools-end", TEXT.chartTools);
  bar.append(
    nearButtons(() => board.zoom(1.35, 0, 0), () => board.zoom(1 / 1.35, 0, 0), TEXT.chartHome, board.home),
  );
  frame.append(said, bar, keys, heard);

  function describe() {
    const { model } = board;
    bar.hidden = !model.charted;
    const counts = counted(model.charted, "bubble", "bubbles");
    main.setAttribute("aria-label", `${TEXT.chart(model.name)}. ${counts}, ${counted(model.parts.length, "part", "parts")}.`);
  }

  function go([dx, dy]) {
    const { s, pixel } = board.places;
    const from = board.pointed;
    let best = -1;
    let least = Infinity;
    for (let k = 0; k < s.drawn; k++) {
      const i = s.order[k];
      if (i === from) continue;
      const x = s.cx[i] - (from < 0 ? 0 : s.cx[from]);
      const y = s.cy[i] - (from < 0 ? 0 : s.cy[from]);
      const along = x * dx + y * dy;
      const across = Math.abs(x * dy) + Math.abs(y * dx);
      // The first one reached is the upper left of the chart.
      const cost = from < 0 ? x + y : along > 0.3 * s.minor[i] ? along + 2.5 * across : Infinity;
      if (cost < least) {
        least = cost;
        best = i;
      }
    }
    if (best < 0) return;
    board.point(best);
    heard.textContent = wordsOf(best);
    const x = s.cx[best] / pixel;
    const y = s.cy[best] / pixel;
    const off = (at, room) => Math.max(0, MARGIN - at) - Math.max(0, at - (room - MARGIN));
    const shift = [off(x, main.clientWidth), off(y, main.clientHeight)];
    if (shift[0] || shift[1]) board.pan(...shift);
  }

  main.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !board.model || !board.model.charted) return;
    const { key } = event;
    const way = WAYS[key];
    if (way && event.shiftKey) board.pan(-40 * way[0], -40 * way[1]);
    else if (way) go(way);
    else if (key === "Enter" || key === " ") {
      board.use(board.pointed);
      if (board.pointed >= 0) heard.textContent = wordsOf(board.pointed);
    } else if (key === "+" || key === "=") board.zoom(1.25, 0, 0);
    else if (key === "-" || key === "_") board.zoom(0.8, 0, 0);
    else if (key === "0" || key === "Home") board.home();
    else return;
    event.preventDefault();
  });
  main.addEventListener("blur", () => board.point(-1));

  board.on("model", describe);
  return close;
}
