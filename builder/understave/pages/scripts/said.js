/* Symbols as they are said, put as they are written: bee flat, bflat13, plus 7, the fifth raised, a chord with its bass in words. */

import { readings } from "./symbols.js";
import { asking, reading } from "./tables.js";
import { noteOf } from "./typed.js";
import { isFiller, plain, qualities } from "./words.js";

const codes = ["", ...Object.keys(reading.languages)];
const languages = [null, ...Object.values(reading.languages)];
const setOf = (words) => new Set(plain(words).split(" "));
const { ear, meant, signs, pluses, minuses } = asking.said;
const bassWords = setOf(asking.said.bass);
const over = setOf(asking.said.over);
const under = setOf(asking.said.under);
const beside = setOf(asking.said.beside);
const links = setOf(asking.said.links);
const smallWords = setOf(asking.said.smallWords);
const alternatives = (words) => words.replaceAll(" ", "|");

const glued = /(?<![\p{L}\p{N}])([a-h])-?(flat|sharp)(?=$|[\s/?!.,]|-?\d|-?(?:m|maj|min|dim|aug|sus|add)(?![a-ln-z]))-?/giu;
const plus = new RegExp(`(?<![\\p{L}\\p{N}])(?:${alternatives(pluses)})\\s+(?=\\d)|(?<=(?:^|\\s)[A-Ga-g][#b]?)\\s+plus$`, "giu");
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
    if (smallWords.has(word)) return goesOn && (!before || [links, beside, over].some((words) => words.has(before)));
    return goesOn || over.has(before) || isNote(before) || isNote(after) || parts.length === 1;
  };
  return parts.map((part, place) => (isLetter(place) ? ear[plain(part)].toUpperCase() : part));
}

const isNumber = (word) => reading.wordTokens[qualities.get(word)]?.startsWith("number") ?? false;
const isFifth = (word) => reading.wordTokens[qualities.get(word)] === "number 5";

/** Return words with the words for raised and lowered tones as signs before their numbers: fifth raised, with a lowered fifth. */
function signsFirst(parts) {
  const said = [...parts];
  const wordAt = (place) => plain(said[place] ?? "");
  said.forEach((_, place) => {
    const word = wordAt(place);
    const sign = signs[word] ?? (["flat", "sharp"].includes(word) ? word : null);
    // an augmented fifth is a raised one, an augmented seventh a chord
    const counts = qualities.has(word) && sign !== word ? isFifth : isNumber;
    if (!sign) return;
    if (counts(wordAt(place + 1))) {
      said[place] = sign;
      if (wordAt(place - 1) === "a" && links.has(wordAt(place - 2))) said[place - 1] = "";
    } else if (sign !== word && counts(wordAt(place - 1))) [said[place - 1], said[place]] = [sign, said[place - 1]];
  });
  return said.filter((part, place) => part || !parts[place]);
}

/** Return the longest stretch of some words that reads as a chord, idle ones at their ends left aside, or null. */
function chordIn(parts) {
  const isLink = (part) => [links, beside, over, under].some((words) => words.has(plain(part)));
  const isIdle = (part) => isFiller(plain(part)) && !/^[b-h]$/i.test(part);
  let [from, to] = [0, parts.length];
  while (from < to) {
    if (isLink(parts[to - 1])) to -= 1;
    else if (isLink(parts[from])) from += 1;
    else if (reads(parts.slice(from, to).join(" "))) return parts.slice(from, to).join(" ");
    else if (isIdle(parts[to - 1])) to -= 1;
    else if (isIdle(parts[from])) from += 1;
    else return null;
  }
  return null;
}

const overBass = (chord, bass) => (chord && isNote(bass) && reads(`${chord}/${bass}`) ? `${chord}/${bass}` : null);

/** Return a chord whose bass is said in words as a slash chord, or null: with B in the bass, bass is D and chord is C. */
function withBass(parts, place) {
  const isBeside = (one) => beside.has(plain(parts[one] ?? ""));
  let [before, after] = [place - 1, place + 1];
  while (isBeside(before)) before -= 1;
  while (isBeside(after)) after += 1;
  const earlier = () => overBass(chordIn([...parts.slice(0, before), ...parts.slice(place + 1)]), parts[before]);
  const later = () => overBass(chordIn([...parts.slice(0, place), ...parts.slice(after + 1)]), parts[after]);
  return before === place - 1 ? (later() ?? earlier()) : (earlier() ?? later());
}

/** Return a chord that is said to stand over a note, or a note under a chord, as a slash chord, or null. */
function overNote(parts, place) {
  const [left, right] = [parts.slice(0, place), parts.slice(place + 1)];
  while (right.length > 1 && beside.has(plain(right[0]))) right.shift();
  if (under.has(plain(parts[place]))) return overBass(chordIn(right), left.at(-1));
  return right.slice(1).every((part) => isFiller(plain(part))) ? overBass(chordIn(left), right[0]) : null;
}

/** Return a chord with its bass in words as a slash chord, or null. */
function slashed(parts) {
  const words = parts.map(plain);
  const place = words.findIndex((word) => bassWords.has(word));
  if (place >= 0) return withBass(parts, place);
  const between = words.findIndex((word, index) => index && (over.has(word) || under.has(word)));
  return between < 0 ? null : overNote(parts, between);
}

/** Return a question with what is said of a symbol put as it is written. */
export function written(text) {
  const joined = text
    .replace(glued, (_, letter, sign) => letter.toUpperCase() + (sign.toLowerCase() === "flat" ? "b" : "#"))
    .replace(plus, "+")
    .replace(minus, "-");
  const said = signsFirst(lettersHeard(joined.split(/\s+/).map((part) => meant[part.toLowerCase()] ?? part))).join(" ");
  const parts = said.replace(hands, "bass").split(" ").map((part) => part.replace(/^[("'“‘¿¡]+(?=\p{L})|(?<=[\p{L}\p{N}♯♭#])[?!.,;:"'”’]+$/gu, ""));
  const placed = parts.some((part) => [bassWords, over, under].some((words) => words.has(plain(part))));
  return (placed && !reads(parts.join(" ")) && slashed(parts)) || said;
}
