// The buttons on the picture, its keys and its words.

import { element } from "./registry.js";
import { TEXT, counted } from "./texts.js";

const ICONS = {
  closer: "M12 5v14M5 12h14",
  farther: "M5 12h14",
  home: "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5",
  turn: "M4.5 10a8 3.4 0 0 1 15 0M19.5 14a8 3.4 0 0 1-15 0M19.9 5.8v4.4h-4.4M4.1 18.2v-4.4h4.4",
  left: "M14 6l-6 6 6 6",
  right: "M10 6l6 6-6 6",
  up: "M6 14l6-6 6 6",
  down: "M6 10l6 6 6-6",
  inside: "M4 7l8-4 8 4v10l-8 4-8-4zM4 7l8 4v10M12 11l2.5-1.2",
  measures: "M3 8h18v8H3zM7 8v3M11 8v4M15 8v3M19 8v3",
};

function icon(name) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", ICONS[name]);
  svg.append(path);
  return svg;
}

export function button(name, label, act) {
  const made = element("button", "pv-button");
  made.type = "button";
  made.title = label;
  made.setAttribute("aria-label", label);
  made.append(icon(name));
  made.addEventListener("click", act);
  return made;
}

const KEYS = {
  ArrowLeft: "left",
  ArrowRight: "right",
  ArrowUp: "down",
  ArrowDown: "up",
  "+": "closer",
  "=": "closer",
  "-": "farther",
  _: "farther",
};
const SHIFTS = { ArrowLeft: [-40, 0], ArrowRight: [40, 0], ArrowUp: [0, -40], ArrowDown: [0, 40] };

// Builds everything around the canvas of `stage`; `wanted` names the tools to show, `id` makes the names
// of parts unique on the page.
export function addTools(stage, wanted, id) {
  const { frame, main } = stage;
  const nudge = (how) => () => stage.picture && stage.picture.nudge(how);

  const seen = element("p", "pv-seen");
  const said = element("p", "pv-said");
  said.hidden = true;
  const heard = element("p", "pv-unseen");
  heard.setAttribute("role", "status");
  const keys = element("p", "pv-unseen", TEXT.keys);
  keys.id = `pv-keys-${id}`;

  main.tabIndex = 0;
  main.setAttribute("role", "application");
  main.setAttribute("aria-roledescription", TEXT.part);
  main.setAttribute("aria-describedby", keys.id);

  const bar = element("div", "pv-tools");
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", TEXT.tools);
  const near = element("div", "pv-group");
  near.append(
    button("closer", TEXT.closer, nudge("closer")),
    button("farther", TEXT.farther, nudge("farther")),
    button("home", TEXT.home, () => stage.camera("corner")),
  );
  const more = element("div", "pv-group");

  const strip = element("div", "pv-strip");
  strip.setAttribute("role", "group");
  strip.setAttribute("aria-label", TEXT.turnGroup);
  strip.hidden = true;
  // A press looks from the side that its arrow points to.
  for (const [name, how] of [["left", "right"], ["right", "left"], ["up", "up"], ["down", "down"]]) {
    strip.append(button(name, TEXT[name], nudge(how)));
  }
  const turnOpen = opener("turn", TEXT.turn, strip);

  const { panel, update } = insidePanel(stage);
  const insideOpen = opener("inside", TEXT.inside, panel, (open) => {
    if (!open) stage.set({ section: null });
    else update();
  });

  const measures = button("measures", TEXT.measures, () => stage.set({ measures: !stage.state.measures }));
  measures.setAttribute("aria-pressed", "false");

  if (wanted.includes("turn")) more.append(turnOpen);
  if (wanted.includes("inside")) more.append(insideOpen);
  if (wanted.includes("measures")) more.append(measures);
  if (wanted.includes("zoom")) bar.append(more, near);
  else bar.append(more);
  frame.append(seen, said, bar, strip, panel, keys, heard);

  function opener(name, label, what, act) {
    const made = button(name, label, () => {
      what.hidden = !what.hidden;
      made.setAttribute("aria-expanded", String(!what.hidden));
      if (act) act(!what.hidden);
    });
    made.setAttribute("aria-expanded", "false");
    return made;
  }

  let byKey = false;
  let planned = "";
  let timer = 0;
  function describe() {
    const { model } = stage;
    if (!model) return;
    const view = TEXT.view(...stage.seenFrom);
    seen.textContent = `${view}.`;
    seen.hidden = !model.bubbleCount;
    const counts = `${counted(model.bubbleCount, "bubble", "bubbles")}, ${counted(model.jointCount, "joint", "joints")}`;
    const label = `${TEXT.piece(model.name)}. ${counts}. ${view}.`;
    if (label === planned) return;
    planned = label;
    clearTimeout(timer);
    timer = setTimeout(() => {
      main.setAttribute("aria-label", label);
      if (byKey) heard.textContent = `${view}.`;
      byKey = false;
    }, 250);
  }

  function point() {
    const i = stage.pointed;
    said.hidden = i < 0;
    if (i < 0) return;
    const { name, mark } = stage.model.palette[stage.model.colour[i]];
    said.textContent = TEXT.bubble(stage.model.bubbleNames[i], name, mark);
  }

  main.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !stage.picture) return;
    const { key } = event;
    byKey = true;
    if (event.shiftKey && SHIFTS[key]) stage.picture.pan(...SHIFTS[key]);
    else if (key === "0" || key === "Home") stage.camera("corner");
    else if (KEYS[key]) stage.picture.nudge(KEYS[key]);
    else {
      byKey = false;
      return;
    }
    event.preventDefault();
  });

  const stops = [
    stage.on("look", describe),
    stage.on("model", describe),
    stage.on("pointed", point),
    stage.on("state", () => {
      measures.setAttribute("aria-pressed", String(Boolean(stage.state.measures)));
      const cut = Boolean(stage.state.section);
      if (cut === panel.hidden) {
        panel.hidden = !cut;
        insideOpen.setAttribute("aria-expanded", String(cut));
      }
    }),
  ];
  return () => {
    clearTimeout(timer);
    for (const stop of stops) stop();
  };
}

// The section plane: from which side, and how far.
function insidePanel(stage) {
  const panel = element("div", "pv-panel");
  panel.hidden = true;
  panel.setAttribute("role", "group");
  panel.setAttribute("aria-label", TEXT.inside);
  const side = element("select", "pv-select");
  side.setAttribute("aria-label", TEXT.insideFrom);
  for (const [value, text] of TEXT.sides) {
    const option = element("option", "", TEXT.insideSide(text));
    option.value = value;
    side.append(option);
  }
  const slide = element("input", "pv-slide");
  slide.setAttribute("aria-label", TEXT.insideHow);
  Object.assign(slide, { type: "range", min: 0, max: 100, step: 1, value: 50 });
  const update = () => {
    const share = Number(slide.value) / 100;
    slide.setAttribute("aria-valuetext", TEXT.insideShare(share));
    stage.set({ section: { axis: side.value, share } });
  };
  side.addEventListener("change", update);
  slide.addEventListener("input", update);
  stage.on("state", () => {
    const { section } = stage.state;
    if (!section) return;
    side.value = section.axis;
    slide.value = Math.round(100 * section.share);
  });
  panel.append(side, slide);
  return { panel, update };
}
