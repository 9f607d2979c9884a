// The place: which stop the maker is at, kept on the device under the plan's own key.
//
// Stores {at, far, bubbles, stops, name} as JSON. A page whose storage is refused (private window,
// blocked site data) works all the same and says that the place is not kept.

const PLACE_PREFIX = "airweft.place.";
const LAST_PREFIX = "airweft.last.";
const WISH_KEY = "airweft.wishes";

function readStored(key) {
  try {
    const text = window.localStorage.getItem(key);
    return text === null ? null : JSON.parse(text);
  } catch {
    return null;
  }
}

function writeStored(key, value) {
  try {
    window.localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

function isPlace(value) {
  return Boolean(value) && Number.isInteger(value.at) && value.at >= 0;
}

function makePlace(model) {
  const last = model.stops.length;
  let at = 0;
  let far = 0;
  let kept = true;
  const saved = readStored(PLACE_PREFIX + model.key);
  const inRange = (value) => Math.max(0, Math.min(last, value));
  const begun = isPlace(saved) && inRange(saved.at) > 0;
  if (isPlace(saved)) {
    at = inRange(saved.at);
    far = inRange(Math.max(at, Number.isInteger(saved.far) ? saved.far : 0));
  }

  // Work on another plan for a piece of this name: offered by the number of bubbles made.
  function other() {
    if (begun) return null;
    const latest = readStored(LAST_PREFIX + model.name);
    if (!latest || typeof latest.key !== "string" || latest.key === model.key) return null;
    const old = readStored(PLACE_PREFIX + latest.key);
    if (!isPlace(old) || !Number.isInteger(old.bubbles) || old.bubbles < 1) return null;
    let stop = 0;
    while (stop < last && model.stops[stop].lastBubble <= old.bubbles) stop++;
    return { bubbles: old.bubbles, stop: Math.min(stop, last - 1) };
  }

  function save() {
    far = Math.max(far, at);
    const bubbles = at > 0 ? model.stops[Math.min(at, last) - 1].lastBubble : 0;
    kept = writeStored(PLACE_PREFIX + model.key, { at, far, bubbles, name: model.name });
    if (kept) writeStored(LAST_PREFIX + model.name, { key: model.key });
  }

  return {
    begun,
    last,
    other,
    get at() {
      return at;
    },
    get far() {
      return far;
    },
    get kept() {
      return kept;
    },
    go(stop) {
      at = inRange(stop);
      save();
    },
    // A short text that carries the place to another device: plan, step and row within the step.
    code() {
      if (at >= last) return `${model.key.slice(0, 4)}-end`;
      const stop = model.stops[at];
      const part = stop.part > 0 ? `.${stop.part + 1}` : "";
      return `${model.key.slice(0, 4)}-${stop.step + 1}${part}`;
    },
    // The stop a code means, or a sentence that says why it cannot be used.
    fromCode(text) {
      const match = /^\s*([0-9a-f]{4})\s*-\s*(?:(\d{1,6})(?:\.(\d{1,6}))?|(end))\s*$/i.exec(text);
      if (!match) return TEXT.codeUnclear(text.trim());
      if (match[1].toLowerCase() !== model.key.slice(0, 4)) return TEXT.codeOther;
      if (match[4]) return last;
      const step = model.steps[Number(match[2]) - 1];
      if (!step) return TEXT.codeBeyond(model.steps.length);
      const part = Math.min(step.stops, Math.max(1, Number(match[3] || 1)));
      return step.firstStop + part - 1;
    },
  };
}
