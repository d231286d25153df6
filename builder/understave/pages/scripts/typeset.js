/* Tones, symbols and names as people read them. */

import { named } from "./note-names.js";
import { partsOf, symbolOf } from "./symbols.js";
import { glossary, phrase, typesetting } from "./tables.js";
import { parseTone, sameTone } from "./tones.js";

const { accidentals, accidentalWords, degreeLabels, degreeWords } = typesetting;

const form = (pattern, flags) => new RegExp(pattern, flags);
const rootForm = form(typesetting.rootForm, "y");
const baseForm = form(typesetting.baseForm, "y");
const alteredForm = form(typesetting.alteredForm, "g");

const matchAt = (pattern, text, place) => {
  pattern.lastIndex = place;
  return pattern.exec(text);
};

const letterText = ({ letter, size }) => letter + accidentals[size];

/** Return B♭, or its name in the language that the reader chose. */
export const toneText = (one) => named(letterText(one));

/** Return B flat, as it is said, or its name in the language that the reader chose. */
export const toneWords = ({ letter, size }) =>
  named(size ? phrase("said-tone", { letter, sign: accidentalWords[size] }) : letter);

/** Return root, 3rd, ♭7th. */
export const degreeLabel = (degree) => degreeLabels[degree];

const suffixText = (text) => text.replace(alteredForm, (sign) => accidentals[sign === "#" ? 1 : -1]);

const signed = (text) => {
  const root = matchAt(rootForm, text, 0);
  return root ? letterText(parseTone(root[0].replace("x", "##"))) + suffixText(text.slice(root[0].length)) : suffixText(text);
};

/** Return a symbol in three typeset parts: root and quality, what is raised, the bass with its slash. */
export function symbolParts(symbol) {
  const [body, ...bass] = symbol.split(form(typesetting.slashForm));
  const root = matchAt(rootForm, body, 0)?.[0] ?? "";
  const base = matchAt(baseForm, body, root.length)?.[0] ?? "";
  const quality = base.startsWith("(") ? "" : base;
  const raised = body.slice(root.length + quality.length);
  return [(root ? signed(root) : "") + quality, suffixText(raised), bass.map((text) => `/${signed(text)}`).join("")];
}

/** Return a symbol as text with true accidentals. */
export const symbolText = (symbol) => symbolParts(symbol).join("");

/** Return words as a list in a sentence: A, B and C. */
export const listed = (words) =>
  words[1] ? phrase("said-list", { words: words.slice(0, -1).join(", "), last: words.at(-1) }) : words.join("");

/** Return how a chord is said; one without an entry of its own is named by its parts. */
export function chordName(chord) {
  const { own, base, added } = partsOf(chord);
  if (!base) return symbolText(symbolOf(chord));
  const covered = new Set([base, ...added].flatMap((id) => glossary.chord[id].degrees));
  const more = own ? [] : chord.degrees.filter((degree) => !covered.has(degree));
  let { name } = glossary.chord[base];
  for (const words of [added.map((id) => glossary.chord[id].name.replace(/^minor /, "")), more.map((degree) => degreeWords[degree])]) {
    if (words.length) name = phrase("said-with", { name, added: listed(words) });
  }
  name = phrase("said-chord", { root: toneWords(chord.root), name });
  return sameTone(chord.bass, chord.root) ? name : phrase("said-over", { name, bass: toneWords(chord.bass) });
}
