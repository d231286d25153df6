/* Naming keys: every chord type is held against them on every root, at the costs of the builder's table. */

import { chordOf } from "./symbols.js";
import { naming } from "./tables.js";
import { degreeOf, intervalOf, parseTone, pitchClass, sameTone, toneName } from "./tones.js";

const tonesOf = (names) => names.split(" ").map(parseTone);
const numbersOf = (text) => text.split(" ").map(Number);
const bit = (key) => 1 << ((key + 12) % 12);
const count = (bits) => bits.toString(2).replaceAll("0", "").length;

const { points } = naming;
const roots = naming.roots.map(tonesOf);
const beside = Object.fromEntries(Object.entries(naming.beside).map(([root, names]) => [root, tonesOf(names)]));
const whys = new Map(Object.entries(naming.whys).flatMap(([why, places]) => places.split(",").map((place) => [place, why])));
const alone = tonesOf(naming.alone);
const types = naming.types.map((text, type) => {
  const degrees = text.split(" ");
  const keys = degrees.map((degree) => intervalOf(degree)[1] % 12);
  const [lacking, basses] = [naming.lacking[type], naming.basses[type]].map(numbersOf);
  return { type, degrees, keys, bits: keys.reduce((bits, key) => bits | bit(key), 0), lacking, basses };
});

/** Return what a type on a root costs for a set of semitones over a bass; null where too little of it sounds. */
function match({ type, degrees, keys, bits, lacking, basses }, root, sounding) {
  const above = keys.map((key) => bit(key + root));
  const heard = above.filter((one) => sounding & one).length;
  const foreign = !(bits & bit(-root));
  if (heard < degrees.length / 2 || (foreign && heard < 3)) return null;
  const missing = above.reduce((sum, one, place) => sum + (sounding & one ? 0 : lacking[place]), 0);
  const unexplained = count(sounding) - heard - (foreign ? 1 : 0);
  // a bass beside the chord makes a slash chord only under a chord that is whole without it
  const bass = foreign ? points.foreignBass + (heard < degrees.length ? degrees.length : 0) : basses[above.indexOf(1)];
  return { type, root, unexplained, cost: naming.costs[type] + missing + unexplained * points.unexplained + bass };
}

/** Return the likeliest matches of a set of semitones over its bass, likeliest first. */
function matches(sounding) {
  const found = [];
  for (let root = 0; root < 12; root += 1) found.push(...types.map((type) => match(type, root, sounding)).filter(Boolean));
  found.sort((a, b) => a.cost - b.cost || a.root - b.root || a.type - b.type);
  const [best] = found;
  return found
    .filter(({ cost, unexplained }) => cost <= best.cost + points.farBehind && (best.unexplained || !unexplained))
    .slice(0, points.most);
}

/**
 * Return the names of keys (MIDI numbers, the lowest is the bass), likeliest first.
 *
 * Each has a chord, the reason `why`, the degrees that are missing and the tone of each key, low to high.
 */
export function nameKeys(keys) {
  const sorted = [...keys].sort((a, b) => a - b);
  const sounding = sorted.reduce((bits, key) => bits | bit(key - sorted[0]), 0);
  if (sounding === 1) {
    const root = alone[sorted[0] % 12];
    return [{ chord: chordOf(root, ["1"]), why: "single-note", missing: ["3", "5"], tones: sorted.map(() => root) }];
  }
  return matches(sounding).map(({ type, root }) => nameOn(sorted, roots[type][(sorted[0] + root) % 12], type));
}

function nameOn(keys, root, type) {
  const { degrees } = types[type];
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
