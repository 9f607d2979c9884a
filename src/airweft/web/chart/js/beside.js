// A chart beside a view of the same piece: by the bubbles' names each knows what the other points to.

export function keepStep(board, stage) {
  let toStage = new Map();
  let toBoard = new Map();

  function match() {
    toStage = new Map();
    toBoard = new Map();
    if (!board.model || !stage.model) return;
    const places = new Map(stage.model.bubbleNames.map((name, i) => [name, i]));
    board.model.bubbleNames.forEach((name, i) => {
      const there = places.get(name);
      if (there === undefined) return;
      toStage.set(i, there);
      toBoard.set(there, i);
    });
  }

  const other = (map, i) => (i >= 0 && map.has(i) ? map.get(i) : -1);

  // What a hand paints in one is shown in the other before the answer comes.
  function copy(from, to, map) {
    const marks = new Map(to.model.palette.map(({ mark }, k) => [mark, k]));
    const changed = [];
    for (const [i, there] of map) {
      const colour = marks.get(from.model.palette[from.model.colour[i]].mark);
      if (colour !== undefined && to.model.colour[there] !== colour) changed.push([there, colour]);
    }
    if (changed.length) to.recolour(changed);
  }

  const stops = [
    board.on("model", match),
    stage.on("model", match),
    board.on("pointed", () => stage.point(other(toStage, board.pointed))),
    stage.on("pointed", () => board.point(other(toBoard, stage.pointed))),
    board.on("colours", () => copy(board, stage, toStage)),
    stage.on("colours", () => copy(stage, board, toBoard)),
  ];
  match();
  return () => stops.forEach((stop) => stop());
}
