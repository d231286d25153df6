/* Tones and degrees: a letter with an alteration, a number with an alteration; the letter comes from the number. */

import { reading } from "./tables.js";

const { letters, naturalKeys } = reading;

const remainder = (number, divisor) => ((number % divisor) + divisor) % divisor;

/** Return the sign for an alteration in semitones, in ASCII. */
export const accidentalText = (size) => (size > 0 ? "#".repeat(size) : "b".repeat(-size));

/** Return the number of a degree as text: 9 of b9. */
export const numberOf = (degree) => degree.replace(/^[#b]+/, "");

/** Return the alteration of a degree or a sign in semitones. */
export const sizeOf = (text) => (text.match(/#/g) ?? []).length - (text.match(/b/g) ?? []).length;

/** Return a degree's letter steps and semitones above the root. */
export function intervalOf(degree) {
  const number = Number(numberOf(degree));
  const octave = Math.floor((number - 1) / 7);
  return [number - 1, 12 * octave + naturalKeys[(number - 1) % 7] + sizeOf(degree)];
}

/** Sort degrees from the root upwards: by number, then from flat to sharp. */
export const inOrder = (degrees) =>
  [...new Set(degrees)].sort((a, b) => numberOf(a) - numberOf(b) || sizeOf(a) - sizeOf(b));

/** Return a tone of a letter and an alteration in semitones. */
export const tone = (letter, size = 0) => ({ letter, size });

/** Read a tone in ASCII: Bb, F##. */
export const parseTone = (text) => tone(text[0], sizeOf(text.slice(1)));

/** Return a tone in ASCII. */
export const toneName = ({ letter, size }) => letter + accidentalText(size);

/** Return a tone's semitones above C, not folded into the octave. */
export const keyOf = ({ letter, size }) => naturalKeys[letters.indexOf(letter)] + size;

/** Return a tone's key folded into 0 to 11. */
export const pitchClass = (one) => remainder(keyOf(one), 12);

/** Return the tone at a degree above a root. */
export function toneAt(root, degree) {
  const [steps, semitones] = intervalOf(degree);
  const step = letters.indexOf(root.letter) + steps;
  const letter = letters[step % 7];
  return tone(letter, keyOf(root) + semitones - 12 * Math.floor(step / 7) - naturalKeys[step % 7]);
}

/** Return the degree, 1 to 7, of a tone above a root, by its letter. */
export function degreeOf(root, one) {
  const steps = remainder(letters.indexOf(one.letter) - letters.indexOf(root.letter), 7);
  const size = remainder(keyOf(one) - keyOf(root) - naturalKeys[steps] + 6, 12) - 6;
  return accidentalText(size) + (steps + 1);
}

/** Tell whether two tones are spelled alike. */
export const sameTone = (a, b) => a.letter === b.letter && a.size === b.size;
