// Painting by dragging: what a stroke has met is shown at once and told in small parts.

import { bubbleAt, bubblesAlong } from "./pick.js";

const TELL_EVERY = 160; // ms between two parts of a stroke that are told
const KEPT = 2500; // ms for which what was painted here stands against an older answer

// `stage` gives model, seen() and spot(event); `brush()` the mark to paint with; `changed` is called when
// colours have changed; `tell(bubbles, number, done)` sends a part of a stroke on.
export function makeStrokes({ stage, brush, changed, tell }) {
  // Numbers do not begin anew with the page, or strokes of two visits would be one.
  let number = Date.now() % 1e9;
  let active = null;
  const own = new Map(); // bubble name -> {mark, until}

  function paintOn(found) {
    const { model } = stage;
    const mark = brush();
    const colour = model.palette.findIndex((entry) => entry.mark === mark);
    for (const i of found) {
      // The frame under the hand may be of a larger piece than the one that has just come.
      if (active.met.has(i) || i >= model.bubbleCount) continue;
      active.met.add(i);
      active.fresh.push(i);
      active.before.set(i, model.colour[i]);
      if (colour >= 0) {
        model.colour[i] = colour;
        own.set(model.bubbleNames[i], { mark, until: performance.now() + KEPT });
      }
    }
    if (found.length) changed();
  }

  function send(done) {
    clearTimeout(active.timer);
    active.timer = 0;
    if (!active.fresh.length && !done) return;
    active.told = true;
    tell(active.fresh, active.number, done);
    active.fresh = [];
  }

  function step() {
    if (active.fresh.length && !active.timer) active.timer = setTimeout(() => send(false), TELL_EVERY);
  }

  return {
    // Takes the pointer if it is on a bubble; beside the piece it is left to turn it.
    begin(event) {
      const { scratch, pixel } = stage.seen();
      const start = stage.spot(event);
      const first = bubbleAt(scratch, ...start);
      if (first < 0) return null;
      active = { number: ++number, met: new Set(), fresh: [], before: new Map(), told: false, timer: 0 };
      let last = start;
      paintOn([first]);
      step();
      return {
        move(moved) {
          const here = stage.spot(moved);
          paintOn(bubblesAlong(scratch, last, here, 4 * pixel));
          last = here;
          step();
        },
        end() {
          send(true);
          active = null;
        },
        drop() {
          if (active.told) {
            this.end();
            return;
          }
          clearTimeout(active.timer);
          for (const [i, colour] of active.before) {
            stage.model.colour[i] = colour;
            own.delete(stage.model.bubbleNames[i]);
          }
          active = null;
          changed();
        },
      };
    },
    // One bubble by name or key, as a stroke of its own.
    dab(i) {
      active = { number: ++number, met: new Set(), fresh: [], before: new Map(), told: false, timer: 0 };
      paintOn([i]);
      send(true);
      active = null;
    },
    // A new state of the piece may be older than the hand: what it does not know yet is kept for a while.
    keepOwn(model) {
      const now = performance.now();
      if (!own.size) return;
      for (let i = 0; i < model.bubbleCount; i++) {
        const kept = own.get(model.bubbleNames[i]);
        if (!kept) continue;
        const colour = model.palette.findIndex((entry) => entry.mark === kept.mark);
        if (now > kept.until || colour < 0 || model.colour[i] === colour) own.delete(model.bubbleNames[i]);
        else model.colour[i] = colour;
      }
    },
  };
}
