// Going from stop to stop: buttons, swipes, and between start page and making.

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
  if (crewPicture) crewPicture.resize();
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
for (const button of document.querySelectorAll("[data-step]")) {
  button.addEventListener("click", () => enterMaking(model.steps[Number(button.dataset.step)].firstStop));
}
byId("to-start").addEventListener("click", () => {
  byId("menu").close();
  leaveMaking();
  window.scrollTo(0, 0);
});
