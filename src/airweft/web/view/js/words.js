// The piece in words: a line that says what is seen from where, and a list of bubbles and joints that
// keys can walk. What is pointed to in the list lights up in the view, and the other way round.

import { bubblesAt } from "./net.js";
import { element } from "./registry.js";
import { TEXT, counted } from "./texts.js";

const LISTED = 100; // entries on one page of the list
const order = new Intl.Collator("en", { numeric: true });

export function makeTwin(root, stage, id) {
  const title = element("summary", "", TEXT.twin);
  const about = element("p", "pv-about");
  const row = element("div", "pv-row");
  const group = field("select", TEXT.twinShow, `pv-group-${id}`, row);
  const find = field("input", TEXT.twinFind, `pv-find-${id}`, row);
  Object.assign(find, { type: "search", autocomplete: "off", spellcheck: false });
  const list = element("ul", "pv-list");
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", TEXT.twinList);
  const pages = element("div", "pv-row");
  const before = pageButton(TEXT.twinBefore, () => turnPage(-1));
  const where = element("span", "pv-where");
  where.setAttribute("role", "status");
  const after = pageButton(TEXT.twinAfter, () => turnPage(1));
  pages.append(before, where, after);
  root.replaceChildren(title, about, row, list, pages);

  let entries = []; // numbers of bubbles, or of joints as -1 - number
  let page = 0;
  let stale = true;
  let timer = 0;

  function field(tag, label, name, place) {
    const words = element("label", "pv-field", label);
    const made = element(tag, "pv-select");
    words.htmlFor = made.id = name;
    words.append(made);
    place.append(words);
    return made;
  }

  function pageButton(text, act) {
    const made = element("button", "pv-text", text);
    made.type = "button";
    made.addEventListener("click", act);
    return made;
  }

  // What can be listed: the new work of a stop, each panel, the joints.
  function fillGroups() {
    const { model } = stage;
    const kept = group.value;
    const stop = stage.currentStop();
    const counts = new Map();
    for (const panel of model.panelOf) counts.set(panel, (counts.get(panel) || 0) + 1);
    const options = [];
    if (stop) options.push(["new", TEXT.twinNew(stop.lastBubble - stop.firstBubble, stop.locks.length)]);
    options.push(["all", TEXT.twinAll(model.bubbleCount)]);
    if (counts.size > 1) {
      model.panels.forEach((name, k) =>
        options.push([`panel ${k}`, `${name || TEXT.twinOther}: ${counted(counts.get(k) || 0, "bubble", "bubbles")}`]),
      );
    }
    options.push(["joints", TEXT.twinJoints(model.jointCount)]);
    group.replaceChildren(
      ...options.map(([value, text]) => {
        const option = element("option", "", text);
        option.value = value;
        return option;
      }),
    );
    group.value = options.some(([value]) => value === kept) ? kept : options[0][0];
    if (stop && kept !== "joints") group.value = "new";
  }

  function fillEntries() {
    const { model } = stage;
    const stop = stage.currentStop();
    const numbers = (first, last, keep) => {
      const found = [];
      for (let i = first; i < last; i++) if (keep(i)) found.push(i);
      return found;
    };
    const chosen = group.value;
    const word = find.value.trim().toLowerCase();
    if (chosen === "new" && stop) {
      entries = [...numbers(stop.firstBubble, stop.lastBubble, () => true), ...stop.locks.map((j) => -1 - j)];
    } else if (chosen === "joints") {
      entries = numbers(0, model.jointCount, () => true).map((j) => -1 - j);
    } else {
      const panel = chosen.startsWith("panel ") ? Number(chosen.slice(6)) : -1;
      entries = numbers(0, model.bubbleCount, (i) => panel < 0 || model.panelOf[i] === panel);
    }
    if (word) entries = entries.filter((entry) => said(entry).toLowerCase().includes(word));
    if (chosen !== "new") entries.sort((a, b) => order.compare(nameOf(a), nameOf(b)));
  }

  const nameOf = (entry) =>
    entry < 0 ? stage.model.jointNames[-1 - entry] : stage.model.bubbleNames[entry];

  function said(entry) {
    const { model } = stage;
    if (entry < 0) {
      const bubbles = bubblesAt(model, -1 - entry).map((i) => model.bubbleNames[i]);
      return TEXT.joint(nameOf(entry), bubbles);
    }
    const { name, mark } = model.palette[model.colour[entry]];
    const balloon = model.balloons[model.balloon[entry]];
    const made = balloon ? TEXT.madeBy(balloon.code, model.count[entry]) : "";
    const ends = [model.from[entry], model.to[entry]].map((j) => model.jointNames[j]);
    return `${TEXT.bubble(nameOf(entry), name, mark)}${made}. ${TEXT.between(...ends)}`;
  }

  function fillPage(focus) {
    page = Math.max(0, Math.min(page, Math.ceil(entries.length / LISTED) - 1));
    const first = page * LISTED;
    const lit = new Set(stage.state.marks.flatMap(({ bubbles, joints }) => [...bubbles, ...joints.map((j) => -1 - j)]));
    const held = list.contains(document.activeElement) ? Number(document.activeElement.dataset.entry) : null;
    const items = entries.slice(first, first + LISTED).map((entry) => {
      const item = element("li", "pv-entry", said(entry));
      item.dir = "auto";
      item.dataset.entry = entry;
      item.tabIndex = -1;
      item.setAttribute("role", "option");
      item.setAttribute("aria-selected", String(lit.has(entry)));
      item.classList.toggle("is-pointed", entry >= 0 && entry === stage.pointed);
      return item;
    });
    list.replaceChildren(...items);
    list.hidden = !items.length;
    pages.hidden = entries.length <= LISTED && items.length > 0;
    before.disabled = page === 0;
    after.disabled = first + LISTED >= entries.length;
    where.textContent = items.length
      ? TEXT.twinWhere(first + 1, first + items.length, entries.length)
      : TEXT.twinNone;
    const here = items.find((item) => Number(item.dataset.entry) === held) || items[0];
    if (here) here.tabIndex = 0;
    if (here && (focus || held !== null)) here.focus({ preventScroll: held !== null });
  }

  function turnPage(by) {
    page += by;
    fillPage(false);
    list.scrollTop = 0;
    // A button that has become grey would lose the focus.
    if (document.activeElement === document.body) (before.disabled ? after : before).focus();
  }

  function describe() {
    const { model } = stage;
    if (!model) return;
    const counts = `${counted(model.bubbleCount, "bubble", "bubbles")}, ${counted(model.jointCount, "joint", "joints")}`;
    const state = stage.state;
    const parts = [counts];
    if (model.bubbleCount) parts.push(TEXT.sizes(model.sizes), TEXT.view(...stage.seenFrom));
    if (state.section) parts.push(TEXT.cut(state.section.axis, state.section.share));
    about.textContent = `${parts.join(". ")}.`;
  }

  function renew() {
    if (!root.open || !stage.model) {
      stale = true;
      return;
    }
    stale = false;
    describe();
    fillGroups();
    fillEntries();
    fillPage(false);
  }

  function soon(act) {
    clearTimeout(timer);
    timer = setTimeout(act, 250);
  }

  const entryOf = (event) => event.target.closest && event.target.closest(".pv-entry");

  list.addEventListener("focusin", (event) => {
    const item = entryOf(event);
    if (!item) return;
    for (const other of list.children) other.tabIndex = other === item ? 0 : -1;
    stage.point(Math.max(-1, Number(item.dataset.entry)));
  });
  list.addEventListener("focusout", () => stage.point(-1));
  list.addEventListener("pointerover", (event) => {
    const item = entryOf(event);
    if (item) stage.point(Math.max(-1, Number(item.dataset.entry)));
  });
  list.addEventListener("pointerleave", () => stage.point(-1));
  function use(item) {
    const entry = Number(item.dataset.entry);
    stage.use(Math.max(-1, entry), entry < 0 ? -1 - entry : -1);
  }
  list.addEventListener("click", (event) => {
    const item = entryOf(event);
    if (item) use(item);
  });
  list.addEventListener("keydown", (event) => {
    const item = entryOf(event);
    if (!item || event.ctrlKey || event.altKey || event.metaKey) return;
    const items = [...list.children];
    const at = items.indexOf(item);
    const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: items.length - 1, PageDown: at + 10, PageUp: at - 10 }[event.key];
    if (event.key === "Enter" || event.key === " ") use(item);
    else if (to === undefined) return;
    else if (event.key === "ArrowDown" && to >= items.length && !after.disabled) {
      page++;
      fillPage(true);
    } else if (event.key === "ArrowUp" && to < 0 && page > 0) {
      page--;
      fillPage(true);
      list.lastElementChild.focus();
    } else items[Math.max(0, Math.min(items.length - 1, to))].focus();
    event.preventDefault();
  });
  group.addEventListener("change", () => {
    page = 0;
    fillEntries();
    fillPage(false);
  });
  find.addEventListener("input", () =>
    soon(() => {
      page = 0;
      fillEntries();
      fillPage(false);
    }),
  );
  root.addEventListener("toggle", opened);
  function opened() {
    if (root.open && stale) renew();
  }

  const stops = [
    stage.on("model", () => (root.open ? soon(renew) : (stale = true))),
    stage.on("step", renew),
    stage.on("colours", () => (root.open ? soon(() => fillPage(false)) : (stale = true))),
    stage.on("look", () => root.open && describe()),
    stage.on("state", () => root.open && describe()),
    stage.on("marks", () => root.open && fillPage(false)),
    stage.on("pointed", () => {
      for (const item of list.children) {
        item.classList.toggle("is-pointed", Number(item.dataset.entry) === stage.pointed && stage.pointed >= 0);
      }
    }),
  ];
  renew();

  return {
    close() {
      clearTimeout(timer);
      root.removeEventListener("toggle", opened);
      for (const stop of stops) stop();
    },
  };
}
