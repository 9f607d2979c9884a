// The flat chart as a part of the page.

import { makeBoard } from "airweft-chart/board.js";
import { keepStep } from "airweft-chart/beside.js";
import { addKeys } from "airweft-chart/keys.js";
import { canvasPart } from "airweft-view/part.js";
import { whenView } from "airweft-view/registry.js";

export default canvasPart({
  props: { view: Number },
  start: makeBoard,
  dress: (board, { number }) => addKeys(board, number),
  join(board, { view }) {
    let part = () => {};
    const stop = whenView(view, (stage) => {
      part();
      part = keepStep(board, stage);
    });
    return () => {
      stop();
      part();
    };
  },
});
