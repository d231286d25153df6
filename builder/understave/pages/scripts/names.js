/* Naming keys: every set of keys over every bass is in a table; nothing is weighed here. */

import { chordOf } from "./symbols.js";
import { naming } from "./tables.js";
import { parseTone, pitchClass, sameTone, toneName } from "./tones.js";

const FIRST = naming.first.codePointAt(0);

const tonesOf = (names) => names.split(" ").map(parseTone);

const types = naming.types.map((degrees) => degrees.split(" "));
const roots = naming.roots.map(tonesOf);
const beside = Object.fromEntries(Object.entries(naming.beside).map(([root, names]) => [root, tonesOf(names)]));
const alone = tonesOf(naming.alone);

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
  const written = [...naming.names[number]].map((character) => character.codePointAt(0) - FIRST);
  const found = [];
  for (let place = 0; place < written.length; place += 3) {
    const [above, type, why] = written.slice(place, place + 3);
    found.push(named(sorted, roots[type][(sorted[0] + above) % 12], types[type], naming.whys[why]));
  }
  return found;
}

function named(keys, root, degrees, why) {
  const { tones } = chordOf(root, degrees);
  const toneOf = (key) => tones.find((one) => pitchClass(one) === key % 12) ?? beside[toneName(root)][key % 12];
  const spelled = keys.map(toneOf);
  const sounding = new Set(keys.map((key) => key % 12));
  return {
    chord: chordOf(root, degrees, sameTone(spelled[0], root) ? null : spelled[0]),
    why,
    missing: degrees.filter((_, place) => !sounding.has(pitchClass(tones[place]))),
    tones: spelled,
  };
}
