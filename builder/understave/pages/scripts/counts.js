/* Finding a rhythm or a counting system by what is said: 1 e & a, one and a two and a, ta ka di mi. */

import { asking, counting } from "./tables.js";

const words = new Set(Object.values(counting.systems).flat().flatMap((beat) => beat.split(" ")));
words.delete("n");
const rows = Object.values(asking.counted).map((row) => row.split(" "));
const numbers = Object.fromEntries(
  rows.flatMap((row) => row.slice(0, -1).flatMap((words, index) => words.split("/").map((word) => [word, String(index + 1)]))),
);
const between = { ...asking.betweenNumbers };
for (const row of rows) if (row.at(-1).length > 1) between[row.at(-1)] = "&";

/** Words that few systems have: whoever says them means those. */
const systemsWith = (word) => Object.values(counting.systems).filter((own) => own.some((beat) => beat.split(" ").includes(word))).length;
const rare = new Set([...words].filter((word) => systemsWith(word) <= (word.length > 1 ? 3 : 2)));

/** Return what is said as beats, numbers written n, first in the words of a language's own, then in ours; [] for no counting. */
export function spokenBeats(text) {
  const parts = text
    .toLowerCase()
    .replace(/([0-9&+])/g, " $1 ")
    .split(/[\s,.()|…-]+/)
    .filter(Boolean);
  // whoever says numbers in Italian means "and" by e
  const said = rows.filter((row) => parts.some((part) => row.slice(0, -1).join("/").split("/").includes(part))).map((row) => row.at(-1));
  const isHalf = (part) => said.includes(part) || between[part] === "&";
  const ours = (part) => numbers[part] ?? (isHalf(part) ? "&" : words.has(part) ? part : (between[part] ?? part));
  const own = (part) => (words.has(part) && !(part === "e" && said.includes(part)) ? part : ours(part));
  const found = [own, ours].map((meant) => beatsOf(parts.map(meant))).filter(Boolean);
  return found.filter((beats, index) => !index || beats.join("|") !== found[0].join("|"));
}

function beatsOf(said) {
  const isNumber = (part) => /^[1-9]$/.test(part);
  if (said.length < 2 || !said.every((part) => isNumber(part) || words.has(part))) return null;
  const counts = said.filter(isNumber).map(Number);
  const counted = counts.every((number, index) => {
    const before = counts[index - 1];
    return !index || number === before + 1 || (number === 1 && before > 1);
  });
  if (!counted || (!counts.length && said.every((part) => part.length < 2))) return null;
  const beats = [];
  for (const part of said) {
    if (isNumber(part) || !beats.length) beats.push([]);
    beats.at(-1).push(isNumber(part) ? "n" : part);
  }
  return beats.map((beat) => beat.join(" "));
}

/** Return the ids of systems and figures that a count fits, with a score from 0 to 1. */
export function fitting(beats) {
  const asked = new Set(beats);
  const found = [];
  for (const [id, own] of Object.entries(counting.systems)) {
    if (beats.every((beat) => own.includes(beat) || beat === "n")) {
      const longest = Math.max(...own.map((beat) => beat.split(" ").length));
      const numbered = own.some((beat) => beat.startsWith("n"));
      const alone = beats.some((beat) => beat.split(" ").some((word) => rare.has(word)));
      const whole = beats.length === 1 && (!numbered || longest === beats[0].split(" ").length);
      found.push({ id, score: (alone ? 1 : whole ? 0.99 : 0.3) - found.length / 1000 });
    } else if (beats.length === 1 && beats[0].split(" ").every((word) => own.some((beat) => beat.split(" ").includes(word)))) {
      found.push({ id, score: 0.29 - found.length / 1000 });
    }
  }
  for (const [id, lines] of Object.entries(counting.figures)) {
    const score = Math.max(0, ...lines.map((line) => likeness(beats, asked, line.split("|"))));
    if (score > 0.3) found.push({ id, score });
  }
  return found.sort((a, b) => b.score - a.score);
}

function likeness(beats, asked, line) {
  if (beats.join("|") === line.join("|")) return 0.98;
  const own = new Set(line);
  const both = [...asked].filter((beat) => own.has(beat)).length;
  if (both < asked.size) return 0;
  const begins = beats.every((beat, index) => line[index] === beat);
  const length = beats.length > line.length ? -0.3 : 0.1 * (beats.length / line.length);
  return 0.55 * (both / own.size) + (begins ? 0.25 : 0) + length;
}
