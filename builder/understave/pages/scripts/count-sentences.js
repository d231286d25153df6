/* Counting in sentences: why each beat is counted as it is, where the feel changes, and what is wrong with a rhythm. */

import { phrase, table } from "./counting-table.js";
import { fraction, parseFraction } from "./fractions.js";
import { recipToken } from "./rhythms.js";

/** How many beats a sentence names before it counts the rest. */
const MOST_PLACES_NAMED = 4;

const known = (id) => Object.hasOwn(table.phrases, id);

/** Return the name of notes of a length in whole notes: `many` are eighths or dotted quarter notes, else it is one. */
function lengthWords(length, many) {
  const token = recipToken(length);
  const kind = many ? "value" : "note";
  const id = `${kind}-${parseInt(token, 10)}`;
  if (!known(id)) return phrase(`${kind}-other`, { length });
  const dots = token.split(".").length - 1;
  const dotted = many ? "value-dotted" : `note-dots-${dots}`;
  return dots ? phrase(dotted, { value: phrase(id) }) : phrase(id);
}

const valueWords = (length) => lengthWords(length, true);

/** Return the name of one note of a length: eighth note, dotted quarter note. */
export const noteWords = (length) => lengthWords(length, false);

const numberWords = (number) => (known(`parts-${number}`) ? phrase(`parts-${number}`) : `${number}`);

const listed = (words) =>
  words.length < 2 ? (words[0] ?? "") : phrase("said-list", { words: words.slice(0, -1).join(", "), last: words.at(-1) });

const placeWords = ({ measure, beat }) =>
  measure ? phrase("measure-beat", { measure, beat }) : phrase("pickup-beat", { beat });

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Return groups of values by a key, in the order in which the keys come up. */
function grouped(values, keyOf) {
  const groups = new Map();
  for (const value of values) {
    const key = keyOf(value);
    groups.set(key, [...(groups.get(key) ?? []), value]);
  }
  return [...groups.values()];
}

function places(beats, withMeasures) {
  const names = beats.slice(0, MOST_PLACES_NAMED).map((one) => (withMeasures ? placeWords(one) : `${one.beat}`));
  const more = beats.length - names.length;
  if (more) names.push(phrase("count-more-beats", { count: more }));
  if (withMeasures) return capital(names.join("; "));
  return phrase(beats.length === 1 ? "count-beat" : "count-beats", { beats: listed(names) });
}

function divisionSentences(beats) {
  const many = new Set(beats.map(({ measure }) => measure)).size > 1;
  const needsOf = (beat) => (beat.why === "passage" ? beat.needs : beat.parts);
  const reasons = grouped(beats, (beat) => [beat.why, beat.parts, needsOf(beat), beat.length].join(" "));
  return reasons.map((alike) => {
    const [{ why, parts, length }] = alike;
    const unit = length.by(fraction(parts));
    const needs = needsOf(alike[0]);
    const own = grouped(alike, ({ measure, beat }) => `${measure} ${beat}`).map(([first]) => first);
    return phrase(`count-why-${why}`, {
      where: reasons.length === 1 ? phrase("count-every-beat") : places(own, many),
      parts: numberWords(parts),
      needs: needs === 1 ? phrase("count-one") : numberWords(needs),
      beat: valueWords(length),
      values: valueWords(unit),
      finer: valueWords(unit.by(fraction(2))),
    });
  });
}

function changeSentences(changes) {
  return grouped(changes, ({ even, before, after }) => `${even} ${before} ${after}`).map((alike) => {
    const [{ even, before, after }] = alike;
    const numbers = { before: numberWords(before), after: numberWords(after) };
    return phrase(`count-change-${even}`, { where: places(alike, true), ...numbers });
  });
}

/** Return everything that there is to say about a count: its signs, its reasons, its changes of feel. */
export function countSentences({ line, beats, changes }) {
  const marks = [["(", "brackets-mean"], [table.noWord, "dash-means"]];
  const signs = marks.filter(([mark]) => line.includes(mark)).map(([, id]) => phrase(id));
  return [...signs, ...divisionSentences(beats), ...changeSentences(changes)];
}

/** Return what is wrong with a rhythm, a meter, a beat or a system, in one line. */
export function problemSentence({ problem, details }) {
  const lengths = ["difference", "missing"].filter((name) => Object.hasOwn(details, name));
  const words = Object.fromEntries(lengths.map((name) => [name, noteWords(parseFraction(details[name]))]));
  return phrase(`count-error-${problem}`, { ...details, ...words });
}
