/* Meters and rhythms in exact fractions of a whole note: the same walk as the builder's `theory/rhythms.py`. */

import { table } from "./counting-table.js";
import { Fraction, NONE, fraction, larger, parseFraction } from "./fractions.js";

/** A rhythm or meter that can't be: `problem` is an id, `details` are its values by name. */
export class RhythmError {
  constructor(problem, details) {
    this.problem = problem;
    this.details = details;
  }
}

const TOKEN = new RegExp(`^(?:${table.tokenForm})$`);
const METER = new RegExp(`^(?:${table.meterForm})$`);
const BEATS = Object.fromEntries(Object.entries(table.beats).map(([name, length]) => [name, parseFraction(length)]));
const FINEST = BigInt(table.finest);

/* What the builder's language takes for blanks. */
const BLANKS = /(?:[^\S\ufeff]|[\x1c-\x1f\x85])+/;

/** Return the tokens of a text. */
export const tokensOf = (text) => text.split(BLANKS).filter(Boolean);

export class Meter {
  constructor(groups, unit) {
    this.groups = groups;
    this.unit = unit;
    this.length = fraction(
      groups.reduce((sum, group) => sum + group),
      unit,
    );
  }

  /** Whether the beats are groups of unequal length. */
  get asymmetric() {
    const [first, ...others] = this.beats();
    return others.some((beat) => !beat.is(first));
  }

  /** The lengths of the beats of one measure; `beat` picks another than the usual. Throws where it doesn't fit. */
  beats(beat = null) {
    if (beat) {
      const count = this.length.by(beat);
      if (count.under !== 1n) throw new RhythmError("beat-does-not-fit", { beat: `${beat}`, meter: `${this}` });
      return Array(Number(count.over)).fill(beat);
    }
    const [count, ...more] = this.groups;
    const sizes = more.length ? this.groups : table.beatSizes[this.unit][count - 1];
    return (sizes.length ? sizes : Array(count / sizes).fill(sizes)).map((size) => fraction(size, this.unit));
  }

  toString() {
    return `${this.groups.join("+")}/${this.unit}`;
  }
}

/** Read 4/4 or 2+3/8. Throws RhythmError otherwise. */
export function parseMeter(text) {
  const match = METER.exec(text);
  const groups = match?.[1].split("+").map(Number);
  if (!groups?.every((group) => group >= 1 && group <= table.mostInGroup)) {
    throw new RhythmError("no-meter", { meter: text });
  }
  return new Meter(groups, Number(match[2]));
}

/** Return the length of a beat by name. Throws RhythmError for an unknown one. */
export function beatLength(name, meter) {
  if (name === "measure") return meter.length;
  if (!Object.hasOwn(BEATS, name)) throw new RhythmError("no-beat", { beat: name });
  return BEATS[name];
}

/** Return the names of the beats that a measure of this meter can be divided in. */
export function fittingBeats(meter) {
  return [...Object.keys(BEATS), "measure"].filter((name) => meter.length.by(beatLength(name, meter)).under === 1n);
}

const oddPart = (number) => {
  let odd = number;
  while (odd && odd % 2n === 0n) odd /= 2n;
  return odd;
};

const numberOf = (token) => BigInt(token.replaceAll(".", ""));

/** Return the number of the tuplet that a bare token belongs to: 3 for 12, a triplet eighth; 1 for a plain note. */
export const tupletOf = (token) => oddPart(numberOf(token)) || 1n;

/** Return the length of a bare token such as 8. in whole notes; 0 is a breve, 00 a long. */
export function recipLength(token) {
  const plain = token.replaceAll(".", "");
  const length = Number(plain) ? fraction(1, plain) : fraction(2 ** plain.length);
  const dots = token.length - plain.length;
  return length.times(fraction(2 ** (dots + 1) - 1, 2 ** dots));
}

/** Return the token of a length, with up to two dots; empty where no single note has it. */
export function recipToken(length) {
  for (let dots = 0; dots < 3; dots += 1) {
    const plain = length.times(fraction(2 ** dots, 2 ** (dots + 1) - 1));
    if (plain.over === 1n) return `${plain.under}${".".repeat(dots)}`;
  }
  return length.is(fraction(2)) ? "0" : "";
}

/** Return a token's parts: its bare form, whether it rests, is held by a tie, and holds the next. Null if it is none. */
export function tokenParts(token) {
  const match = TOKEN.exec(token)?.groups;
  if (!match) return null;
  const marks = match.start + match.end;
  return {
    bare: match.number + match.dots,
    rests: Boolean(match.rest),
    held: /[\]_]/.test(marks),
    holds: /[[_]/.test(marks),
    marked: Boolean(marks),
  };
}

/** Return the token of its parts: [8, 4r. */
export function tokenOf({ bare, rests, held, holds }) {
  if (rests) return `${bare}r`;
  if (holds) return (held ? "_" : "[") + bare;
  return held ? `${bare}]` : bare;
}

const partOf = (meter) => ({ meter, events: [], words: [], length: NONE, barred: false });

function eventOf(token, word, at, tied) {
  const parts = tokenParts(token);
  if (!parts) throw new RhythmError("unknown-token", { token, place: word });
  const { bare, rests, held, holds, marked } = parts;
  if (held !== tied || (rests && marked)) {
    throw new RhythmError(held ? "tie-to-nothing" : "tie-open", { token, place: word });
  }
  return { at, length: recipLength(bare), token: bare, rests, held, holds, starts: !rests && !held };
}

/** Return the tokens between bar lines and changes of meter, whether there are bar lines, and what is wrong so far. */
function partsOf(text, meter) {
  const parts = [partOf(meter)];
  let [at, tied, bars] = [NONE, null, false];
  tokensOf(text).forEach((token, index) => {
    const part = parts.at(-1);
    const word = index + 1;
    if (token === "|") {
      bars ||= part.events.length > 0;
      part.barred = part.events.length > 0 || parts.length > 1;
      if (part.barred) parts.push(partOf(part.meter));
      return;
    }
    if (token.startsWith("*M")) {
      const change = parseMeter(token.slice(2));
      if (part.events.length) parts.push(partOf(change));
      else part.meter = change;
      return;
    }
    const event = eventOf(token, word, at, tied !== null);
    tied = event.holds ? { token, place: word } : null;
    at = at.plus(event.length);
    part.length = part.length.plus(event.length);
    if (part.length.under > FINEST) throw new RhythmError("too-fine", { token, place: word });
    part.events.push(event);
    part.words.push(word);
  });
  if (!parts.at(-1).events.length) parts.pop();
  if (!parts.some((part) => part.events.length)) throw new RhythmError("no-notes", { text });
  return { parts: bars ? parts : parts.flatMap(filled), error: tied ? new RhythmError("tie-open", tied) : null };
}

function filled(part) {
  const measures = [];
  part.events.forEach((event, index) => {
    if (!measures.length || !measures.at(-1).length.less(part.meter.length)) measures.push(partOf(part.meter));
    const measure = measures.at(-1);
    measure.events.push(event);
    measure.words.push(part.words[index]);
    measure.length = measure.length.plus(event.length);
  });
  return measures;
}

/** Throw where a note stands within a tuplet that it doesn't belong to, or the measure ends in one. */
function checkTuplets(part, measure, front, short) {
  let place = front;
  let tuplet = oddPart(front.under);
  let whole = new Fraction(tuplet, front.under);
  part.events.forEach((event, index) => {
    const own = tupletOf(event.token);
    if (own % oddPart(place.under)) {
      const missing = whole.minus(place.minus(whole.times(new Fraction(place.by(whole).floor()))));
      throw tupletOpen(measure, missing, tuplet, event.token, part.words[index]);
    }
    if (own > 1n) {
      tuplet = own;
      whole = new Fraction(own, numberOf(event.token));
    }
    place = place.plus(event.length);
  });
  if (NONE.less(short) && oddPart(place.under) > 1n) {
    throw tupletOpen(measure, short, tuplet, part.events.at(-1).token, part.words.at(-1));
  }
}

const tupletOpen = (measure, missing, tuplet, token, place) =>
  new RhythmError("tuplet-open", { measure, missing: `${missing}`, tuplet: `${tuplet}`, token, place });

/**
 * Return the measures of a rhythm, and the first thing that is wrong with it, or null.
 *
 * Measures that don't fill their meter come back too, so that what stands so far can be shown. Throws RhythmError where
 * a token can't be read at all.
 */
export function readRhythm(text, meter) {
  const { parts, error: tie } = partsOf(text, meter);
  const [first] = parts;
  const missing = larger(first.meter.length.minus(first.length), NONE);
  const isPickup = NONE.less(missing) && first.barred && parts.length > 1;
  let at = NONE;
  let error = tie;
  const measures = parts.map((part, index) => {
    const number = index + (isPickup ? 0 : 1);
    const front = isPickup && index === 0 ? missing : NONE;
    const short = part.meter.length.minus(part.length).minus(front);
    const lastOfPickup = isPickup && index === parts.length - 1 && short.is(first.length);
    error ??= problemOf(part, number, front, lastOfPickup ? NONE : short);
    const measure = { number, at, meter: part.meter, events: part.events, missing: front, end: at.plus(part.length) };
    at = measure.end;
    return measure;
  });
  return { measures, error };
}

function problemOf(part, measure, front, short) {
  try {
    checkTuplets(part, measure, front, short);
  } catch (error) {
    if (error instanceof RhythmError) return error;
    throw error;
  }
  if (short.is(NONE)) return null;
  const isShort = NONE.less(short);
  const difference = `${isShort ? short : NONE.minus(short)}`;
  return new RhythmError(isShort ? "measure-short" : "measure-long", { measure, difference, meter: `${part.meter}` });
}
