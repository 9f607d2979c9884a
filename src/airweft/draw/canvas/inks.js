// The colours of the bodies and what each bubble wears, whichever way it is painted.

// Bands of a long body: tone, half length beyond the straight half (in caps), shift towards the
// light and width (both in waist radii).
export const LONG = 0.5;
export const FLAT = 2.5; // bubbles of a smaller waist radius in pixels have no gloss
export const TOWARDS_LIGHT = [-0.6, -0.8];
export const BANDS = [
  ["base", 0.16, 0.15, 1.5],
  ["light", 0.02, 0.36, 0.62],
  ["glint", -0.2, 0.42, 0.24],
];

function parseHex(hex) {
  const long = hex.length === 4 ? hex.replace(/[^#]/g, "$&$&") : hex;
  return [1, 3, 5].map((at) => parseInt(long.slice(at, at + 2), 16));
}

function mixed(a, b, share) {
  return a.map((value, i) => Math.round(value + (b[i] - value) * share));
}

function css(rgb) {
  return `rgb(${rgb[0]},${rgb[1]},${rgb[2]})`;
}

// Fills and strokes for each palette entry, for one theme. Gradients are laid in the unit square
// that is stretched over each bubble's box.
// `ground` is the colour that lies behind the piece.
export function makeInks(ctx, palette, dark, ground = dark ? "#242b32" : "#fffefb") {
  const card = parseHex(ground);
  return {
    card: ground,
    outline: dark ? "#0d0f12" : "#1b1b22",
    halo: dark ? "#f1ece1" : "#ffffff",
    colours: palette.map(({ mark, tones }) => {
      const gloss = ctx.createRadialGradient(0.32, 0.25, 0, 0.4, 0.36, 0.72);
      gloss.addColorStop(0, tones.glint);
      gloss.addColorStop(0.08, tones.glint);
      gloss.addColorStop(0.2, tones.light);
      gloss.addColorStop(0.5, tones.base);
      gloss.addColorStop(0.76, tones.base);
      gloss.addColorStop(1, tones.deep);
      const base = parseHex(tones.base);
      const veil = mixed(base, card, 0.7);
      return {
        mark,
        gloss,
        tones,
        flat: tones.base,
        inside: tones.inside,
        veil: dark ? css(veil) : tones.veil,
        veilInside: dark ? css(mixed(veil, [14, 17, 20], 0.35)) : tones.veilInside,
        veilLine: dark ? css(mixed(veil, [150, 158, 166], 0.35)) : tones.veilLine,
      };
    }),
  };
}

// What a bubble wears: widths of halo and line as shares of the frame's line, and the inks of fill and
// line by their names in a palette entry; null is the gloss, and the outline of all.
const NEW = { halo: 5, line: 2.1, fill: null, stroke: null };
const WHOLE = { halo: 0, line: 1, fill: null, stroke: null };
const WHOLE_INSIDE = { halo: 0, line: 1, fill: "inside", stroke: null };
const MADE = { halo: 0, line: 0.7, fill: "veil", stroke: "veilLine" };
const MADE_INSIDE = { halo: 0, line: 0.7, fill: "veilInside", stroke: "veilLine" };

export function coatOf(s, i, made, whole) {
  if (whole) return s.back[i] ? WHOLE_INSIDE : WHOLE;
  if (i >= made) return NEW;
  return s.back[i] ? MADE_INSIDE : MADE;
}
