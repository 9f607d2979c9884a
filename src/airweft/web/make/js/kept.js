// What the device keeps by itself: the maker's wishes, that making goes on, and a step that the server
// has not saved yet.

const WISHES = "airweft-make-wishes";

function read(store, key) {
  try {
    return JSON.parse(store().getItem(key));
  } catch {
    return null;
  }
}

function write(store, key, value) {
  try {
    if (value === null) store().removeItem(key);
    else store().setItem(key, JSON.stringify(value));
  } catch {
    // Then it is kept for this page only.
  }
}

// Touching the store may be refused as a whole.
const local = () => window.localStorage;
const session = () => window.sessionStorage;

export const readWishes = () => ({ sayAll: false, big: false, follow: true, ...read(local, WISHES) });
export const writeWishes = (wishes) => write(local, WISHES, wishes);

const making = (piece) => `airweft-making:${piece}`;
export const readMaking = (piece) => read(session, making(piece));
export const writeMaking = (piece, copy) => write(session, making(piece), copy);

const unsaved = (piece, job) => `airweft-unsaved:${piece}:${job.copy}:${job.plan}`;
export const readUnsaved = (piece, job) => read(local, unsaved(piece, job));
export const writeUnsaved = (piece, job, step) => write(local, unsaved(piece, job), step);
