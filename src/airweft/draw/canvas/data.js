// The page's data: unpacked once into typed arrays and plain lists.
//
// Whole numbers are packed as base64 digits of five bits each, lowest first, the sign in the lowest
// bit; texts as shared forms with the differences of their numbers (see docs/phone-page.md).

const DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
const DIGIT_VALUE = new Int8Array(128).fill(-1);
for (let i = 0; i < 64; i++) DIGIT_VALUE[DIGITS.charCodeAt(i)] = i;

export function unpackNumbers(text) {
  const values = [];
  let shift = 0;
  let value = 0;
  for (let i = 0; i < text.length; i++) {
    const digit = DIGIT_VALUE[text.charCodeAt(i)];
    value |= (digit & 31) << shift;
    if (digit & 32) {
      shift += 5;
      continue;
    }
    values.push(value & 1 ? -(value >>> 1) : value >>> 1);
    shift = 0;
    value = 0;
  }
  return values;
}

function unpackTexts(packed, count) {
  const shapes = unpackNumbers(packed.forms);
  const forms = [];
  for (let at = 0; at < shapes.length; at += shapes[at] + 2) {
    const places = shapes.slice(at + 1, at + shapes[at] + 2);
    forms.push(places.map((place) => packed.pieces[place]));
  }
  const numbers = unpackNumbers(packed.numbers);
  const last = new Map();
  const texts = [];
  let at = 0;
  let form = 0;
  for (let i = 0; i < count; i++) {
    form += numbers[at++];
    const pieces = forms[form];
    let figures = last.get(form);
    if (!figures) {
      figures = new Array(pieces.length - 1).fill(0);
      last.set(form, figures);
    }
    let text = pieces[0];
    for (let k = 0; k < figures.length; k++) {
      figures[k] += numbers[at++];
      text += figures[k] + pieces[k + 1];
    }
    texts.push(text);
  }
  return texts;
}

function runningSums(values) {
  let sum = 0;
  return values.map((value) => (sum += value));
}

// Calls `put` with each index and its value (a list of `width` numbers) of a run-length table.
function eachRun([values, runs], width, put) {
  const table = unpackNumbers(values);
  const pairs = unpackNumbers(runs);
  let index = 0;
  for (let at = 0; at < pairs.length; at += 2) {
    const value = table.slice(width * pairs[at], width * (pairs[at] + 1));
    for (let k = 0; k < pairs[at + 1]; k++) put(index++, value);
  }
}

// Bubbles are in building order, so that what is made at any moment is a prefix of the lists.
export function readModel(raw) {
  const jointCount = raw.counts.joints;
  const bubbleCount = raw.counts.bubbles;
  const codes = unpackTexts(raw.codes, raw.counts.balloons);
  const kinds = unpackNumbers(raw.balloons);
  const balloons = codes.map((code, i) => {
    const [colour, size, tail] = raw.balloonKinds[kinds[i]];
    return { code, colour, size, tail };
  });
  const model = {
    key: raw.key,
    name: raw.name,
    palette: [...raw.palette, ...raw.parts].map(
      ([mark, name, base, glint, light, deep, inside, veil, veilInside, veilLine]) => ({
        mark,
        name,
        tones: { base, glint, light, deep, inside, veil, veilInside, veilLine },
      }),
    ),
    cover: raw.cover,
    scene: { middle: raw.scene.slice(0, 3), radius: raw.scene[3] },
    balloons,
    jointCount,
    bubbleCount,
    x: new Float32Array(jointCount),
    y: new Float32Array(jointCount),
    z: new Float32Array(jointCount),
    from: new Int32Array(bubbleCount),
    to: new Int32Array(bubbleCount),
    balloon: new Int32Array(bubbleCount),
    colour: new Uint8Array(bubbleCount),
    waist: new Float32Array(bubbleCount),
    cap: new Float32Array(bubbleCount),
    normal: new Int8Array(3 * bubbleCount),
    // Bubbles that do not lie midway between their joints: how far off, in mm.
    shifts: new Map(),
    jointNames: unpackTexts(raw.jointNames, jointCount),
    bubbleNames: unpackTexts(raw.bubbleNames, bubbleCount),
    steps: [],
    stops: [],
  };
  const positions = unpackNumbers(raw.joints);
  let px = 0;
  let py = 0;
  let pz = 0;
  for (let j = 0; j < jointCount; j++) {
    model.x[j] = (px += positions[3 * j]) / raw.unit;
    model.y[j] = (py += positions[3 * j + 1]) / raw.unit;
    model.z[j] = (pz += positions[3 * j + 2]) / raw.unit;
  }
  const trails = unpackNumbers(raw.trails);
  const ends = balloons.map(() => 0);
  // For each balloon the joints it passes: its knot, then where each of its bubbles ends. The text
  // names joints so: R1.5 is where bubble 5 of R1 ends.
  model.passes = balloons.map(() => []);
  model.count = new Int32Array(bubbleCount);
  let balloon = 0;
  for (let i = 0; i < bubbleCount; i++) {
    balloon += trails[3 * i];
    const from = ends[balloon] + trails[3 * i + 1];
    const to = from + trails[3 * i + 2];
    ends[balloon] = to;
    const passes = model.passes[balloon];
    if (!passes.length) passes.push(from);
    model.count[i] = passes.push(to) - 1;
    model.balloon[i] = balloon;
    model.from[i] = from;
    model.to[i] = to;
    model.colour[i] = balloons[balloon].colour;
  }
  eachRun(raw.bodies, 2, (i, [waist, cap]) => {
    model.waist[i] = waist / 100;
    model.cap[i] = cap / 100;
  });
  eachRun(raw.normals, 3, (i, normal) => model.normal.set(normal, 3 * i));
  const shifts = unpackNumbers(raw.shifts);
  for (let at = 0, bubble = 0; at < shifts.length; at += 4) {
    bubble += shifts[at];
    model.shifts.set(bubble, [1, 2, 3].map((k) => shifts[at + k] / raw.unit));
  }
  readSteps(raw, model);
  readChapters(raw, model);
  return model;
}

// A step is one line of instruction; a stop is one press of Next. A step that covers several rows
// has one stop for each of them, so that the place is never lost inside a repeat.
function readSteps(raw, model) {
  const count = raw.counts.steps;
  const titles = unpackTexts(raw.titles, count);
  const texts = unpackTexts(raw.texts, count);
  const checks = unpackTexts(raw.checks, count);
  const rowTexts = unpackTexts(raw.rowTexts, raw.counts.stops);
  const numbers = unpackNumbers(raw.rows);
  const locks = runningSums(unpackNumbers(raw.locks));
  const looks = unpackNumbers(raw.looks);
  let at = 0;
  let lockAt = 0;
  let lookAt = 0;
  let made = 0;
  let begun = 0;
  let around = 0;
  let above = 0;
  for (let s = 0; s < count; s++) {
    const firstRow = numbers[at++];
    const step = {
      number: s + 1,
      title: titles[s],
      text: texts[s],
      check: checks[s],
      firstRow,
      lastRow: firstRow + numbers[at++],
      stops: numbers[at++],
      firstStop: model.stops.length,
    };
    for (let k = 0; k < step.stops; k++) {
      const stop = { step: s, part: k, row: firstRow + k, firstBubble: made, firstBalloon: begun };
      made += numbers[at++];
      begun += numbers[at++];
      const lockCount = numbers[at++];
      stop.lastBubble = made;
      stop.lastBalloon = begun;
      stop.locks = locks.slice(lockAt, lockAt + lockCount);
      lockAt += lockCount;
      stop.text = rowTexts[model.stops.length];
      around += looks[lookAt++];
      above += looks[lookAt++];
      stop.view = [around, above];
      stop.behind = looks[lookAt++] ? [looks[lookAt++], looks[lookAt++]] : null;
      const last = model.stops[model.stops.length - 1];
      stop.turned = Boolean(last) && (last.view[0] !== around || last.view[1] !== above);
      model.stops.push(stop);
    }
    model.steps.push(step);
  }
}

// The chapters of a piece that several people make: what lies on the table at each stop, and for each
// bubble the palette entry of the part that it belongs to.
function readChapters(raw, model) {
  model.partColour = new Uint8Array(model.bubbleCount).fill(model.palette.length - 1);
  model.chapters = raw.chapters.map(([first, last, apart, lead], number) => {
    const stops = model.stops.filter((stop) => stop.step + 1 >= first && stop.step + 1 <= last);
    const chapter = { step: first - 1, apart, lead, firstBubble: stops[0].firstBubble };
    chapter.lastBubble = stops[stops.length - 1].lastBubble;
    if (apart) model.partColour.fill(raw.palette.length + number, chapter.firstBubble, chapter.lastBubble);
    for (const stop of stops) stop.chapter = chapter;
    stops[0].opens = true;
    stops[0].turned = false;
    return chapter;
  });
  for (const stop of model.stops) {
    const own = stop.chapter && stop.chapter.apart ? stop.chapter : null;
    stop.base = own ? own.firstBubble : 0;
    stop.ending = own ? own.lastBubble : model.bubbleCount;
    // Nothing new: parts are joined, so that the picture tells them apart.
    stop.joins = Boolean(stop.chapter) && !own && stop.firstBubble === stop.lastBubble;
  }
}

// The joints that a text names, as [name, joint], each once.
export function namedJoints(model, text) {
  if (!model.byCode) model.byCode = new Map(model.balloons.map(({ code }, i) => [code, i]));
  const found = new Map();
  for (const match of text.matchAll(/([^\s,;:()]+)\.(\d{1,5})(?!\d)/g)) {
    const balloon = model.byCode.get(match[1]);
    const joint = balloon === undefined ? undefined : model.passes[balloon][Number(match[2])];
    if (joint !== undefined) found.set(match[0], joint);
  }
  return [...found];
}
