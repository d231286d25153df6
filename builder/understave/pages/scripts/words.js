/* Finding pages by words: names, what viewers call them, and summaries; misspelled words too. */

import { chordOf, partsOf } from "./symbols.js";
import { asking, glossary, reading } from "./tables.js";
import { degreeOf, sameTone, toneName } from "./tones.js";

const fillers = new Set(plain(asking.fillers).split(" "));

/** Words of what a theory glossary doesn't answer. */
export const elsewhere = new Set(asking.elsewhere.split(" "));

const numbers = Object.values(asking.counted).map((row) => plain(row).split(" "));

const english = new Map();
for (const [word, token] of Object.entries(reading.wordTokens)) {
  if (/^\p{L}{3,}$/u.test(word) && (!english.has(token) || /(?:th|nd|rd)$/.test(word))) english.set(token, word);
}
const tokens = Object.entries(reading.wordTokens);
const others = Object.values(reading.languages).flatMap(({ words }) => Object.entries(words));

/** Words between the parts of a chord that say nothing. */
export const gaps = new Set(tokens.filter(([, token]) => token.startsWith("gap")).map(([word]) => word));

/** Words of quality and number, each with the English one. */
export const qualities = new Map([
  ...tokens.map(([word]) => [plain(word), word]),
  ...others
    .filter(([word, token]) => english.has(token) && !Object.hasOwn(reading.wordTokens, plain(word)))
    .map(([word, token]) => [plain(word).replace(/^-/, ""), english.get(token)]),
]);

/** Words of other languages, each with ours. */
export const translations = new Map([
  ...others.map(([word]) => [plain(word), qualities.get(plain(word))]),
  ...numbers.flatMap((row) => row.slice(0, -1).flatMap((words, place) => words.split("/").map((word) => [word, numbers[0][place]]))),
  ...Object.entries(asking.words).flatMap(([ours, others]) => others.split(" ").map((word) => [word, ours])),
]);

/** What a page is worth among equals, by kind: what viewers ask about most comes first. */
const KINDS = ["chord-symbols", "terms", "added-tones", "slash-chords", "rhythm-figures", "counting-systems"];

/** Return a word in small letters without accents. */
export function plain(text) {
  return text.toLowerCase().normalize("NFD").replace(/\p{Mn}/gu, "").replaceAll("ß", "ss");
}

/** Return the words of a text: small, without accents and plural endings. */
export function wordsOf(text) {
  return (plain(text).replace(/[’']s\b|(?<=\dth)s\b/g, "").match(/\d+\/\d+|\d(?=\+\d)|[\p{L}\p{N}&#♯♭°øδ][\p{L}\p{N}&+#♯♭°øδ]*|\+/gu) ?? []).map(
    (word) => asking.ordinals[word] ?? asking.digits[word] ?? (/^\p{L}{3,}[^s]s$/u.test(word) && !translations.has(word) ? word.slice(0, -1) : word),
  );
}

/** Tell whether a word carries no music. */
export const isFiller = (word) => fillers.has(word) || (word.length > 3 && fillers.has(`${word}s`));

const tellingWords = (words) => {
  const kept = words.filter((word) => !isFiller(word));
  return kept.length ? kept : words;
};

/** Return the key under which a phrase is found as a whole. */
export function phraseKey(text) {
  const bare = plain(text).replace(/[?!.,;:"“”()]+|(?<=\d|\p{L}{2})-(?=\d|\p{L}{2})/gu, " ").trim();
  const parts = bare.split(/\s+/);
  const words = parts.map((word) => (/^\p{L}{3,}[^s]s$/u.test(word) ? word.slice(0, -1) : word));
  const isArticle = (word, index) => ["an", "the"].includes(word) || (word === "a" && index && !/^(?:and|&)$/.test(words[index - 1]));
  const kept = words.filter((word, index) => !isArticle(word, index));
  return (kept.length ? kept : words).join(" ");
}

export const targets = [...glossary.chords, ...glossary.pages];
const wholes = new Map();
const listings = [];
const vocabulary = new Map();
const smallWords = new Map();

targets.forEach((target, place) => {
  for (const text of [target.name, ...target.words, target.id.replaceAll("-", " ")]) {
    const whole = phraseKey(text);
    wholes.set(whole, [...(wholes.get(whole) ?? []), target].filter((one, index, all) => all.indexOf(one) === index));
    listings.push({ target, place, words: [...new Set(tellingWords(wordsOf(text)))], weight: 1 });
  }
  listings.push({ target, place, words: [...new Set(tellingWords(wordsOf(target.line)))], weight: 0 });
  smallWords.set(target, new Set(wordsOf([target.line, ...target.words].join(" ")).filter(isFiller)));
});
listings.forEach((listing, number) => {
  for (const word of listing.words) {
    if (!vocabulary.has(word)) vocabulary.set(word, []);
    vocabulary.get(word).push(number);
  }
});

/** The words of all names, and of what pages are asked as. */
export const known = [...new Set(listings.filter(({ weight }) => weight).flatMap(({ words }) => words))];

const titled = new Set(targets.flatMap(({ name }) => wordsOf(name)));

const pagesWith = (word) => new Set(vocabulary.get(word).map((number) => listings[number].place)).size;
const RAREST = Math.log(targets.length);
const weights = new Map([...vocabulary.keys()].map((word) => [word, Math.log(1 + targets.length / pagesWith(word))]));

/** Return the pages that are called exactly this. */
export const called = (text) => wholes.get(phraseKey(text)) ?? [];

/**
 * Return the pages that stretches of a text are called exactly, the longest first, each with its words, the place of
 * the first, and how much of the text's telling words it says, from 0 to 1.
 */
export function calledWithin(text) {
  const words = plain(text).replace(/[?!.,;:"“”()]+/g, " ").trim().split(/\s+/);
  const all = words.filter((word) => !isFiller(word)).length;
  const telling = (stretch) => (all ? stretch.filter((word) => !isFiller(word)).length : stretch.length - 1);
  const found = [];
  const used = new Set();
  for (let size = Math.min(7, words.length - 1); size > 0; size -= 1) {
    for (let from = 0; from + size <= words.length; from += 1) {
      const stretch = words.slice(from, from + size);
      const said = telling(stretch);
      if (!said || stretch.some((_, index) => used.has(from + index))) continue;
      const pages = wholes.get(phraseKey(stretch.join(" "))) ?? [];
      if (!pages.length) continue;
      found.push(...pages.map((target) => ({ target, share: all ? said / all : 1, stretch, from })));
      stretch.forEach((_, index) => used.add(from + index));
    }
  }
  return found;
}

/** Tell whether a word is one that the pages use. */
export const isKnown = (word) => vocabulary.has(word);

/** Tell whether a part of a text is a word of music in any language. */
export const isMusic = (part) => {
  const word = plain(part);
  return [word, wordsOf(part)[0]].some((one) => vocabulary.has(one) || translations.has(one) || qualities.has(one));
};

/** Return how many letters differ between two words, counting a swap as one; `most` + 1 where it is more than that. */
export function distance(a, b, most) {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before = [];
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const next = [i];
    let least = i;
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let cost = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, before[j - 2] + 1);
      next.push(cost);
      least = Math.min(least, cost);
    }
    if (least > most) return most + 1;
    [before, row] = [row, next];
  }
  return row[b.length];
}

/** Return how many letters of a word may be wrong. */
export const forgiven = (word) => (word.length < 5 ? 0 : word.length < 8 ? 1 : 2);

/** Return a word without the endings of verbs and their kin: repeats, repeated, repeating. */
const stemOf = (word) => word.replace(/(?:ing|ed|es|e|s)$/, "");
const stems = new Map();
for (const word of vocabulary.keys()) if (word.length > 3) stems.set(stemOf(word), [...(stems.get(stemOf(word)) ?? []), word]);

const remembered = new Map();

/** Return the pages' words that a typed word may stand for, each with how sure that is. */
function meant(word, last) {
  const key = word + (last ? "…" : "");
  if (remembered.has(key)) return remembered.get(key);
  const found = new Map();
  if (vocabulary.has(word)) found.set(word, 1);
  const translated = translations.get(word);
  if (vocabulary.has(translated)) found.set(translated, found.size ? 0.95 : 1);
  if (last ? word.length > 1 : word.length > 3) {
    const begun = known.filter((name) => name.startsWith(word) && name !== word);
    for (const name of begun) found.set(name, (last ? 0.85 : 0.7) * (0.8 + (0.2 * word.length) / name.length));
  }
  for (const name of (word.length > 3 && stems.get(stemOf(word))) || []) if (!found.has(name)) found.set(name, 0.9);
  if (!found.size) {
    const most = forgiven(word);
    for (const name of most ? vocabulary.keys() : []) {
      if (name.length < 4 || (name[0] !== word[0] && name[1] !== word[0])) continue;
      const wrong = distance(word, name, most);
      if (wrong <= most) found.set(name, 0.85 - 0.15 * wrong);
    }
  }
  if (!found.size && word.length > 6) {
    const half = Math.max(5, Math.ceil(word.length / 2));
    for (const name of known) if (name.slice(0, half) === word.slice(0, half)) found.set(name, half > 5 || name.slice(0, 6) === word.slice(0, 6) ? 0.7 : 0.6);
  }
  remembered.set(key, found);
  return found;
}

/** Return words with those that pages write as two, or as one, written so: offbeat, down beat. */
function asPagesWrite(words) {
  const one = words.flatMap((word) => {
    if (vocabulary.has(word) || translations.has(word) || isFiller(word) || word.length < 6) return [word];
    for (let cut = 3; cut < word.length - 2; cut += 1) {
      const both = [word.slice(0, cut), word.slice(cut)].map((half) => wordsOf(half)[0]);
      if (both.every((half) => isFiller(half) || vocabulary.has(half))) return both;
    }
    return [word];
  });
  return one.flatMap((word, place) => {
    if (vocabulary.has(one[place - 1] + word)) return [];
    return vocabulary.has(word + one[place + 1]) ? [word + one[place + 1]] : [word];
  });
}

const isElsewhere = (word) => elsewhere.has(word) && !titled.has(word);

/** What a word that no page uses is worth: less than a rare one, as people tell more than they ask. */
const UNKNOWN = RAREST * 0.9;

/**
 * Return the pages that a text's words find, each with a score from 0 to 1, best first.
 *
 * A score is high where the page's phrase says all of what was asked and little more. Where no phrase does, two telling
 * words in what a page says of itself find it too.
 */
export function search(text) {
  const words = asPagesWrite(wordsOf(text));
  const music = words.filter((word) => !isFiller(translations.get(word) ?? word) && (word.length > 1 || !/\p{L}/u.test(word) || vocabulary.has(word)));
  const asked = [...new Set(music.length ? music : words.filter((word) => word.length > 3 && vocabulary.has(word)))];
  if (!asked.length || !/\p{L}/u.test(text)) return [];
  const ends = /[\p{L}\p{N}]$/u.test(text.trim());
  const choices = asked.map((word, index) => (isElsewhere(word) ? new Map() : meant(word, ends && index === asked.length - 1)));
  // a letter, or a word that merely begins like one of ours, says too little beside words that none of our pages has
  if (asked.length > 1 && choices.every((choice, index) => asked[index].length < 2 || Math.max(0, ...choice.values()) < 0.65)) return [];
  const worth = asked.map((word, index) => {
    if (asking.kindWords.includes(word)) return 1.5;
    const ours = weights.get(translations.get(word));
    const found = [...choices[index].keys()].map((one) => weights.get(one));
    return ours ?? (found.length ? Math.max(...found) : isElsewhere(word) ? 2 * RAREST : /^\d/.test(word) ? RAREST : UNKNOWN);
  });
  const total = worth.reduce((sum, one) => sum + one, 0);
  const matched = new Map();
  const onPage = new Map();
  choices.forEach((choice, index) => {
    for (const [word, sure] of choice) {
      for (const number of vocabulary.get(word)) {
        const { target, weight } = listings[number];
        if (!matched.has(number)) matched.set(number, { sure: new Map(), words: new Map() });
        const match = matched.get(number);
        match.sure.set(index, Math.max(match.sure.get(index) ?? 0, sure));
        match.words.set(word, index);
        if (!onPage.has(target)) onPage.set(target, new Map());
        const page = onPage.get(target);
        if (sure > 0.8) page.set(index, Math.max(page.get(index) ?? 0, sure * (weight ? 1 : 0.75)));
      }
    }
  });
  const idle = words.filter((word) => word.length > 3 && isFiller(word));
  const best = new Map();
  const offer = (target, score) => {
    const rank = KINDS.indexOf(target.kind);
    const small = idle.filter((word) => smallWords.get(target).has(word)).length;
    const whole = score + small / 100 - (rank < 0 ? KINDS.length : rank) / 1000;
    if (whole > (best.get(target) ?? 0)) best.set(target, whole);
  };
  for (const [number, { sure, words: met }] of matched) {
    const { target, weight, words: own } = listings[number];
    if (!weight) continue;
    const page = onPage.get(target);
    const said = worth.reduce((sum, one, index) => sum + one * Math.max(sure.get(index) ?? 0, 0.7 * (page.get(index) ?? 0)), 0) / total;
    const whole = own.reduce((sum, word) => sum + weights.get(word), 0);
    const used = [...met.keys()].reduce((sum, word) => sum + weights.get(word), 0);
    const isWhole = used >= whole;
    const inOrder = isWhole ? own.filter((word, place) => place && met.get(word) === met.get(own[place - 1]) + 1).length : 0;
    // one word of several may well mean something else
    const alone = asked.length > 1 && sure.size < 2 && !isWhole && !(page.size > 1) ? 0.85 : 1;
    if (said >= 0.5) offer(target, alone * said * (0.55 + 0.45 * (used / whole)) + inOrder / 80);
  }
  for (const [target, page] of onPage) {
    const said = worth.reduce((sum, one, index) => sum + one * (page.get(index) ?? 0), 0) / total;
    if (said >= 0.5 && page.size > 1) offer(target, 0.75 * said);
  }
  return [...best].map(([target, score]) => ({ target, score })).sort((a, b) => b.score - a.score);
}

/** The pages by id. */
export const target = Object.fromEntries(targets.map((one) => [one.id, one]));

/** Return the address of a page of the glossary. */
export const addressOf = (page) => page.address ?? `/${page.kind}/${page.id}/`;

/** Return the chord type that a chord is without its third or fifth, or null. */
function wholeOf({ degrees }) {
  const whole = ["3", "5", "b3"].map((left) =>
    glossary.chords.find((entry) => entry.degrees.length === degrees.length + 1 && entry.degrees.every((one) => (one === left) !== degrees.includes(one))),
  );
  return whole.find(Boolean)?.id ?? null;
}

/** Return the slash pattern nearest to a chord over a bass that is none of its tones: one on a chord of like third and fifth. */
function nearestSlash(chord) {
  const degree = degreeOf(chord.root, chord.bass);
  const patterns = glossary.slashes.filter(({ bass }) => bass === degree).map((pattern) => ({ ...pattern, degrees: glossary.chord[pattern.chord].degrees }));
  const alike = patterns.find(({ degrees }) => ["b3", "b5"].every((one) => degrees.includes(one) === chord.degrees.includes(one)));
  return alike ?? patterns.find(({ degrees }) => degrees.length === 3) ?? target["bass-outside-the-chord"] ?? null;
}

/** Return the address of the page that explains a chord best. */
export function pageOf(chord) {
  const { own, base: within, slash } = partsOf(chord);
  const base = own ?? (chord.degrees.includes("b3") || chord.degrees.includes("3") ? within : null) ?? wholeOf(chord) ?? within;
  if (!base) return null;
  const entry = glossary.chord[base];
  const slug = glossary.rootSlugs[toneName(chord.root)];
  if (!slug) return addressOf(entry);
  const inversion = sameTone(chord.bass, chord.root) ? 0 : chord.inversion;
  if (own && inversion !== null && inversion < entry.positions) {
    return `/${slug}-${base}${glossary.inversionSuffixes[inversion]}/`;
  }
  if (inversion !== null) return `/${slug}-${base}/`;
  if (chord.respelled) return pageOf(chordOf(chord.root, chord.degrees, chord.respelled));
  const pattern = slash ?? nearestSlash(chord)?.id;
  return pattern ? addressOf(target[pattern]) : `/${slug}-${base}/`;
}
