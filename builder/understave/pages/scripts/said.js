/* Symbols as they are said, put as they are written: bee flat, bflat13, plus 7, the fifth raised, a chord with its bass in words. */

import { readings } from "./symbols.js";
import { asking, reading } from "./tables.js";
import { noteOf } from "./typed.js";
import { isFiller, plain, qualities } from "./words.js";

const codes = ["", ...Object.keys(reading.languages)];
const languages = [null, ...Object.values(reading.languages)];
const setOf = (words) => new Set(plain(words).split(" "));
const { ear, signs, pluses, minuses } = asking.said;
const bassWords = setOf(asking.said.bass);
const over = setOf(asking.said.over);
const under = setOf(asking.said.under);
const beside = setOf(asking.said.beside);
const beforeLetters = setOf(asking.said.beforeLetters);
const smallWords = setOf(asking.said.smallWords);
const alternatives = (words) => words.replaceAll(" ", "|");

const glued = /(?<![\p{L}\p{N}])([a-h])-?(flat|sharp)(?=$|[\s/?!.,]|-?\d|-?(?:m|maj|min|dim|aug|sus|add)(?![a-ln-z]))-?/giu;
const plus = new RegExp(`(?<![\\p{L}\\p{N}])(?:${alternatives(pluses)})\\s+(?=\\d)`, "giu");
const minus = new RegExp(`(?<![\\p{L}\\p{N}])(?:${alternatives(minuses)})\\s+(?=\\d)`, "giu");
const hands = /\b(?:left hand|lh)\b(?=.*\b(?:right|rh)\b)|(?<=\b(?:right|rh)\b.*)\b(?:left hand|lh)\b/gi;

const isQuality = (word) => qualities.has(word) || /^(?:maj|min|m|dim|aug|sus|add)?\d+$/.test(word);
const noteIn = (part) => languages.map((language) => noteOf(part, language)).find(Boolean);
const isNote = (part) => part !== undefined && Boolean(noteIn(part)) && !noteIn(part).octave;
const reads = (text) => codes.some((code) => readings(text, code).readings.length > 0);

/** Return words with letters said by ear as letters, where a chord or a bass goes on: bee flat, gee over bee. */
function lettersHeard(parts) {
  const isLetter = (place) => {
    const word = plain(parts[place] ?? "");
    if (!Object.hasOwn(ear, word)) return false;
    const [before, after] = [plain(parts[place - 1] ?? ""), plain(parts[place + 1] ?? "")];
    const goesOn = ["flat", "sharp", "major", "minor"].includes(after) || isQuality(after) || over.has(after);
    if (smallWords.has(word)) return goesOn && (!before || beforeLetters.has(before) || over.has(before));
    return goesOn || over.has(before) || isNote(before) || isNote(after) || parts.length === 1;
  };
  return parts.map((part, place) => (isLetter(place) ? ear[plain(part)].toUpperCase() : part));
}

/** Return words with the words for raised and lowered tones as signs before their numbers: fifth raised, lowered fifth. */
function signsFirst(parts) {
  const said = [...parts];
  said.forEach((part, place) => {
    const word = plain(part);
    if (!Object.hasOwn(signs, word)) return;
    const [before, after] = [said[place - 1], said[place + 1]].map((one) => plain(one ?? ""));
    const isNumber = (one) => reading.wordTokens[qualities.get(one)]?.startsWith("number");
    if (isNumber(after)) said[place] = signs[word];
    else if (isNumber(before)) [said[place - 1], said[place]] = [signs[word], said[place - 1]];
  });
  return said;
}

/** Return the shortest way to read some words as a chord, idle ones at their ends left aside, or null. */
function chordIn(parts) {
  let [from, to] = [0, parts.length];
  const idle = (part) => isFiller(plain(part)) || beside.has(plain(part));
  while (from < to) {
    const text = parts.slice(from, to).join(" ");
    if (reads(text)) return text;
    if (idle(parts[to - 1])) to -= 1;
    else if (idle(parts[from])) from += 1;
    else return null;
  }
  return null;
}

const overBass = (chord, bass) => (chord && reads(`${chord}/${bass}`) ? `${chord}/${bass}` : null);

/** Return a chord whose bass is said in words as a slash chord, or null: with B in the bass, bass is D and chord is C, C on top of E. */
function withBass(parts) {
  const words = parts.map(plain);
  const place = words.findIndex((word) => bassWords.has(word));
  if (place >= 0) {
    let [before, after] = [place - 1, place + 1];
    while (before >= 0 && beside.has(words[before]) && !(isNote(parts[before]) && words[before] !== "a")) before -= 1;
    if (before >= 0 && words[before] !== "a" && beside.has(words[before])) before = -1;
    while (after < parts.length && beside.has(words[after]) && !(isNote(parts[after]) && after === parts.length - 1)) after += 1;
    const tries = [[before, before, place], [after, place, after]];
    if (before === place - 1) tries.reverse();
    for (const [note, from, to] of tries) {
      if (!isNote(parts[note])) continue;
      const found = overBass(chordIn([...parts.slice(0, from), ...parts.slice(to + 1)]), parts[note]);
      if (found) return found;
    }
    return null;
  }
  const between = words.findIndex((word, index) => index && (over.has(word) || under.has(word)));
  if (between < 0) return null;
  const [left, right] = [parts.slice(0, between), parts.slice(between + 1)];
  while (right.length > 1 && beside.has(plain(right[0])) && !isNote(right[0])) right.shift();
  if (under.has(words[between])) return isNote(left.at(-1)) ? overBass(chordIn(right), left.at(-1)) : null;
  while (left.length > 1 && beside.has(plain(left.at(-1))) && !isNote(left.at(-1))) left.pop();
  return isNote(right[0]) && right.slice(1).every((part) => isFiller(plain(part))) ? overBass(chordIn(left), right[0]) : null;
}

/** Return a question with what is said of a symbol put as it is written. */
export function written(text) {
  const joined = text
    .replace(glued, (_, letter, sign) => letter.toUpperCase() + (sign.toLowerCase() === "flat" ? "b" : "#"))
    .replace(plus, "+")
    .replace(minus, "-")
    .replace(hands, "bass");
  const parts = signsFirst(lettersHeard(joined.split(/\s+/)));
  const bare = parts.map((part) => part.replace(/^[("'“‘¿¡]+(?=\p{L})|(?<=[\p{L}\p{N}♯♭#])[?!.,;:"'”’]+$/gu, ""));
  const said = bare.some((part) => [bassWords, over, under].some((words) => words.has(plain(part))));
  return said && !reads(bare.join(" ")) ? (withBass(bare) ?? parts.join(" ")) : parts.join(" ");
}
