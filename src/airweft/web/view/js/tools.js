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

// Parts that belong together, with a name for ears.
export function groupOf(className, label) {
  const made = element("div", className);
  made.setAttribute("role", "group");
  made.setAttribute("aria-label", label);
  return made;
}

export function nearButtons(closer, farther, homeText, home) {
  const made = element("div", "pv-group");
  made.append(
    button("closer", TEXT.closer, closer),
    button("farther", TEXT.farther, farther),
    button("home", homeText, home),
  );
  return made;
}

// What is said around a canvas, to be put into its frame: the bubble that is pointed to, what is read out,
// and which keys there are. `shown` is a stage or a board, `part` what such a canvas is called.
export function addWords(shown, id, part, keysText) {
  const { main } = shown;
  const said = element("p", "pv-said");
  said.hidden = true;
  const heard = element("p", "pv-unseen");
  heard.setAttribute("role", "status");
  const keys = element("p", "pv-unseen", keysText);
  keys.id = `pv-keys-${id}`;
  main.tabIndex = 0;
  main.setAttribute("role", "application");
  main.setAttribute("aria-roledescription", part);
  main.setAttribute("aria-describedby", keys.id);

  function wordsOf(i) {
    const { palette, colour, bubbleNames } = shown.model;
    const { name, mark } = palette[colour[i]];
    return TEXT.bubble(bubbleNames[i], name, mark);
  }

  function tell() {
    said.hidden = shown.pointed < 0;
    if (shown.pointed >= 0) said.textContent = wordsOf(shown.pointed);
  }

  const stops = [shown.on("pointed", tell), shown.on("colours", tell)];
  return { said, heard, keys, wordsOf, close: () => stops.forEach((stop) => stop()) };
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
  const { said, heard, keys, close } = addWords(stage, id, TEXT.part, TEXT.keys);

  const bar = groupOf("pv-tools", TEXT.tools);
  const near = nearButtons(nudge("closer"), nudge("farther"), TEXT.home, () => stage.camera("corner"));
  const more = element("div", "pv-group");

  const strip = groupOf("pv-strip", TEXT.turnGroup);
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
    close();
    for (const stop of stops) stop();
  };
}

// The section plane: from which side, and how far.
function insidePanel(stage) {
  const panel = groupOf("pv-panel", TEXT.inside);
  panel.hidden = true;
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
