// The view as a part of the page.

import { canvasPart } from "airweft-view/part.js";
import { addView, dropView } from "airweft-view/registry.js";
import { makeStage } from "airweft-view/stage.js";
import { addTools } from "airweft-view/tools.js";

export default canvasPart({
  props: { tools: Array },
  start: makeStage,
  dress: (stage, { tools, number }) => addTools(stage, tools, number),
  join(stage, { number }) {
    addView(number, stage);
    return () => dropView(number, stage);
  },
  calls: ["camera"],
});
