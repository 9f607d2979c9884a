// The views of this page by the number of their element, so that the text twin and the chart can keep
// step with them whichever is on the page first.

const views = new Map();
const waiting = new Map();

export function addView(id, stage) {
  views.set(id, stage);
  for (const call of waiting.get(id) || []) call(stage);
}

export function dropView(id, stage) {
  if (views.get(id) === stage) views.delete(id);
}

// Calls with the view now if it is there, and whenever it comes anew; returns a way to stop.
export function whenView(id, call) {
  const calls = waiting.get(id) || new Set();
  waiting.set(id, calls.add(call));
  if (views.has(id)) call(views.get(id));
  return () => calls.delete(call);
}

const styles = new Map();

// Loads a style sheet once; settles also where it cannot be loaded, so that the view shows all the same.
export function loadStyle(url) {
  if (!styles.has(url)) {
    styles.set(
      url,
      new Promise((done) => {
        const link = document.createElement("link");
        link.rel = "stylesheet";
        link.href = url;
        link.onload = link.onerror = done;
        document.head.append(link);
      }),
    );
  }
  return styles.get(url);
}

export function element(tag, className, text) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
}
