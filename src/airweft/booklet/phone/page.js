// The page itself: start page, steps, dialogs, keys. Runs once, when the page is loaded.

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

// What stands on new bubbles: of a single balloon the bubbles' numbers, as the text counts them, of
// several the balloons' codes; or the colour marks.
function labelOf(stop) {
  if (wishes.label === "mark" || stop === END) return (i) => model.palette[model.colour[i]].mark;
  if (soleBalloon(stop) >= 0) return (i) => String(model.count[i]);
  return (i) => model.balloons[model.balloon[i]].code;
}

function soleBalloon(stop) {
  const first = model.balloon[stop.firstBubble];
  for (let i = stop.firstBubble; i < stop.lastBubble; i++) {
    if (model.balloon[i] !== first) return -1;
  }
  return stop.lastBubble > stop.firstBubble ? first : -1;
}

function pictureType() {
  return wishes.big ? 17 : 12.5;
}

applyWishes();

// Pictures --------------------------------------------------------------------------------------

const view = makePicture(byId("view"), model, {
  isDark,
  wheel: true,
  padding: [14, 34, 46],
  onLook: looked,
});
const cover = makePicture(byId("cover"), model, { isDark, wheel: false, onLook: () => {} });

let lookText = "";
let lookTimer = 0;
function looked([around, above], home) {
  byId("view-back").hidden = home;
  const text = TEXT.view(around, above);
  if (text === lookText) return;
  lookText = text;
  captionPicture();
  clearTimeout(lookTimer);
  lookTimer = setTimeout(describePicture, 400);
}

function captionPicture() {
  const stop = currentStop();
  const sole = wishes.label === "mark" ? -1 : soleBalloon(stop);
  const numbers = sole >= 0 ? ` ${TEXT.numbers(model.balloons[sole].code)}` : "";
  byId("seen-from").textContent = `${lookText}.${numbers}`;
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
  firstBalloon: model.balloons.length,
  lastBalloon: model.balloons.length,
  locks: [],
  view: model.cover,
  turned: true,
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
  byId("step-count").textContent = ended ? TEXT.finished : TEXT.stepOf(stop.step + 1, steps);
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
  byId("next").textContent = place.at === place.last - 1 ? TEXT.finish : TEXT.next;
  byId("next").disabled = ended;
  const line = byId("done-line");
  line.setAttribute("aria-valuemax", model.bubbleCount);
  line.setAttribute("aria-valuenow", stop.firstBubble);
  line.setAttribute("aria-valuetext", TEXT.made(stop.firstBubble, model.bubbleCount));
  byId("done-fill").style.inlineSize = `${(100 * stop.firstBubble) / Math.max(1, model.bubbleCount)}%`;
  byId("words").scrollTop = 0;
  markOverflow();
  view.show({
    made: stop.firstBubble,
    shown: stop.lastBubble,
    whole: ended,
    locks: stop.locks,
    view: stop.view,
    label: labelOf(stop),
    named: ended ? [] : namedJoints(model, stop.text || step.text),
    type: pictureType(),
  });
  captionPicture();
  describePicture();
  if (!quiet) byId("live").textContent = spoken();
  if (wishes.sayAll && voice.able) voice.say(spoken());
}

function spoken() {
  const stop = currentStop();
  const bits = [byId("step-count").textContent, byId("step-title").textContent];
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

// Back and Next ---------------------------------------------------------------------------------

function next() {
  if (place.at < place.last) go(place.at + 1);
}

function back() {
  if (place.at > 0) go(place.at - 1);
  else leaveMaking();
}

for (const [id, act] of [["next", next], ["back", back]]) {
  byId(id).addEventListener("click", (event) => {
    act();
    // After a tap the space bar or a pedal must mean Next again, not the button touched last.
    if (event.detail > 0 && document.activeElement) document.activeElement.blur();
  });
}

// Swipes on the words step; the picture keeps its own gestures.
let swipe = null;
byId("words").addEventListener("pointerdown", (event) => {
  swipe =
    event.pointerType === "mouse" || !event.isPrimary ? null : { x: event.clientX, y: event.clientY };
});
byId("words").addEventListener("pointercancel", () => (swipe = null));
byId("words").addEventListener("pointerup", (event) => {
  if (!swipe || !event.isPrimary) return;
  const dx = event.clientX - swipe.x;
  const dy = event.clientY - swipe.y;
  swipe = null;
  if (Math.abs(dx) < 56 || Math.abs(dx) < 1.7 * Math.abs(dy)) return;
  if (dx < 0) next();
  else back();
});

// A soft edge at the bottom says that the words go on.
function markOverflow() {
  const words = byId("words");
  const left = words.scrollHeight - words.clientHeight - words.scrollTop;
  words.classList.toggle("more", left > 6);
  words.tabIndex = words.scrollHeight > words.clientHeight + 2 ? 0 : -1;
}
byId("words").addEventListener("scroll", markOverflow, { passive: true });
new ResizeObserver(markOverflow).observe(byId("words"));
for (const details of byId("words").querySelectorAll("details")) {
  details.addEventListener("toggle", markOverflow);
}

// Start page ------------------------------------------------------------------------------------

function enterMaking(at) {
  making = true;
  byId("start").hidden = true;
  byId("make").hidden = false;
  document.body.classList.add("making");
  window.scrollTo(0, 0);
  awake.hold();
  view.resize();
  go(at);
}

function leaveMaking() {
  making = false;
  voice.stop();
  awake.letGo();
  byId("make").hidden = true;
  byId("start").hidden = false;
  document.body.classList.remove("making");
  showStart();
  cover.resize();
}

function showStart() {
  const at = place.at;
  const someway = at > 0;
  const goButton = byId("go");
  goButton.textContent = !someway
    ? TEXT.start
    : at >= place.last
      ? TEXT.goOnDone
      : TEXT.goOn(model.stops[at].step + 1, model.steps.length);
  byId("from-one").hidden = !someway;
  const other = someway ? null : place.other();
  const line = byId("transfer");
  line.hidden = !other;
  if (other) {
    const step = model.stops[other.stop].step + 1;
    const jump = element("button", "button quiet small", TEXT.transferGo(step));
    jump.type = "button";
    jump.addEventListener("click", () => enterMaking(other.stop));
    line.replaceChildren(document.createTextNode(`${TEXT.transfer(other.bubbles, step)} `), jump);
  }
}

byId("go").addEventListener("click", () => enterMaking(place.at));
byId("from-one").addEventListener("click", () => enterMaking(0));
byId("to-start").addEventListener("click", () => {
  byId("menu").close();
  leaveMaking();
  window.scrollTo(0, 0);
});

// Dialogs ---------------------------------------------------------------------------------------

for (const dialog of document.querySelectorAll("dialog")) {
  dialog.addEventListener("click", (event) => {
    if (event.target === dialog) dialog.close();
  });
}

byId("cautions-copy").append(
  ...[...byId("cautions").children]
    .filter((child) => child.tagName !== "H2")
    .map((child) => child.cloneNode(true)),
);
byId("cautions-open").addEventListener("click", () => byId("cautions-sheet").showModal());

byId("jump-open").addEventListener("click", () => {
  const at = Math.min(currentStop().step, model.steps.length - 1);
  byId("jump-slide").max = model.steps.length;
  byId("jump-find").value = "";
  aim(at);
  listSteps("");
  byId("jump").showModal();
  const here = byId("jump-list").querySelector("[aria-current]");
  const list = byId("jump-list");
  if (here) list.scrollTop = here.offsetTop - list.offsetTop - list.clientHeight / 3;
});

let aimed = 0;
function aim(step) {
  aimed = Math.max(0, Math.min(model.steps.length - 1, step));
  byId("jump-slide").value = aimed + 1;
  byId("jump-at").textContent = `${aimed + 1}. ${model.steps[aimed].title}`;
  byId("jump-go").textContent = TEXT.jumpGo(aimed + 1);
}

function jumpTo(step) {
  byId("jump").close();
  go(model.steps[step].firstStop);
}

const LISTED = 200;
function listSteps(wanted) {
  const here = currentStop().step;
  const word = wanted.trim().toLowerCase();
  const number = /^\d{1,7}$/.test(word) ? Number(word) : 0;
  let found = model.steps;
  if (number) {
    found = found.filter((step) => String(step.number).startsWith(word));
    if (number <= model.steps.length) aim(number - 1);
  } else if (word) {
    found = found.filter((step) => `${step.title} ${step.text}`.toLowerCase().includes(word));
    if (found.length) aim(found[0].number - 1);
  } else if (found.length > LISTED) {
    found = found.slice(Math.max(0, here - LISTED / 4));
  }
  const farthest = place.far < place.last ? model.stops[place.far].step : -1;
  const items = found.slice(0, LISTED).map((step) => {
    const item = element("li");
    const button = element("button", "jump-item");
    button.type = "button";
    button.append(element("span", "jump-number", step.number));
    const words = element("span", "jump-words");
    const title = element("b", "", step.title);
    title.dir = "auto";
    words.append(title);
    const note =
      step.number - 1 === here ? TEXT.here : step.number - 1 === farthest ? TEXT.farthest : "";
    if (note) words.append(element("i", "", note));
    button.append(words);
    if (step.number - 1 === here) button.setAttribute("aria-current", "step");
    button.addEventListener("click", () => jumpTo(step.number - 1));
    item.append(button);
    return item;
  });
  byId("jump-list").replaceChildren(...items);
  const more = byId("jump-more");
  const left = found.length - items.length;
  more.hidden = found.length > 0 && left === 0;
  more.textContent = found.length === 0 ? TEXT.jumpNone : TEXT.jumpMore(left);
}

byId("jump-find").addEventListener("input", () => listSteps(byId("jump-find").value));
byId("jump-find").addEventListener("keydown", (event) => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  jumpTo(aimed);
});
byId("jump-slide").addEventListener("input", () => aim(Number(byId("jump-slide").value) - 1));
byId("jump-go").addEventListener("click", () => jumpTo(aimed));

function openMenu() {
  byId("place-code").textContent = place.code();
  byId("place-hint").textContent = place.kept ? TEXT.placeKept : TEXT.placeLost;
  byId("code-answer").textContent = "";
  byId("menu").showModal();
}
byId("menu-open").addEventListener("click", openMenu);
byId("awake").addEventListener("click", openMenu);

byId("code-copy").addEventListener("click", async () => {
  try {
    await navigator.clipboard.writeText(byId("place-code").textContent);
    byId("code-answer").textContent = TEXT.copied;
  } catch {
    byId("code-answer").textContent = TEXT.notCopied;
  }
});

function useCode() {
  const found = place.fromCode(byId("code-in").value);
  if (typeof found === "string") {
    byId("code-answer").textContent = found;
    return;
  }
  byId("code-in").value = "";
  byId("menu").close();
  go(found);
}
byId("code-use").addEventListener("click", useCode);
byId("code-in").addEventListener("keydown", (event) => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  useCode();
});

// Menu ------------------------------------------------------------------------------------------

byId("big-type").checked = wishes.big;
byId("theme").value = wishes.theme;
byId("label-kind").value = wishes.label;
byId("say-all").checked = wishes.sayAll;

function recolour() {
  applyWishes();
  view.recolour();
  cover.recolour();
}

byId("big-type").addEventListener("change", () => {
  wishes.big = byId("big-type").checked;
  applyWishes();
  view.write({ type: pictureType() });
  markOverflow();
});
byId("theme").addEventListener("change", () => {
  wishes.theme = byId("theme").value;
  recolour();
});
byId("label-kind").addEventListener("change", () => {
  wishes.label = byId("label-kind").value;
  applyWishes();
  view.write({ label: labelOf(currentStop()) });
  captionPicture();
});
byId("say-all").addEventListener("change", () => {
  wishes.sayAll = byId("say-all").checked;
  applyWishes();
});
darkDevice.addEventListener("change", recolour);

// Voice and screen ------------------------------------------------------------------------------

const voice = makeVoice((speaking) => {
  byId("say").setAttribute("aria-pressed", String(speaking));
  byId("say-text").textContent = speaking ? TEXT.hush : TEXT.say;
});
byId("say").hidden = !voice.able;
byId("say-all-row").hidden = !voice.able;
byId("say").addEventListener("click", () => {
  if (voice.speaking) voice.stop();
  else voice.say(spoken());
});

const awake = makeAwake((state, why) => {
  const words = TEXT.awake[why === "insecure" ? why : state];
  byId("awake").dataset.state = state;
  byId("awake-text").textContent = words.chip;
  byId("awake-hint").textContent = words.hint;
  // Said once in full where it matters; after that the sign in the bar stays.
  const dim = state === "refused" || state === "unsupported";
  byId("awake-note-text").textContent = words.hint;
  byId("awake-note").hidden = !dim || noteRead;
  markOverflow();
});
let noteRead = false;
byId("awake-note-close").addEventListener("click", () => {
  noteRead = true;
  byId("awake-note").hidden = true;
  markOverflow();
});

window.addEventListener("pagehide", () => {
  voice.stop();
  awake.letGo();
});
window.addEventListener("pageshow", (event) => {
  if (event.persisted && making) awake.hold();
});

// Keys ------------------------------------------------------------------------------------------

for (const button of byId("view-strip").children) {
  button.addEventListener("click", () => view.nudge(button.dataset.turn));
}
byId("view-open").addEventListener("click", () => {
  const strip = byId("view-strip");
  strip.hidden = !strip.hidden;
  byId("view-open").setAttribute("aria-expanded", String(!strip.hidden));
});
byId("view-back").addEventListener("click", () => view.home());
byId("behind").addEventListener("click", () => view.lookFrom(currentStop().behind));

const TURN_KEYS = {
  ArrowLeft: "left",
  ArrowRight: "right",
  ArrowUp: "down",
  ArrowDown: "up",
  PageUp: "closer",
  PageDown: "farther",
};
const STEP_KEYS = {
  " ": next,
  Enter: next,
  ArrowRight: next,
  ArrowDown: next,
  PageDown: next,
  ArrowLeft: back,
  ArrowUp: back,
  PageUp: back,
  Home: () => go(0),
  End: () => go(place.last),
};

document.addEventListener("keydown", (event) => {
  if (!making || event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
  if (document.querySelector("dialog[open]")) return;
  if (event.shiftKey) {
    if (event.key === "Home") view.home();
    else if (TURN_KEYS[event.key]) view.nudge(TURN_KEYS[event.key]);
    else return;
    event.preventDefault();
    return;
  }
  const target = event.target instanceof Element ? event.target : document.body;
  if (target.closest("input, select, textarea")) return;
  // A focused control keeps its own keys; words that overflow keep theirs for scrolling.
  if ((event.key === " " || event.key === "Enter") && target.closest("button, summary, a")) return;
  const words = byId("words");
  const scrolls = words.scrollHeight > words.clientHeight + 2 && words.contains(target);
  if (scrolls && (event.key === "ArrowUp" || event.key === "ArrowDown")) return;
  const act = STEP_KEYS[event.key];
  if (!act) return;
  event.preventDefault();
  // A pedal held down must not run through the steps.
  if (!event.repeat) act();
});

// Begin -----------------------------------------------------------------------------------------

awake.letGo();
cover.show({ made: 0, shown: model.bubbleCount, whole: true, view: model.cover, label: labelOf(END) });
showStart();
window.airweft = { timeFrames: (frames, quickly) => view.time(frames, quickly) };
