/* What both hands hold, in sentences: its name, each hand's notes by degree, other names, what one hand alone suggests. */

import { nameKeys } from "./names.js";
import { symbolOf } from "./symbols.js";
import { typesetting } from "./tables.js";
import { degreeOf, numberOf, sameTone, sizeOf } from "./tones.js";
import { chordName, degreeLabel, listed, symbolParts, symbolText, toneText } from "./typeset.js";
import { pageOf } from "./words.js";

const { accidentals } = typesetting;

const INVERSIONS = [null, "first-inversion", "second-inversion", "third-inversion"];

/** The reasons that tell what is missing by themselves. */
const TELLING = ["missing-fifth", "missing-third", "missing-root", "single-note"];

const filled = (text, values) => text.replace(/\{([a-z_]+)\}/g, (_, name) => values[name]);

const isTone = ({ why }) => why === "single-note";

/** Return a name in print: a tone as the reader calls it, a chord by its symbol. */
const printed = (naming) => (isTone(naming) ? toneText(naming.chord.root) : symbolText(symbolOf(naming.chord)));

/** Return the degree that a tone has in a chord, or above its root if it is outside. */
function degreeIn(chord, tone) {
  const place = chord.tones.findIndex((one) => sameTone(one, tone));
  return place < 0 ? degreeOf(chord.root, tone) : chord.degrees[place];
}

/** Return a degree's label, of those that no chord has too: ♯root. */
const labelOf = (degree) => degreeLabel(degree) ?? accidentals[sizeOf(degree)] + degreeLabel(numberOf(degree));

function reasonOf(naming, phrases) {
  const { chord, why, missing } = naming;
  return filled(phrases[`naming-${why}`], {
    symbol: symbolText(symbolOf(chord)),
    name: chordName(chord),
    root: toneText(chord.root),
    bass: toneText(chord.bass),
    bass_degree: labelOf(degreeOf(chord.root, chord.bass)),
    missing: listed(missing.map(degreeLabel)),
    tones: listed(chord.tones.map(toneText)),
  });
}

function element(name, className, ...content) {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.append(...content);
  return made;
}

const paragraph = (text) => element("p", "", text);

function symbolElement(symbol) {
  const [root, raised, bass] = symbolParts(symbol);
  return element("span", "sym", root, ...(raised ? [element("sup", "", raised)] : []), bass);
}

function linked(naming, base) {
  if (isTone(naming)) return element("span", "sym", printed(naming));
  const page = pageOf(naming.chord);
  const symbol = symbolElement(symbolOf(naming.chord));
  if (!page) return symbol;
  const link = element("a", "", symbol);
  link.href = base + page;
  return link;
}

/** Return the elements that tell what the keys of both hands are called; a hint where none is held. */
export function sentencesOf(left, right, phrases, base) {
  const keys = [...left, ...right].sort((a, b) => a - b);
  if (!keys.length) return [paragraph(phrases["keys-page-nothing"])];
  const [best, ...others] = nameKeys(keys);
  const toneOf = (key) => best.tones[keys.indexOf(key)];
  const told = (key) => {
    const tone = toneOf(key);
    return `${toneText(tone)}${octaveOf(key, tone)} (${labelOf(degreeIn(best.chord, tone))})`;
  };
  const found = [element("p", "held__symbol", linked(best, base)), paragraph(capital(reasonOf(best, phrases)))];
  for (const [hand, own] of [["left", left], ["right", right]]) {
    if (own.length) found.push(paragraph(filled(phrases["picture-hand"], { hand: phrases[hand], notes: own.map(told).join(", ") })));
  }
  if (best.chord.inversion && best.why !== "single-note" && !sameTone(best.chord.bass, best.chord.root)) {
    found.push(paragraph(filled(phrases["naming-inverted"], { inversion: phrases[INVERSIONS[best.chord.inversion]] })));
  }
  if (best.missing.length && !TELLING.includes(best.why)) {
    found.push(paragraph(filled(phrases["naming-missing"], { degrees: listed(best.missing.map(degreeLabel)) })));
  }
  const outside = keys.filter((key) => !best.chord.tones.some((one) => sameTone(one, toneOf(key))));
  const extra = outside.filter((key) => !sameTone(toneOf(key), best.chord.bass));
  if (extra.length) found.push(paragraph(filled(phrases["naming-extra"], { notes: listed(extra.map(told)) })));
  if (others.length) {
    const links = others.flatMap((other, place) => [...(place ? [", "] : []), linked(other, base)]);
    found.push(element("p", "", phrases["keys-page-others"], " ", ...links));
  }
  if (left.length && right.length) {
    for (const [hand, own] of [["left", left], ["right", right]]) {
      const alone = nameKeys(own)[0];
      const values = { symbol: printed(alone), why: reasonOf(alone, phrases) };
      found.push(paragraph(filled(phrases[`naming-${hand}-alone`], values)));
    }
  }
  return found;
}

const capital = (text) => text[0].toUpperCase() + text.slice(1);

/** Return the octave of a key under a name: B♯ and C♭ lie in their letter's octave. */
const octaveOf = (key, { size }) => Math.floor((key - size) / 12) - 1;
