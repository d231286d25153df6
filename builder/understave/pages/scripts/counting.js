/* What is said at every place of a rhythm, and why: the same walk as the builder's `theory/counting.py`, on its rows. */

import { table } from "./counting-table.js";
import { Fraction, NONE, fraction, larger, lcm, smaller } from "./fractions.js";
import { beatLength, recipToken, tupletOf } from "./rhythms.js";

const { rules, beatFacts, passageFacts, mostParts, systems, noWord } = table;

const holds = (when, facts) =>
  when
    .split(" ")
    .filter(Boolean)
    .every((name) => facts.has(name.replace("!", "")) !== name.startsWith("!"));

const factsOf = (told) => new Set(Object.keys(told).filter((name) => told[name]));

const decided = (rule, facts) => rules[rule].find(([when]) => holds(when, facts))[1];

const isPowerOfTwo = (number) => number > 0n && (number & (number - 1n)) === 0n;

/** Return what is walked as a beat in a measure: its beats, or the small notes that number systems count in groups. */
export function spansOf(meter, system, beat = null) {
  const own = beat ?? system.beats?.[`${meter}`] ?? null;
  const lengths = meter.beats(own && beatLength(own, meter));
  const small = fraction(1, meter.unit);
  const asymmetric = own === null && meter.asymmetric;
  const spans = [];
  let at = NONE;
  lengths.forEach((length, index) => {
    const group = asymmetric ? Number(length.by(small)) : 0;
    const number = index + 1;
    if (group && system.numbers) {
      for (let n = 0; n < group; n += 1) {
        const inBeat = small.times(fraction(n));
        spans.push({ number, said: n + 1, inBeat, at: at.plus(inBeat), length: small, dotted: false, group: 0 });
      }
    } else {
      const dotted = length.over % 3n === 0n;
      spans.push({ number, said: number, inBeat: NONE, at, length, dotted, group });
    }
    at = at.plus(length);
  });
  return spans;
}

/** Return the beats of a measure that has music; places are in beats, from the beat's start. */
function beatsOf(measure, system, beat) {
  const begin = measure.at.minus(measure.missing);
  const { events } = measure;
  const beats = [];
  let first = 0;
  for (const span of spansOf(measure.meter, system, beat)) {
    const at = begin.plus(span.at);
    const end = at.plus(span.length);
    if (!at.less(measure.end)) break;
    while (!at.less(events[first].at.plus(events[first].length))) first += 1;
    let last = first;
    while (last < events.length && events[last].at.less(end)) last += 1;
    if (last === first) continue;
    const touching = events.slice(first, last);
    const places = touching.map((event) => event.at.minus(at).by(span.length));
    const needs = needsOf(places, touching, span.dotted);
    beats.push({
      measure: measure.number,
      span,
      at,
      events: touching,
      places,
      starts: larger(events[0].at.minus(at).by(span.length), NONE),
      ends: smaller(measure.end.minus(at).by(span.length), fraction(1)),
      needs,
      facts: kindOf(needs, span),
    });
  }
  return beats;
}

/** Return the number of equal parts of a beat that put each event on one; a triplet's note asks for three. */
function needsOf(places, events, dotted) {
  const needs = places.filter((place) => NONE.less(place)).reduce((all, { under }) => lcm(all, under), 1n);
  const triplet = needs % 3n && !dotted && events.some(({ token }) => tupletOf(token) % 3n === 0n);
  return triplet ? needs * 3n : needs;
}

function kindOf(needs, { dotted, group }) {
  const facts = factsOf({
    whole: needs === 1n,
    thirds: needs % 3n === 0n,
    halves: isPowerOfTwo(needs),
    fine: needs > BigInt(mostParts),
    dotted,
    group: group > 0,
    even_group: isPowerOfTwo(BigInt(group)),
    fills_group: group > 0 && needs % BigInt(group) === 0n,
  });
  for (const [when, fact] of beatFacts) if (holds(when, facts)) facts.add(fact);
  return facts;
}

/** Return in how many parts each beat is counted; 0 where its notes are too fine to be counted out. */
function partsOf(beats) {
  const amounts = beats.map(({ needs }) => (needs > BigInt(mostParts) ? 0 : Number(needs)));
  const finest = Math.max(1, ...amounts.filter((_, index) => beats[index].facts.has("sets_finest")));
  const passage = passageFacts.filter(([when]) => beats.some(({ facts }) => holds(when, facts)));
  return beats.map(({ facts, span }, index) => {
    const given = decided("parts", new Set([...facts, ...passage.map(([, fact]) => fact)]));
    const known = { none: 0, needs: amounts[index], group: span.group, finest, three: 3 };
    return Math.max(...given.split(" ").map((name) => known[name]));
  });
}

function countedBeat({ measure, span, at, events, needs, facts }, parts) {
  const shortest = events.map(({ length }) => length).reduce(smaller);
  const told = factsOf({
    parts_none: parts === 0,
    parts_one: parts === 1,
    parts_three: parts === 3,
    parts_needed: BigInt(parts) === needs,
    parts_of_group: parts === span.group,
    wide: span.length.less(shortest.times(fraction(parts))),
  });
  return {
    measure,
    beat: span.number,
    at,
    length: span.length,
    needs: Number(needs),
    parts: parts || Number(needs),
    feel: Number(decided("feel", facts)),
    why: decided("why", new Set([...facts, ...told])),
  };
}

function changesOf(beats) {
  const divided = beats.filter(({ feel }) => feel);
  return divided.slice(1).flatMap((later, index) => {
    const earlier = divided[index];
    if (earlier.feel === later.feel) return [];
    const part = ({ length, feel }) => length.by(fraction(feel));
    const told = factsOf({ same_beat: earlier.length.is(later.length), same_part: part(earlier).is(part(later)) });
    const even = decided("even", told);
    return [{ measure: later.measure, beat: later.beat, before: earlier.feel, after: later.feel, even }];
  });
}

const note = (says, sounds, { rests }) =>
  decided("place_note", factsOf({ no_word: says === null, starts: sounds, rests }));

/** Return the places of a beat, from where the music begins to where it ends. */
function places(beat, parts, words) {
  const { span } = beat;
  const count = fraction(parts);
  const length = span.length.by(count);
  const beginning = new Map(beat.places.map((place, index) => [`${place.times(count).floor()}`, beat.events[index]]));
  const found = [];
  let [event] = beat.events;
  for (let part = beat.starts.times(count).ceil(); part < beat.ends.times(count).ceil(); part += 1n) {
    const from = length.times(new Fraction(part));
    const here = beginning.get(`${part}`);
    event = here ?? event;
    const word = words[new Fraction(part, count.over)] ?? null;
    const says = word === "n" ? `${span.said}` : word;
    const sounds = Boolean(here?.starts);
    found.push({
      measure: beat.measure,
      beat: span.number,
      in_beat: span.inBeat.plus(from),
      at: here ? here.at : beat.at.plus(from),
      length,
      says,
      sounds,
      note: note(says, sounds, event),
    });
  }
  return found;
}

/** Return a place for each note of a beat that is too fine to be counted out; only the beat itself has a word. */
function notePlaces({ measure, span, at, events, places: own, ends }, word) {
  const end = at.plus(span.length.times(ends));
  return events.map((event, index) => {
    const begins = !own[index].less(NONE);
    const from = larger(event.at, at);
    const says = NONE.less(own[index]) ? null : word === "n" ? `${span.said}` : word;
    const sounds = begins && event.starts;
    return {
      measure,
      beat: span.number,
      in_beat: span.inBeat.plus(from).minus(at),
      at: from,
      length: smaller(event.at.plus(event.length), end).minus(from),
      says,
      sounds,
      note: note(says, sounds, event),
    };
  });
}

function byPosition(beats, parts, { words, rows }) {
  const [beatsOwn] = words;
  return beats.flatMap((beat, index) => {
    const count = parts[index];
    return count ? places(beat, count, words[rows[count - 1]]) : notePlaces(beat, beatsOwn[NONE]);
  });
}

/** Return each note, rest and tie; rests are silent, and so is what a tie adds to a note already said. */
function byValue(measures, beats, { values }) {
  const sounding = soundingTokens(measures.flatMap(({ events }) => events));
  const longest = Math.max(...Object.keys(values).map((tokens) => tokens.split(" ").length));
  const counts = [];
  let now = 0;
  const beatAt = (at) => {
    while (now + 1 < beats.length && !at.less(beats[now + 1].at)) now += 1;
    return beats[now];
  };
  for (const { events } of measures) {
    for (let index = 0; index < events.length; ) {
      const beat = beatAt(events[index].at);
      const figure = figureWords(events.slice(index, index + longest), beat, values);
      for (const word of figure ?? [singleWord(events[index], values, sounding)]) {
        counts.push(valueCount(beatAt(events[index].at), events[index], word));
        index += 1;
      }
    }
  }
  return counts;
}

const writtenToken = ({ token, rests }) => token + (rests ? "r" : "");

/** Return, for the place of every note, the token of all that sounds of it, ties included. */
function soundingTokens(events) {
  const tokens = new Map();
  let [start, length] = [NONE, NONE];
  for (const event of events) {
    if (!event.held) [start, length] = [event.at, NONE];
    length = length.plus(event.length);
    tokens.set(`${start}`, length.is(event.length) ? event.token : recipToken(length));
  }
  return tokens;
}

/** Return the words of the longest figure that begins here, on a beat or on a half or third of one; null for none. */
function figureWords(events, { at, span }, values) {
  const offset = events[0].at.minus(at);
  if (offset.by(span.length.by(fraction(span.dotted ? 3 : 2))).under !== 1n) return null;
  const end = at.plus(span.length);
  for (let size = events.length; size > 1; size -= 1) {
    const figure = events.slice(0, size);
    const words = values[figure.map(writtenToken).join(" ")];
    const last = figure.at(-1);
    const inside = offset.is(NONE) || !end.less(last.at.plus(last.length));
    if (words && inside && !figure.some((event) => event.held || event.holds)) return words;
  }
  return null;
}

function singleWord(event, values, sounding) {
  if (event.held) return null;
  return values[sounding.get(`${event.at}`) + (event.rests ? "r" : "")]?.[0] ?? null;
}

function valueCount(beat, event, says) {
  const { at, length, rests, held, starts } = event;
  const told = factsOf({ rests, held, no_word: says === null });
  return {
    measure: beat.measure,
    beat: beat.span.number,
    in_beat: at.minus(beat.at),
    at,
    length,
    says,
    sounds: starts,
    note: decided("value_note", told),
  };
}

/** Return the word in the line: in brackets where no new note starts, a dash where the system has none. */
export function wordOf({ says, sounds }) {
  const said = says ?? noWord;
  return sounds ? said : `(${said})`;
}

/**
 * Return a rhythm counted: its places, its beats with their reasons, where the feel changes, and the line that is said.
 *
 * Throws RhythmError for a beat that doesn't exist or doesn't fit the meter.
 */
export function count(measures, systemId, beat = null) {
  const system = systems[systemId];
  const walked = measures.flatMap((measure) => beatsOf(measure, system, beat));
  const parts = partsOf(walked);
  const counts = system.words ? byPosition(walked, parts, system) : byValue(measures, walked, system);
  const beats = walked.map((one, index) => countedBeat(one, parts[index]));
  return { counts, beats, changes: changesOf(beats), line: counts.map(wordOf).join(" ") };
}
