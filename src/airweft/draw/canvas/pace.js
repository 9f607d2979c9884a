// How moving frames are painted so that they follow the hand: by the canvas's own paths while those are
// quick enough, then as pixels, then as fewer and larger pixels.

export const FEW = 600; // bubbles up to which the paths are quick enough on most devices
const SLOW_PATHS = 30; // ms for a frame beyond which pixels are likely to be quicker
const SLOW = 60; // ms for a frame of pixels
const COARSER = [1, 1, 2, 3]; // canvas pixels in one painted one, for each level

export function makePace() {
  let level = 0;
  let slow = 0; // frames in a row that took too long; one alone may have been another's fault
  let least = Infinity;

  const now = (count) => Math.max(level, count > FEW ? 1 : 0);

  return {
    swift: (count) => now(count) > 0,
    coarser: (count) => COARSER[now(count)],
    // A new movement: as fine again as the last one would have allowed.
    begin() {
      if (level > 1 && least * (COARSER[level] / COARSER[level - 1]) ** 2 < SLOW) level--;
      least = Infinity;
      slow = 0;
    },
    // A moving frame of so many bubbles has taken so many milliseconds.
    took(ms, count) {
      least = Math.min(least, ms);
      slow = ms > (now(count) ? SLOW : SLOW_PATHS) ? slow + 1 : 0;
      if (slow < 2 || now(count) === COARSER.length - 1) return;
      level = now(count) + 1;
      least = Infinity;
      slow = 0;
    },
  };
}
