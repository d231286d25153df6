/* Finding a rhythm or a counting system by what is said: 1 e & a, one and a two and a, ta ka di mi. */

import { asking, counting } from "./tables.js";

const words = new Set(counting.words);

/** Return what is said as beats, numbers written n; null for a text that is no counting. */
export function spokenBeats(text) {
  const parts = text
    .toLowerCase()
    .replace(/([0-9&+])/g, " $1 ")
    .split(/[\s,.()|…-]+/)
    .filter(Boolean);
  const said = parts.map((part) => asking.numbers[part] ?? (words.has(part) ? part : (asking.betweenNumbers[part] ?? part)));
  const isNumber = (part) => /^[1-9]$/.test(part);
  if (said.length < 2 || !said.every((part) => isNumber(part) || words.has(part))) return null;
  const numbers = said.filter(isNumber).map(Number);
  const counted = numbers.every((number, index) => {
    const before = numbers[index - 1];
    return !index || number === before + 1 || (number === 1 && before > 1);
  });
  if (!counted || (!numbers.length && said.every((part) => part.length < 2))) return null;
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
    const whole = beats.length === 1 && (!numbered || longest === beats[0].split(" ").length);
      found.push({ id, score: (whole ? 0.99 : 0.3) - found.length / 1000 });
    } else if (beats.length === 1 && beats[0].split(" ").every((word) => own.some((beat) => beat.split(" ").includes(word)))) {
      found.push({ id, score: 0.29 - found.length / 1000 });
    }
  }
  for (const [id, lines] of Object.entries(counting.figures)) {
    const score = Math.max(0, ...lines.map((line) => likeness(beats, asked, line)));
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
