/* A counted rhythm in sound: its notes, a click on each beat, and the words lit in time. */

import { beatLength } from "./rhythms.js";

const KEY = 67;
const CLICK = 0;

/** Return the notes of measures, a tie being one note, as fractions of a whole note. */
function notesOf(measures) {
  const notes = [];
  for (const event of measures.flatMap(({ events }) => events)) {
    if (event.held && notes.length) notes.at(-1).length = notes.at(-1).length.plus(event.length);
    else if (!event.rests) notes.push({ at: event.at, length: event.length });
  }
  return notes;
}

/**
 * Return what plays a count, and the length of a round in seconds.
 *
 * `tempo` counts beats a minute; `beat` is the beat's name, if another than the usual one is chosen. A place of the
 * count is its number, which is lit.
 */
export function countEvents({ measures, counted }, { tempo, beat, clicks }) {
  const { meter } = measures[0];
  const unit = Number(meter.beats(beat ? beatLength(beat, meter) : null)[0]);
  const seconds = (length) => (Number(length) / unit) * (60 / tempo);
  const ofBeats = counted.counts.filter((one, place) => {
    const before = counted.counts[place - 1];
    return !before || before.beat !== one.beat || before.measure !== one.measure;
  });
  const events = [
    ...notesOf(measures).map(({ at, length }) => ({ key: KEY, at: seconds(at), length: seconds(length) })),
    ...counted.counts.map(({ at, length }, place) => ({ at: seconds(at), length: seconds(length), light: place })),
    ...(clicks ? ofBeats.map(({ at }) => ({ key: null, at: seconds(at), length: CLICK })) : []),
  ];
  return { events, round: seconds(measures.at(-1).end) };
}
