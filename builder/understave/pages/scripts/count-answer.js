/* What `understave count` answers, in the browser: a rhythm, its count and the sentences, or what is wrong. */

import { countSentences } from "./count-sentences.js";
import { table } from "./counting-table.js";
import { count } from "./counting.js";
import { RhythmError, parseMeter, readRhythm } from "./rhythms.js";

/**
 * Return the measures of a rhythm, its count, the sentences about it, and what is wrong, each null where there is none.
 *
 * `rhythm` and `meter` are texts, `system` is an id, `beat` a name or empty for the usual one.
 */
export function answer({ rhythm, meter, system, beat }) {
  const found = { measures: null, counted: null, sentences: null, error: null };
  try {
    if (!Object.hasOwn(table.systems, system)) throw new RhythmError("no-system", { system });
    const { measures, error } = readRhythm(rhythm, parseMeter(meter));
    found.measures = measures;
    if (error) throw error;
    found.counted = count(measures, system, beat || null);
    found.sentences = countSentences(found.counted);
  } catch (error) {
    if (!(error instanceof RhythmError)) throw error;
    found.error = error;
  }
  return found;
}
