/* A written symbol as the builder's `spell` gives it. */

import { nearestReadable, partsOf, readings, symbolOf } from "./symbols.js";
import { toneName } from "./tones.js";

/** Return a reading as the builder's `spell` gives it, reasons as ids. */
export function readingValue({ chord, why }) {
  if (!chord) {
    return {
      symbol: "N.C.", chord: null, parts: [], root: null, bass: null, bass_respelled: null,
      degrees: [], tones: [], usually_left_out: [], inversion: null, why,
    };
  }
  const { own, ids } = partsOf(chord);
  return {
    symbol: symbolOf(chord),
    chord: own,
    parts: ids,
    root: toneName(chord.root),
    bass: toneName(chord.bass),
    bass_respelled: chord.respelled ? toneName(chord.respelled) : null,
    degrees: chord.degrees,
    tones: chord.tones.map(toneName),
    usually_left_out: chord.leftOut,
    inversion: chord.inversion,
    why,
  };
}

/** Return one item of the builder's `spell`: readings, or an error with its offset and the nearest readable symbol. */
export function readSymbol(text, language = "") {
  const { readings: found, error } = readings(text, language);
  const nearest = error && nearestReadable(text, error);
  return { symbol: text, readings: found.map(readingValue), error: error && { ...error, nearest } };
}
