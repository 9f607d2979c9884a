// Every sentence that the bench puts on the page, in one place.

import { seenWords } from "airweft-canvas/seen.js";
import { counted } from "airweft-view/texts.js";

export const TEXT = {
  finished: "Finished",
  title: "The piece is finished",
  text: (bubbles, balloons) =>
    `All ${counted(bubbles, "bubble", "bubbles")} are made, of ${counted(balloons, "balloon", "balloons")}. ` +
    "Turn the picture and compare every side with your piece.",
  check:
    "Count the balloons and the scraps before you leave the table; every piece of latex goes in the bin.",
  row: (row, at, count) => `Row ${row} · ${at} of ${count} rows in this step`,
  take: (code, colour, size, tail) => `Take ${code}, ${colour} ${size}, leave ${tail} flat`,
  tail: (tail) => `leave ${tail} flat`,
  made: (made, total) => `${made} of ${total} bubbles made`,
  turned: (view) => `Turn the piece: look ${seenWords(...view)}`,
  behind: (view) => `Part lies behind: look ${seenWords(...view)}`,
  stepOf: (step, steps) => `Step ${step} of ${steps}`,
  empty: "No bubble is made yet: the picture begins with the first one.",
  later: "Check after the last row of this step",
  checkWord: "Check",
  unsaved: "The line to the workshop is broken. Your place is kept on this device; go on.",
  moved: "Another device moved this copy on: it is shown as it is now.",
  more: (count) => `${counted(count, "more step", "more steps")}: type to narrow the list.`,
  none: "No step has this number or word.",
  awake: {
    off: ["Screen not held", "The screen is kept on while you are making."],
    held: ["Screen stays on", "The screen stays on for as long as this page is in front."],
    lost: [
      "May go dark",
      "The device has let the screen go, often because the battery is low. Touch anything to ask again.",
    ],
    refused: [
      "May go dark",
      "The device refused to keep the screen on, often to save its battery. Switch battery saving off, or set a longer time before the screen sleeps.",
    ],
    unsupported: [
      "May go dark",
      "This browser cannot keep the screen on. Set a longer time before the screen sleeps in the settings of the device.",
    ],
    insecure: [
      "May go dark",
      "Browsers keep the screen on only at the workshop’s own computer, not on a tablet that came in over the network. Set a longer time before the screen sleeps in the settings of the tablet.",
    ],
  },
};
