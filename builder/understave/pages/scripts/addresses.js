/* Where the pages lie that explain chords. */

import { partsOf } from "./symbols.js";
import { glossary } from "./tables.js";
import { sameTone, toneName } from "./tones.js";
import { targets } from "./words.js";

const target = Object.fromEntries(targets.map((one) => [one.id, one]));

/** Return the address of a page of the glossary. */
export const addressOf = (page) => page.address ?? `/${page.kind}/${page.id}/`;

/** Return the address of the page that explains a chord best. */
export function pageOf(chord) {
  const { own, base, slash } = partsOf(chord);
  if (!base) return null;
  const entry = glossary.chord[base];
  const slug = glossary.rootSlugs[toneName(chord.root)];
  if (!slug) return addressOf(entry);
  const inversion = sameTone(chord.bass, chord.root) ? 0 : chord.inversion;
  if (own && inversion !== null && inversion < entry.positions) {
    return `/${slug}-${base}${glossary.inversionSuffixes[inversion]}/`;
  }
  return slash && inversion === null ? addressOf(target[slash]) : `/${slug}-${base}/`;
}
