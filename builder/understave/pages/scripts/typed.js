/* Typed notes: A C F, do mi sol, F3 A3 C4 → keys and tones, the first typed being the lowest. */

import { asking, reading } from "./tables.js";
import { keyOf, pitchClass, tone } from "./tones.js";

const LOWEST = 48;
const joins = new Set(asking.joins);

const SIGNS = { "♭": -1, "♯": 1, "𝄫": -2, "𝄪": 2, ...reading.rootSigns };
const LONGEST_FIRST = Object.entries(SIGNS).sort((a, b) => b[0].length - a[0].length);
const LETTERS = Object.fromEntries([...reading.letters].map((letter) => [letter.toLowerCase(), [letter, 0]]));

/** Return the note that a whole part names, with its octave if one is given; null for anything else. */
export function noteOf(part, language) {
  const text = part.toLowerCase();
  const octave = text.match(/[0-8]$/)?.[0];
  const name = octave ? text.slice(0, -1) : text;
  const notes = language?.notes ?? LETTERS;
  if (Object.hasOwn(notes, name)) return { tone: tone(...notes[name]), octave };
  for (const [sign, size] of LONGEST_FIRST) {
    const bare = name.slice(0, name.length - sign.length);
    if (name.endsWith(sign) && Object.hasOwn(notes, bare) && !notes[bare][1]) {
      return { tone: tone(notes[bare][0], size), octave };
    }
  }
  return null;
}

/** Return the notes of a text whose parts are all note names, at least two; null for any other text. */
function notesIn(parts, language) {
  const signs = { ...SIGNS, ...language?.signs };
  const found = [];
  for (const part of parts) {
    const note = noteOf(part, language);
    const last = found.at(-1);
    const sign = signs[part.toLowerCase()];
    if (note) found.push(note);
    else if (last && !last.tone.size && sign) last.tone = tone(last.tone.letter, sign);
    else return null;
  }
  return found.length > 1 ? found : null;
}

/**
 * Return the keys that a text's notes stand for, with the tones as typed; null for a text that is no list of notes.
 *
 * Where every note has an octave, the lowest sounding one is the bass; else the first typed.
 */
export function typedNotes(text) {
  const joined = text.replace(/([A-Ga-g])[ -](flat|sharp)\b/gi, "$1 $2");
  let parts = joined.split(/[\s,;|+–-]+/).filter((part) => part && !joins.has(part.toLowerCase()));
  if (parts.length === 1 && /^(?:[A-G][#b♯♭]?){3,}$/.test(parts[0])) parts = parts[0].match(/[A-G][#b♯♭]?/g);
  if (parts.length < 2) return null;
  let notes = notesIn(parts, null);
  for (const language of Object.values(reading.languages)) notes ??= notesIn(parts, language);
  if (!notes || (notes.some(({ octave }) => octave) && !notes.every(({ octave }) => octave))) return null;
  const tones = notes.map((note) => note.tone);
  const inOctaves = notes.every(({ octave }) => octave);
  const bass = LOWEST + pitchClass(tones[0]);
  const keys = notes.map(({ tone: one, octave }) =>
    inOctaves ? 12 * (Number(octave) + 1) + keyOf(one) : bass + ((((keyOf(one) - bass) % 12) + 12) % 12),
  );
  return { keys, tones, inOctaves };
}

/** Return the notes, three or more, that stand in a row within a text or alone among idle words; null where there are none. */
export function notesWithin(parts, isIdle) {
  let most = [];
  for (const language of [null, ...Object.values(reading.languages)]) {
    const signs = { ...SIGNS, ...language?.signs };
    const capital = !language && parts.some((part) => /^[A-G]/.test(part) && noteOf(part, language));
    const isNote = (part) => noteOf(part, language) && !(capital && /^[a-g]/.test(part));
    const isKept = parts.map((part, place) => Boolean(isNote(part) || (signs[part.toLowerCase()] && isNote(parts[place - 1] ?? ""))));
    // beside other symbols letters are chords: Am F C G
    const isRow = !parts.some((part) => /^[A-G][#b♯♭]?(?:m|\d)/.test(part) && !noteOf(part, language));
    const rows = [[]];
    parts.forEach((part, place) => {
      if (isKept[place]) rows.at(-1).push(part);
      else if (!joins.has(part.toLowerCase())) rows.push([]);
    });
    const kept = parts.filter((_, place) => isKept[place]);
    const alone = parts.every((part, place) => isKept[place] || isIdle(part));
    for (const row of alone ? [kept] : isRow ? rows : []) if (row.length > Math.max(2, most.length) && typedNotes(row.join(" "))) most = row;
  }
  return most.length ? most.join(" ") : null;
}
