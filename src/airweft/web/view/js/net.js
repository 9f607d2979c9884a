// A bare net as the painter wants it: the same model as of a book, without balloons and steps.

export function bytes(text) {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
  return out.buffer;
}

export function lines(text, count) {
  return count ? text.split("\n") : [];
}

export function readPalette(rows) {
  return rows.map(([mark, name, base, glint, light, deep, inside, veil, veilInside, veilLine]) => ({
    mark,
    name,
    tones: { base, glint, light, deep, inside, veil, veilInside, veilLine },
  }));
}

export function readNet(raw) {
  const { joints, bubbles } = raw.counts;
  const spots = new Float32Array(bytes(raw.joints));
  const ends = new Int32Array(bytes(raw.ends));
  const model = {
    key: "",
    name: raw.name,
    palette: readPalette(raw.palette),
    cover: [...raw.cover],
    scene: { middle: raw.scene.slice(0, 3), radius: raw.scene[3] },
    balloons: [],
    jointCount: joints,
    bubbleCount: bubbles,
    x: new Float32Array(joints),
    y: new Float32Array(joints),
    z: new Float32Array(joints),
    from: new Int32Array(bubbles),
    to: new Int32Array(bubbles),
    balloon: new Int32Array(bubbles),
    colour: new Uint16Array(bytes(raw.colours)),
    waist: new Float32Array(bytes(raw.waists)),
    cap: new Float32Array(bytes(raw.caps)),
    normal: new Int8Array(bytes(raw.normals)),
    shifts: new Map(),
    jointNames: lines(raw.jointNames, joints),
    bubbleNames: lines(raw.bubbleNames, bubbles),
    steps: [],
    stops: [],
  };
  for (let j = 0; j < joints; j++) {
    model.x[j] = spots[3 * j];
    model.y[j] = spots[3 * j + 1];
    model.z[j] = spots[3 * j + 2];
  }
  for (let i = 0; i < bubbles; i++) {
    model.from[i] = ends[2 * i];
    model.to[i] = ends[2 * i + 1];
  }
  const shifted = new Int32Array(bytes(raw.shifted));
  const shifts = new Float32Array(bytes(raw.shifts));
  shifted.forEach((bubble, k) => model.shifts.set(bubble, shifts.slice(3 * k, 3 * k + 3)));
  return model;
}

// What a pack of either kind holds beyond the painter's model.
export function addPlaces(model, raw) {
  model.panels = lines(raw.panels, model.bubbleCount);
  model.panelOf = new Uint16Array(bytes(raw.panelOf));
  model.box = { low: raw.box.slice(0, 3), high: raw.box.slice(3) };
  model.sizes = raw.sizes.map(([way, text]) => ({ way, text }));
  return model;
}

// The middle of a bubble in the piece's own space.
export function middleOf(model, i) {
  const a = model.from[i];
  const b = model.to[i];
  const shift = model.shifts.get(i) || [0, 0, 0];
  return [
    (model.x[a] + model.x[b]) / 2 + shift[0],
    (model.y[a] + model.y[b]) / 2 + shift[1],
    (model.z[a] + model.z[b]) / 2 + shift[2],
  ];
}

// For each joint the bubbles that end there, made when first asked for.
export function bubblesAt(model, joint) {
  if (!model.atJoint) {
    model.atJoint = Array.from({ length: model.jointCount }, () => []);
    for (let i = 0; i < model.bubbleCount; i++) {
      model.atJoint[model.from[i]].push(i);
      if (model.to[i] !== model.from[i]) model.atJoint[model.to[i]].push(i);
    }
  }
  return model.atJoint[joint];
}
