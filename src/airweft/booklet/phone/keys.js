// Voice, screen and keys; and the beginning.

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
if (crewPicture) {
  crewPicture.show({
    colour: model.partColour,
    shown: model.bubbleCount,
    view: model.cover,
    label: partMark(model),
  });
}
cover.show({ made: 0, shown: model.bubbleCount, whole: true, view: model.cover, label: labelOf(END) });
showStart();
window.airweft = { timeFrames: (frames, quickly) => view.time(frames, quickly) };
