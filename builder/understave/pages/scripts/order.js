/* Chords said in another order: minor chord of A flat, seventh dominant of G, quarte suspendue. */

import { readings } from "./symbols.js";
import { asking, reading } from "./tables.js";
import { tone, toneName } from "./tones.js";
import { noteOf } from "./typed.js";
import { gaps, isFiller, plain, qualities } from "./words.js";

const MOST = 5;
const languages = Object.values(reading.languages);

/** Words for accidentals, each with its size. */
export const signs = new Map(
  [reading.rootSigns, ...languages.map((language) => language.signs)].flatMap((all) =>
    Object.entries(all).filter(([word]) => word.length > 2).map(([word, size]) => [plain(word), size]),
  ),
);
const signWords = new Map(Object.entries(reading.rootSigns).filter(([word]) => /^\w{4,5}$/.test(word)).map(([word, size]) => [size, word]));
const chordWords = new Set(asking.chordWords);
const linking = new Set(asking.linking);

/** Return the note that a part names within a question, or null: a is an article unless its neighbors make it a note. */
function rootIn(part, before, after) {
  const found = [null, ...languages].map((language) => noteOf(part, language)).find(Boolean);
  if (!found || found.octave) return null;
  const word = plain(part);
  const led = linking.has(plain(before ?? "")) || signs.has(plain(after ?? ""));
  if (word === "a" ? part === "a" && !led : !/^[A-G]$/.test(part) && isFiller(word) && before && after && !led) return null;
  return found.tone;
}

const ATTACHED = /^(?!b(?:5|9|11|13)$)([A-Ga-g][#b♯♭]?)((?:maj|min|m|M)?\d+)$/;

/** Return parts with the one symbol among them taken apart: e7 aug has a root, a number and a quality. */
const apart = (parts) =>
  parts.filter((part) => ATTACHED.test(part)).length === 1 ? parts.flatMap((part) => part.match(ATTACHED)?.slice(1) ?? [part]) : parts;

/** Return the root and the words of quality in a question that says nothing else, or null. */
function sorted(parts) {
  const words = [];
  const notes = [];
  for (let place = 0; place < parts.length; place += 1) {
    const part = parts[place];
    const word = plain(part);
    const note = rootIn(part, parts[place - 1], parts[place + 1]);
    const sign = signs.get(word);
    const after = parts[place + 1] ?? "";
    if (note) {
      const own = signs.get(plain(after));
      if (own && !note.size) place += 1;
      notes.push({ tone: own && !note.size ? tone(note.letter, own) : note, small: part === "a" || part === "A" });
    } else if (sign && rootIn(after, part, parts[place + 2])) {
      const next = rootIn(after, part, parts[place + 2]);
      place += 1;
      notes.push({ tone: next.size ? next : tone(next.letter, sign), small: false });
    } else if (sign && qualities.has(plain(after))) {
      words.push(`${signWords.get(sign)} ${qualities.get(plain(after))}`);
      place += 1;
    } else if (qualities.has(`${word} ${plain(after)}`)) {
      words.push(qualities.get(`${word} ${plain(after)}`));
      place += 1;
    } else if (qualities.has(word) && !gaps.has(word)) words.push(qualities.get(word));
    else if (/^(?:maj|min|m|M|dim|aug|sus|add)?\d+(?:th|sus)?$/.test(part)) words.push(part);
    else if (!gaps.has(word) && !isFiller(word) && !linking.has(word)) return null;
  }
  const named = notes.length > 1 ? notes.filter(({ small }) => !small) : notes;
  return named.length > 1 || words.length > MOST ? null : { root: named[0]?.tone ?? null, words };
}

const hasNumber = (word) => /\d/.test(word) || word.split(" ").some((one) => reading.wordTokens[one]?.startsWith("number"));

function* orders(words) {
  if (words.length < 2) yield words;
  else {
    for (let place = 0; place < words.length; place += 1) {
      for (const rest of orders(words.filter((_, index) => index !== place))) yield [words[place], ...rest];
    }
  }
}

/**
 * Return the readings of a chord whose words stand in any order, with the root found or not; null where they are none.
 */
export function rearranged(text) {
  const parts = text.split(/\s+|(?<=\p{L})-(?=\p{L}{3})/u).filter(Boolean);
  const found = parts.length > 1 && parts.length < 12 ? sorted(apart(parts)) : null;
  if (!found || found.words.length < (!found.root ? 2 : parts.some((part) => chordWords.has(plain(part))) ? 0 : 1) || found.words.join() === "dominant" || !(found.root || found.words.some(hasNumber))) return null;
  for (const words of orders(found.words)) {
    const chords = readings(`${found.root ? toneName(found.root) : "C"} ${words.join(" ")}`).readings;
    if (chords.length) return { rooted: found.root !== null, chords };
  }
  return null;
}
