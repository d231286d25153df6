/* The piano's keys as buttons, from low to high. */

import { named } from "./note-names.js";

const FIRST = 36;
const LAST = 84;
const NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

/** Return a key's name in ASCII with its octave: C4 is middle C; black keys are named from below. */
export const keyText = (key) => `${NAMES[key % 12]}${Math.floor(key / 12) - 1}`;

/** Return a button for each key, by its MIDI number. */
export function keyButtons(phrases) {
  const buttons = new Map();
  for (let key = FIRST; key <= LAST; key += 1) {
    const name = NAMES[key % 12];
    const button = document.createElement("button");
    button.type = "button";
    button.className = name.length > 1 ? "key key--black" : "key";
    button.dataset.key = key;
    buttons.set(key, button);
  }
  nameButtons(buttons, phrases);
  return buttons;
}

/** Name the keys in the language that the reader chose: aloud each of them, in print each C. */
export function nameButtons(buttons, phrases) {
  for (const [key, button] of buttons) {
    const name = NAMES[key % 12];
    const octave = Math.floor(key / 12) - 1;
    button.dataset.name = name === "C" ? named(name) + octave : "";
    const spoken = name.replace("#", ` ${phrases["keys-page-sharp"]}`);
    button.setAttribute("aria-label", `${named(spoken)} ${octave}`);
  }
}
