/* Slips of the fingers, within symbols and words: from what was typed to what could have been meant. */

import { signs } from "./order.js";
import { readings } from "./symbols.js";
import { asking, reading } from "./tables.js";
import { distance, elsewhere, forgiven, isFiller, isKnown, known, plain, qualities, translations, wordsOf } from "./words.js";

const languages = Object.values(reading.languages);
const codes = Object.keys(reading.languages);
const letters = (forms) => forms.map(plain).filter((form) => /^\p{L}{3,}$/u.test(form));

const symbolWords = new Set(letters(Object.keys(reading.wordTokens)));
const abbreviations = [...symbolWords].filter((form) => form.length < 5);
const spoken = new Set(letters([...qualities.keys(), ...signs.keys()]));
const noteNames = new Set(languages.flatMap(({ notes }) => Object.keys(notes)).map(plain));
const small = [...new Set([...plain(asking.fillers).split(" "), ...Object.values(asking.counted).flatMap((words) => plain(words).split(" "))])];
const choices = [...new Set([...spoken, ...known, ...translations.keys(), ...small])].filter((word) => word.length > 3);

const foreign = new Set([...translations.keys()].filter((word) => !isKnown(word)));
const overNumbers = new RegExp(`\\b(\\d{1,2}) (?:${asking.overNumbers.join("|")}) (\\d{1,2})\\b`, "g");

const sorted = (word) => [...word].sort().join("");

const skeleton = (word) => word.replace(/[aeiou]/g, "");
const hasNoVowels = (word) => word.length > 2 && !/[aeiou]/.test(word);

/** Return the word of some others that one is likeliest a slip of, or null: two letters swapped count least. */
function nearest(word, others, most) {
  const own = sorted(word);
  const isSkeleton = hasNoVowels(word);
  let best = null;
  let least = Infinity;
  for (const other of others) {
    if ((Math.abs(other.length - word.length) > most && !isSkeleton) || (other[0] !== word[0] && other[0] !== word[1] && other[1] !== word[0])) continue;
    const swapped = sorted(other) === own;
    const limit = swapped && word.length > 5 ? most + 1 : most;
    const wrong = isSkeleton && skeleton(other) === word ? 1 : distance(word, other, limit);
    // four letters say too little for a wrong one among them, unless it is a vowel
    if (wrong > limit || (word.length === 4 && other.length === 4 && !swapped && skeleton(other) !== skeleton(word))) continue;
    const price = 10 * wrong - (swapped ? 4 : 0) - (other[0] === word[0] ? 2 : 0) - (other.at(-1) === word.at(-1) ? 1 : 0) + (foreign.has(other) ? 5 : 0);
    if (price < least) [best, least] = [other, price];
  }
  return best;
}

const reads = (text) => readings(text).readings.length > 0 || codes.some((code) => readings(text, code).readings.length > 0);

/** Return a symbol with its brackets closed and the letters of its quality mended, or the text itself. */
function mendedSymbol(text) {
  const [, root, rest] = text.match(/^([A-Ha-h](?:bb|##|[b#♭♯])?)(.+)$/u) ?? [];
  if (!root || /^[a-h]\p{L}{4,}$/u.test(text) || reads(text)) return text;
  const runs = rest.replace(/\p{L}{2,}/gu, (run) => {
    const word = plain(run);
    if (symbolWords.has(word)) return run;
    return nearest(word, word.length < 5 && !hasNoVowels(word) ? abbreviations : symbolWords, word.length < 7 ? 1 : 2) ?? run;
  });
  const open = runs.replace(/[()]/g, " ").trim();
  const tries = [rest, runs, runs.replace(/([4-9])\1/g, "$1")].flatMap((one) => [one, `${one})`, `(${one}`]).map((one) => root + one);
  return [...tries, `${root}${open}`].find(reads) ?? text;
}

const mendedWords = new Map();

function mendedWord(word, before) {
  if (word.length === 3) {
    return /^[a-h][#b♯♭]?$/i.test(before ?? "") ? (nearest(word, [...abbreviations, ...signs.keys()], 1) ?? word) : word;
  }
  if (!mendedWords.has(word)) mendedWords.set(word, nearest(word, choices, Math.max(1, forgiven(word))) ?? word);
  return mendedWords.get(word);
}

function isMeant(word) {
  const [stem] = wordsOf(word);
  return [word, stem].some((one) => elsewhere.has(one) || isFiller(one) || isKnown(one) || spoken.has(one) || noteNames.has(one) || translations.has(one));
}

/** Return a question without slips; the word that is being typed is left as it is while it begins a known one. */
export function mended(text) {
  const parts = text.split(/\s+/);
  const whole = parts.map((part, index) => {
    const [, opening, core, closing] = part.match(/^([("'“‘¿¡]*)(.*?)([?!.,;:"'”’$%*~=_]*)$/u);
    const word = plain(core);
    if (Object.hasOwn(asking.chat, word)) return opening + asking.chat[word] + closing;
    const letters = word.replace(/[()]/g, "").match(/^(\p{L}{3,})(\d*)$/u);
    if (letters && !isMeant(letters[1])) {
      const last = index === parts.length - 1 && !closing;
      if (last && word.length > 2 && known.some((one) => one.startsWith(word))) return part;
      const other = mendedWord(letters[1], parts[index - 1]);
      if (other !== letters[1]) return opening + other + letters[2] + closing;
    }
    return letters && isMeant(letters[1]) ? part.replace(/^\((?!.*\))|(?<!\(.*)\)$/, "") : opening + mendedSymbol(core) + closing.replace(/[$%*~=_]/g, "");
  });
  const inMeters = whole.join(" ").replace(overNumbers, "$1/$2");
  return Object.entries(asking.chat).reduce(
    (mend, [typed, meant]) => (typed.includes(" ") ? mend.replace(new RegExp(`\\b${typed}\\b`, "i"), meant) : mend),
    inMeters,
  );
}
