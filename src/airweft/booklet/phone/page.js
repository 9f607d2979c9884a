// The page itself: what it holds, its wishes, its pictures, and how a stop is shown. From here on the
// scripts run at once, when the page is loaded.

const byId = (id) => document.getElementById(id);

function element(tag, className, text) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
}

const model = readModel(JSON.parse(byId("data").textContent));
const place = makePlace(model);
const wishes = { theme: "auto", big: false, label: "code", sayAll: false, ...readStored(WISH_KEY) };
const darkDevice = window.matchMedia("(prefers-color-scheme: dark)");
let making = false;

// Theme, type size and labels -------------------------------------------------------------------

function isDark() {
  return wishes.theme === "dark" || (wishes.theme !== "light" && darkDevice.matches);
}

function applyWishes() {
  document.documentElement.dataset.theme = isDark() ? "dark" : "light";
  document.documentElement.classList.toggle("big", Boolean(wishes.big));
  writeStored(WISH_KEY, wishes);
}

// What stands on new bubbles, as the maker wishes; on the whole piece the colour marks.
function labelOf(stop) {
  return wishes.label === "mark" || stop === END ? colourMark(model) : makersLabel(model, stop);
}

function pictureType() {
  return wishes.big ? 17 : 12.5;
}

applyWishes();

// Pictures --------------------------------------------------------------------------------------

const view = makePicture(byId("view"), model, {
  isDark,
  wheel: true,
  padding: roomForWords,
  onLook: looked,
});
const cover = makePicture(byId("cover"), model, {
  isDark,
  wheel: false,
  padding: () => [12, 12, 12],
  onLook: () => {},
});

const crewCanvas = document.querySelector(".crew-picture canvas"); // only where a crew makes it
const crewPicture = crewCanvas
  ? makePicture(crewCanvas, model, {
      isDark,
      wheel: false,
      padding: () => [12, 12, 12],
      onLook: () => {},
    })
  : null;

// The picture keeps clear of the signs that lie on it: [beside, above, below].
function roomForWords() {
  const tall = (id) => (byId(id).hidden ? 0 : byId(id).offsetHeight);
  return [14, tall("turn") + tall("behind") + 10, tall("seen-from") + 14];
}

let lookText = "";
let lookTimer = 0;
function looked([around, above], home) {
  byId("view-back").hidden = home;
  const text = TEXT.view(around, above);
  if (text === lookText) return;
  captionPicture(text);
  clearTimeout(lookTimer);
  lookTimer = setTimeout(describePicture, 400);
}

function captionPicture(text = lookText) {
  lookText = text;
  const stop = currentStop();
  const sole = wishes.label === "mark" ? -1 : soleBalloon(model, stop);
  const numbers = sole >= 0 ? ` ${TEXT.numbers(model.balloons[sole].code)}` : "";
  // The sign for turning says already from where the step is seen.
  const said = stop.turned && text === TEXT.view(...stop.view);
  const empty = stop !== END && stop.lastBubble === stop.base;
  const caption = empty ? TEXT.empty : `${said ? "" : `${lookText}.`}${numbers}`.trim();
  byId("seen-from").textContent = caption;
  byId("seen-from").hidden = !caption;
}

function describePicture() {
  const stop = currentStop();
  const number = stop.step < model.steps.length ? stop.step + 1 : TEXT.finished;
  byId("view").setAttribute("aria-label", TEXT.picture(number, TEXT.fresh(freshList(stop)), lookText));
}

function freshList(stop) {
  const counts = new Map();
  for (let i = stop.firstBubble; i < stop.lastBubble; i++) {
    counts.set(model.colour[i], (counts.get(model.colour[i]) || 0) + 1);
  }
  return [...counts].map(
    ([colour, count]) => `${count} ${model.palette[colour].name} (${model.palette[colour].mark})`,
  );
}

// Steps -----------------------------------------------------------------------------------------

const END = {
  step: model.steps.length,
  part: 0,
  firstBubble: model.bubbleCount,
  lastBubble: model.bubbleCount,
  base: 0,
  ending: model.bubbleCount,
  firstBalloon: model.balloons.length,
  lastBalloon: model.balloons.length,
  locks: [],
  view: model.cover,
  turned: model.stops.length > 0 && String(model.stops.at(-1).view) !== String(model.cover),
  behind: null,
};

function currentStop() {
  return place.at < place.last ? model.stops[place.at] : END;
}

function go(to, { quiet = false } = {}) {
  place.go(to);
  voice.stop();
  showStop(quiet);
}

function showStop(quiet) {
  const stop = currentStop();
  const ended = stop === END;
  const step = ended ? null : model.steps[stop.step];
  const steps = model.steps.length;
  byId("step-word").textContent = ended ? "" : TEXT.stepWord;
  byId("step-figures").textContent = ended ? TEXT.finished : TEXT.stepOf(stop.step + 1, steps);
  byId("step-title").textContent = ended ? TEXT.doneTitle : step.title;
  byId("step-text").textContent = ended
    ? TEXT.doneText(model.bubbleCount, model.balloons.length)
    : stop.text || step.text;
  byId("whole").hidden = ended || !stop.text;
  byId("whole-text").textContent = ended ? "" : step.text;
  const lastPart = ended || stop.part === step.stops - 1;
  const check = ended ? TEXT.doneCheck : step.check;
  byId("step-check").hidden = !check;
  byId("step-check").classList.toggle("later", !lastPart);
  byId("step-check-word").textContent = lastPart ? TEXT.check : TEXT.checkLater;
  byId("step-check-text").textContent = check;
  const chapter = byId("chapter");
  chapter.hidden = !stop.opens;
  chapter.textContent = stop.opens ? stop.chapter.lead : "";
  const part = byId("part");
  part.hidden = ended || step.stops < 2;
  part.textContent = part.hidden ? "" : TEXT.rowOfStep(stop.row, stop.part + 1, step.stops);
  showTake(stop);
  showTwin(stop);
  const turnSign = byId("turn");
  turnSign.hidden = !stop.turned;
  turnSign.textContent = stop.turned ? TEXT.turned(...stop.view) : "";
  const behind = byId("behind");
  behind.hidden = !stop.behind;
  behind.textContent = stop.behind ? TEXT.behind(...stop.behind) : "";
  byId("back").textContent = place.at === 0 ? TEXT.backToStart : TEXT.back;
  byId("next").textContent = ended
    ? TEXT.finished
    : place.at === place.last - 1
      ? TEXT.finish
      : TEXT.next;
  byId("twin").hidden = ended;
  byId("next").disabled = ended;
  const line = byId("done-line");
  const done = stop.firstBubble - stop.base;
  const all = stop.ending - stop.base;
  line.setAttribute("aria-valuemax", all);
  line.setAttribute("aria-valuenow", done);
  line.setAttribute("aria-valuetext", TEXT.made(done, all));
  byId("done-fill").style.inlineSize = `${(100 * done) / Math.max(1, all)}%`;
  byId("words").scrollTop = 0;
  markOverflow();
  captionPicture(TEXT.view(...stop.view));
  view.show({
    base: stop.base,
    colour: stop.joins ? model.partColour : model.colour,
    made: stop.firstBubble,
    shown: stop.lastBubble,
    whole: ended || stop.joins,
    locks: stop.locks,
    view: stop.view,
    label: stop.joins ? partMark(model) : labelOf(stop),
    named: ended ? [] : flagged(model, stop, stop.text || step.text),
    type: pictureType(),
  });
  describePicture();
  if (!quiet) byId("live").textContent = spoken();
  if (wishes.sayAll && voice.able) voice.say(spoken());
}

function spoken() {
  const stop = currentStop();
  const bits = [byId("step-count").textContent, byId("step-title").textContent];
  if (stop.opens) bits.push(byId("chapter").textContent);
  if (!byId("part").hidden) bits.push(byId("part").textContent);
  if (stop.turned) bits.push(TEXT.turned(...stop.view));
  for (const item of byId("take").children) bits.push(item.dataset.said);
  bits.push(byId("step-text").textContent);
  if (!byId("step-check").hidden) bits.push(byId("step-check").textContent);
  return bits.filter(Boolean).map((bit) => bit.replace(/[.:]?$/, ".")).join(" ");
}

function showTake(stop) {
  const items = [];
  for (let b = stop.firstBalloon; b < stop.lastBalloon; b++) {
    const { code, colour, size, tail } = model.balloons[b];
    const { mark, name, tones } = model.palette[colour];
    const item = element("li", "balloon");
    const swatch = element("span", "swatch", mark);
    swatch.style.backgroundColor = tones.base;
    swatch.setAttribute("aria-hidden", "true");
    const words = element("span");
    const strong = element("b", "", code);
    const rest = element("bdi", "", ` ${name} ${size}`);
    words.append(strong, rest);
    words.append(element("span", "tail", `, ${TEXT.tail(tail)}`));
    item.append(swatch, words);
    item.dataset.said = TEXT.take(code, name, size, tail);
    items.push(item);
  }
  byId("take").replaceChildren(...items);
  byId("take").hidden = items.length === 0;
}

// The picture's twin in words: every new bubble and lock by name. Filled only when it is open.
function showTwin(stop) {
  byId("twin-title").textContent = TEXT.twin(stop.lastBubble - stop.firstBubble, stop.locks.length);
  byId("twin-list").replaceChildren();
  if (byId("twin").open) fillTwin();
}

function fillTwin() {
  const stop = currentStop();
  const list = element("ol");
  for (let i = stop.firstBubble; i < stop.lastBubble; i++) {
    const { code, colour } = model.balloons[model.balloon[i]];
    const count = model.count[i];
    const joint = (j, n) => `${code}.${n} ${model.jointNames[j]}`;
    const from = joint(model.from[i], count - 1);
    const to = joint(model.to[i], count);
    const name = model.bubbleNames[i];
    const said = model.palette[colour].name;
    const item = element(
      "li",
      "",
      model.from[i] === model.to[i]
        ? TEXT.twinLoop(code, count, said, name, to)
        : TEXT.twinBubble(code, count, said, name, from, to),
    );
    item.dir = "auto";
    list.append(item);
  }
  const parts = [];
  if (list.children.length) parts.push(list);
  if (stop.locks.length) {
    const names = stop.locks.map((joint) => model.jointNames[joint]).join("; ");
    parts.push(element("p", "", TEXT.twinLocks(names)));
  }
  if (!parts.length) parts.push(element("p", "", TEXT.twinNothing));
  byId("twin-list").replaceChildren(...parts);
}

byId("twin").addEventListener("toggle", () => {
  if (byId("twin").open) fillTwin();
});
