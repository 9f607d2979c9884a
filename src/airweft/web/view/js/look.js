// The colours of the page around the view, as the canvas needs them.

const NAMES = {
  card: "--pv-ground",
  ink: "--pv-ink",
  quiet: "--pv-quiet",
  sunk: "--pv-sunk",
  accent: "--pv-accent",
  chosen: "--pv-accent",
  note: "--pv-accent",
  risky: "--pv-risky",
  cannot: "--pv-bad",
};

const pen = document.createElement("canvas").getContext("2d");

// A colour of the style sheet as #rrggbb, so that the painter can mix it.
function hexOf(text) {
  pen.fillStyle = "#888888";
  pen.fillStyle = text.trim() || "#888888";
  return /^#[0-9a-f]{6}$/.test(pen.fillStyle) ? pen.fillStyle : "#888888";
}

export function readLook(root) {
  const style = getComputedStyle(root);
  const look = {};
  for (const [name, variable] of Object.entries(NAMES)) look[name] = hexOf(style.getPropertyValue(variable));
  const [r, g, b] = [1, 3, 5].map((at) => parseInt(look.card.slice(at, at + 2), 16));
  look.dark = 0.3 * r + 0.6 * g + 0.1 * b < 110;
  return look;
}

// Tells whenever the page changes its colours: by a theme of its own or by the device's.
export function watchLook(call) {
  const watch = new MutationObserver(call);
  const attributes = { attributes: true, attributeFilter: ["class", "style", "data-light", "data-theme"] };
  watch.observe(document.documentElement, attributes);
  watch.observe(document.body, attributes);
  const device = window.matchMedia("(prefers-color-scheme: dark)");
  device.addEventListener("change", call);
  return () => {
    watch.disconnect();
    device.removeEventListener("change", call);
  };
}
