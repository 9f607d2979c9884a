// What is said of a stop: words, balloons to take, number to check. `at` is how many stops are done.

import { TEXT } from "./texts.js";

export function stepOf(model, at) {
  const stop = model.stops[at];
  if (!stop) return ended(model);
  const step = model.steps[stop.step];
  const last = stop.part === step.stops - 1;
  const take = takeOf(model, stop);
  return {
    ended: false,
    number: stop.step + 1,
    figures: TEXT.stepOf(stop.step + 1, model.steps.length),
    title: step.title,
    lead: stop.opens ? stop.chapter.lead : "",
    part: step.stops > 1 ? TEXT.row(stop.row, stop.part + 1, step.stops) : "",
    take,
    text: stop.text || step.text,
    whole: stop.text ? step.text : "",
    check: step.check,
    checkWord: last ? TEXT.checkWord : TEXT.later,
    last,
    turn: stop.turned ? TEXT.turned(stop.view) : "",
    behind: stop.behind,
    behindText: stop.behind ? TEXT.behind(stop.behind) : "",
    empty: stop.lastBubble === stop.base ? TEXT.empty : "",
    done: stop.firstBubble - stop.base,
    all: Math.max(1, stop.ending - stop.base),
  };
}

// The balloons to take, alike ones together.
function takeOf(model, stop) {
  const kinds = new Map();
  for (let b = stop.firstBalloon; b < stop.lastBalloon; b++) {
    const { code, colour, size, tail } = model.balloons[b];
    const key = JSON.stringify([colour, size, tail]);
    const kind = kinds.get(key) || { codes: [], colour, size, tail };
    kind.codes.push(code);
    kinds.set(key, kind);
  }
  return [...kinds.values()].map(({ codes, colour, size, tail }) => {
    const { mark, name, tones } = model.palette[colour];
    const code = codes.join(", ");
    return {
      code,
      mark,
      base: tones.base,
      text: `${name} ${size}, ${TEXT.tail(tail)}`,
      said: TEXT.take(code, name, size, tail),
    };
  });
}

function ended(model) {
  return {
    ended: true,
    number: model.steps.length,
    figures: TEXT.finished,
    title: TEXT.title,
    lead: "",
    part: "",
    take: [],
    text: TEXT.text(model.bubbleCount, model.balloons.length),
    whole: "",
    check: TEXT.check,
    checkWord: TEXT.checkWord,
    last: true,
    turn: "",
    behind: null,
    behindText: "",
    empty: "",
    done: model.bubbleCount,
    all: Math.max(1, model.bubbleCount),
  };
}

// The step in one text, for the voice and for screen readers.
export function spoken(step) {
  const bits = [step.figures, step.title, step.lead, step.part, step.turn];
  bits.push(...step.take.map((one) => one.said), step.text);
  if (step.check) bits.push(`${step.checkWord}: ${step.check}`);
  return bits.filter(Boolean).map((bit) => bit.replace(/[.:]?$/, ".")).join(" ");
}

// The steps whose number or words hold what is looked for, some of them around `here` if nothing is.
const LISTED = 120;
export function found(model, wanted, here) {
  const word = wanted.trim().toLowerCase();
  let steps = model.steps;
  if (/^\d{1,7}$/.test(word)) steps = steps.filter((step) => String(step.number).startsWith(word));
  else if (word) steps = steps.filter((step) => `${step.title} ${step.text}`.toLowerCase().includes(word));
  else if (steps.length > LISTED) steps = steps.slice(Math.max(0, here - LISTED / 4));
  const shown = steps.slice(0, LISTED);
  const note = !steps.length ? TEXT.none : steps.length > LISTED ? TEXT.more(steps.length - LISTED) : "";
  return { steps: shown.map(({ number, title, firstStop }) => ({ number, title, firstStop })), note };
}
