/* Naming keys: every set of keys over every bass is in a table; nothing is weighed here. */

import { chordOf } from "./symbols.js";
import { naming } from "./tables.js";
import { degreeOf, parseTone, pitchClass, sameTone, toneName } from "./tones.js";

const FIRST = naming.first.codePointAt(0);

const tonesOf = (names) => names.split(" ").map(parseTone);

const types = naming.types.map((degrees) => degrees.split(" "));
const roots = naming.roots.map(tonesOf);
const beside = Object.fromEntries(Object.entries(naming.beside).map(([root, names]) => [root, tonesOf(names)]));
const whys = new Map(Object.entries(naming.whys).flatMap(([why, places]) => places.split(",").map((place) => [place, why])));
const alone = tonesOf(naming.alone);

/** Return the least number that a set of keys makes over one of its own, and that key. */
function turned(number) {
  const bits = (number << 1) | 1;
  let least = [Infinity, 0];
  for (let key = 0; key < 12; key += 1) {
    const turn = ((bits >> key) | (bits << (12 - key))) & 0xfff;
    if ((bits >> key) & 1 && turn < least[0]) least = [turn, key];
  }
  return least;
}

const texts = naming.names.split(",");
const sets = Array.from(texts, (_, place) => ({ number: place + 1, turn: turned(place + 1) }));
sets.sort(({ turn: a }, { turn: b }) => a[0] - b[0] || a[1] - b[1]);
const written = new Map(sets.map(({ number, turn }, place) => [number, { text: texts[place], from: turn[1] }]));

/**
 * Return the names of keys (MIDI numbers, the lowest is the bass), likeliest first.
 *
 * Each has a chord, the reason `why`, the degrees that are missing and the tone of each key, low to high.
 */
export function nameKeys(keys) {
  const sorted = [...keys].sort((a, b) => a - b);
  const number = sorted.reduce((bits, key) => bits | (1 << (key - sorted[0]) % 12), 0) >> 1;
  if (!number) {
    const root = alone[sorted[0] % 12];
    return [{ chord: chordOf(root, ["1"]), why: "single-note", missing: ["3", "5"], tones: sorted.map(() => root) }];
  }
  const { text, from } = written.get(number);
  const codes = [...text].map((character) => character.codePointAt(0) - FIRST);
  const found = [];
  for (let place = 0; place < codes.length; place += 2) {
    found.push(named(sorted, roots[codes[place + 1]][(sorted[0] + codes[place] + from) % 12], codes[place + 1]));
  }
  return found;
}

function named(keys, root, type) {
  const degrees = types[type];
  const { tones } = chordOf(root, degrees);
  const toneOf = (key) => tones.find((one) => pitchClass(one) === key % 12) ?? beside[toneName(root)][key % 12];
  const spelled = keys.map(toneOf);
  const sounding = new Set(keys.map((key) => key % 12));
  const chord = chordOf(root, degrees, sameTone(spelled[0], root) ? null : spelled[0]);
  const missing = degrees.filter((_, place) => !sounding.has(pitchClass(tones[place])));
  const own = tones.some((one) => sameTone(one, chord.bass));
  const lacking = missing.map((degree) => (chord.leftOut.includes(degree) ? `(${degree})` : degree));
  const place = `${lacking.join(" ")}/${own ? degreeOf(root, chord.bass) : ""}`;
  return { chord, why: whys.get(`${type}:${place}`) ?? whys.get(place), missing, tones: spelled };
}
