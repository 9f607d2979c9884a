// Every sentence that the scripts put on the page, in one place.

function counted(count, one, many) {
  return `${count} ${count === 1 ? one : many}`;
}

const TEXT = {
  stepWord: "Step ",
  stepOf: (step, steps) => `${step} of ${steps}`,
  finished: "Finished",
  rowOfStep: (row, at, count) => `Row ${row} · ${at} of ${count} rows in this step`,
  take: (code, colour, size, tail) => `Take ${code}, ${colour} ${size}, leave ${tail} flat`,
  tail: (tail) => `leave ${tail} flat`,
  twin: (bubbles, locks) =>
    `New here: ${counted(bubbles, "bubble", "bubbles")}, ${counted(locks, "lock", "locks")}, in words`,
  twinBubble: (code, count, colour, name, from, to) =>
    `${code} bubble ${count} (${colour}), ${name}: from ${from} to ${to}`,
  twinLoop: (code, count, colour, name, at) => `${code} loop ${count} (${colour}), ${name}: at ${at}`,
  twinLocks: (names) => `Locked: ${names}`,
  numbers: (code) => `Numbers count the bubbles of ${code}.`,
  check: "Check",
  checkLater: "Check after the last row of this step",
  twinNothing: "Nothing new: see the words of the step.",
  made: (made, total) => `${made} of ${total} bubbles made`,
  doneTitle: "The piece is finished",
  doneText: (bubbles, balloons) =>
    `All ${counted(bubbles, "bubble", "bubbles")} are made, of ${counted(balloons, "balloon", "balloons")}. ` +
    "Turn the picture and compare every side with your piece.",
  doneCheck:
    "Count the balloons and the scraps before you leave the table; every piece of latex goes in the bin.",
  next: "Next",
  finish: "Finish",
  backToStart: "Start page",
  back: "Back",
  goOn: (step, steps) => `Go on at step ${step} of ${steps}`,
  goOnDone: "Show the finished piece",
  start: "Start making",
  transfer: (bubbles, step) =>
    `You made ${counted(bubbles, "bubble", "bubbles")} by another plan of this name. This plan has as many ` +
    `at step ${step}, but in its own order: compare piece and picture first.`,
  transferGo: (step) => `Look at step ${step}`,
  jumpGo: (step) => `Go to step ${step}`,
  jumpMore: (count) => `${counted(count, "more step", "more steps")}: type to narrow the list.`,
  jumpNone: "No step has this number or word.",
  here: "you are here",
  farthest: "farthest so far",
  say: "Say it",
  hush: "Stop",
  empty: "No bubble is made yet: the picture begins with the first one.",
  view: (around, above) => `Seen ${seenWords(around, above)}`,
  turned: (around, above) => `Turn the piece: look ${seenWords(around, above)}`,
  behind: (around, above) => `Part lies behind: look ${seenWords(around, above)}`,
  picture: (step, fresh, view) => `Picture of step ${step}. ${fresh} ${view}.`,
  fresh: (list) => (list.length ? `New: ${list.join(", ")}.` : "Nothing new."),
  awake: {
    off: { chip: "Screen not held", hint: "The screen is kept on while you are making." },
    held: { chip: "Screen stays on", hint: "The screen stays on for as long as this page is in front." },
    lost: {
      chip: "May go dark",
      hint: "The device has let the screen lock go, often because the battery is low. Touch any button to ask again.",
    },
    refused: {
      chip: "May go dark",
      hint: "The device refused to keep the screen on, often because of battery saving. Switch battery saving off, or set a longer time before the screen sleeps.",
    },
    unsupported: {
      chip: "May go dark",
      hint: "This browser cannot keep the screen on. Set a longer time before the screen sleeps in the settings of the device.",
    },
    insecure: {
      chip: "May go dark",
      hint: "Browsers keep the screen on only for saved files and secure addresses, and this page came from neither. Save the page and open the file, or set a longer time before the screen sleeps.",
    },
  },
  placeKept: "Kept on this device after every step. This code carries it to another device:",
  placeLost: "This browser does not let the page keep your place. Write down this code before you close it:",
  copied: "Copied.",
  notCopied: "Copying is not allowed here: write the code down.",
  codeUnclear: (text) =>
    text ? `“${text}” is not a code of this page. A code looks like 3fa1-15.` : "Type the code first.",
  codeOther: "This code belongs to another plan, so its step would not fit. Open the page it came from.",
  codeBeyond: (steps) => `This plan has only ${steps} steps.`,
};
