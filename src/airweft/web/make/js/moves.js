// What keys, pedals and swipes mean at the bench.

const STEPS = {
  " ": "next",
  Enter: "next",
  ArrowRight: "next",
  ArrowDown: "next",
  PageDown: "next",
  ArrowLeft: "back",
  ArrowUp: "back",
  PageUp: "back",
  Home: "first",
  End: "last",
};
const TURNS = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "down", ArrowDown: "up" };

// {go} or {turn} for a key; null for one that means nothing here, or that a focused part keeps.
export function actOf(event, words) {
  const target = event.target instanceof Element ? event.target : document.body;
  if (target.closest("input, select, textarea")) return null;
  if (event.shiftKey) return TURNS[event.key] ? { turn: TURNS[event.key] } : null;
  if ((event.key === " " || event.key === "Enter") && target.closest("button, summary, a")) return null;
  const scrolls = words && words.scrollHeight > words.clientHeight + 2 && target === words;
  if (scrolls && (event.key === "ArrowUp" || event.key === "ArrowDown")) return null;
  return STEPS[event.key] ? { go: STEPS[event.key] } : null;
}

// 1 for a swipe to the right, -1 to the left, 0 for none.
export function nearlyHorizontal(dx, dy) {
  if (Math.abs(dx) < 56 || Math.abs(dx) < 1.7 * Math.abs(dy)) return 0;
  return Math.sign(dx);
}
