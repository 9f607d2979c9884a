// Dialogs: cautions, going to a step, the menu.

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
  if (crewPicture) crewPicture.recolour();
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
