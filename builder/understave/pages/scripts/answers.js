/* From what a viewer types to answers, the best first. */

import { fitting, spokenBeats } from "./counts.js";
import { nameKeys } from "./names.js";
import { withNames } from "./note-names.js";
import { rearranged } from "./order.js";
import { written } from "./said.js";
import { mended } from "./slips.js";
import { chordOf, nearestReadable, partsOf, readings, symbolOf } from "./symbols.js";
import { asking, glossary, phrase, phrases, reading } from "./tables.js";
import { numberOf, parseTone, pitchClass, sameTone, toneAt, toneName } from "./tones.js";
import { noteOf, notesWithin, typedNotes } from "./typed.js";
import { chordName, degreeLabel, listed, toneText } from "./typeset.js";
import { addressOf, called, calledWithin, elsewhere, isFiller, isKnown, isMusic, pageOf, plain, qualities, search, target, targets, translations, wordsOf } from "./words.js";

const MOST = 8;
const LONGEST = 200;

/** From this score on a text was understood as a whole. */
const SURE = 86;
const ASIDE = 40;
const codes = Object.keys(reading.languages);
const C = parseTone("C");

const germanWords = Object.keys(reading.languages.de.words).map(plain);
const inversionWords = [
  ...asking.rootPositions.map((words) => [plain(words), 0]),
  ...asking.inversions.flatMap((row) => {
    const [nouns, ...ordinals] = row.split("|").map((words) => plain(words).split(" "));
    return ordinals.flatMap((words, index) =>
      words.flatMap((word) => nouns.flatMap((noun) => [[`${word} ${noun}`, index + 1], [`${noun} ${word}`, index + 1]])),
    );
  }),
].sort((a, b) => b[0].length - a[0].length);

function chordAnswer(chord, score, remark = "") {
  if (!chord) return pageAnswer(target["no-chord"], score);
  const { own, ids } = partsOf(chord);
  const bare = sameTone(chord.bass, chord.root);
  const name = chordName(chord);
  const tones = chord.tones.map(toneText).join(" ");
  const respelled = chord.respelled
    ? phrase("look-up-respelled", { bass: toneText(chord.bass), tone: toneText(chord.respelled) })
    : "";
  const composed = own ? "" : phrase("look-up-composed", { parts: listed(ids.map((id) => target[id].name)) });
  return {
    address: pageOf(chord) ?? "/chord-symbols/",
    symbol: symbolOf(chord),
    name,
    line: bare ? tones : phrase("said-over", { name: tones, bass: toneText(chord.bass) }),
    remark: [remark, respelled, ids.length ? composed : ""].filter(Boolean).join(" "),
    chord,
    score,
    parts: own && (bare || chord.inversion !== null) ? [] : ids,
  };
}

function typeAnswer(entry, score, remark = "") {
  const chord = chordOf(C, entry.degrees);
  return {
    address: addressOf(entry),
    symbol: symbolOf(chord),
    name: entry.name,
    line: phrase("look-up-on-c", { tones: chord.tones.map(toneText).join(" ") }),
    remark,
    chord,
    score,
    parts: [],
  };
}

function pageAnswer(page, score) {
  if (page.degrees) return typeAnswer(page, score, withNames(page.line));
  const line = [page.count, withNames(page.line)].filter(Boolean).join(" · ");
  return { address: addressOf(page), symbol: "", name: page.name, line, remark: "", chord: null, score, parts: [] };
}

const reasonOf = (why) => phrases[`why-${why}`] ?? "";

/** Return the readings of a whole text: English first, then what other languages make of it. */
function chordReadings(text) {
  const own = readings(text).readings;
  const words = wordsOf(text);
  const solfege = codes.filter((code) => Object.hasOwn(reading.languages[code].notes, plain(text)));
  const saysGerman = words.some((word) => germanWords.some((form) => word.endsWith(form)));
  const asked = saysGerman ? ["de"] : codes;
  const others = asked.flatMap((code) => {
    if (code === "de" && !saysGerman && own.length) return [];
    return readings(code === "de" && /^h/.test(text) && text.length === 1 ? "H" : text, code).readings;
  });
  if (own.length && !saysGerman && !/^(do|re|mi|fa|sol|la|si)/i.test(plain(text))) return own;
  if (saysGerman) return others.length ? others : own;
  return solfege.length || /^do[a-z#]/.test(plain(text)) ? [...others, ...own] : [...own, ...others];
}

function readingAnswers(text, score) {
  const found = distinct(chordReadings(text).map(({ chord, why }) => ({ chord, why })));
  const several = found.length > 1;
  const answers = found.map(({ chord, why }, index) =>
    chordAnswer(chord, score - index / 10, several || index ? reasonOf(why) : ""),
  );
  if (several) for (const answer of answers.slice(0, 3)) answer.beside = true;
  if (asking.germanLetters.includes(text) && text.length === 1) {
    const minor = readings(text, "de").readings[0];
    answers.push({ ...chordAnswer(minor.chord, score - 1, phrase("look-up-german-small", { letter: text })), beside: true });
    answers[0].beside = true;
  }
  return answers;
}

function distinct(found) {
  const seen = new Set();
  return found.filter(({ chord }) => {
    const key = chord ? symbolOf(chord) : "";
    return !seen.has(key) && seen.add(key);
  });
}

const saysMajor = (text) => [reading.letterTokens[text], reading.wordTokens[plain(text)]].some((token) => token?.startsWith("major"));

/** Tell whether a text is rather a flat number than a chord: b5 is a flat five, b7 the chord of B. */
const isFlatNumber = (text) => text[0] === "b" && reading.signedNumbers.includes(text.slice(1));

/** Tell whether a text is a number under a sign: +7, -9. */
const isSigned = (text) => /^[+-]\d+$/.test(text);

/** Tell whether a word counts things: two, but neither 2 nor second. */
const isCardinal = (word) => /^\p{L}+(?<!th|nd|rd)$/u.test(word) && reading.wordTokens[word]?.startsWith("number");

/** Return the chord types of a suffix that stands alone: ø, M7, 6/9, dominant seventh flat nine. */
function suffixAnswers(text, score) {
  if (!text || (/^\d+\/\d+$/.test(text) && text !== "6/9")) return [];
  const signed = /^[#b♯♭]/u.test(text);
  if (signed && !/^[#b♯♭]\s?\d/u.test(text)) return [];
  const glue = /^\p{L}{2,}/u.test(text) ? " " : "";
  const inBrackets = signed || /^(flat|sharp)\b/i.test(text);
  const whole = inBrackets ? `C(${text})` : `C${glue}${text}`;
  let found = readings(whole).readings;
  for (const code of found.length ? [] : codes) found = found.length ? found : readings(whole, code).readings;
  found = distinct(found.filter(({ chord }) => chord && sameTone(chord.root, C) && sameTone(chord.bass, C)));
  found = found.filter(({ chord }) => chord.degrees.join(" ") !== "1 3 5" || saysMajor(text));
  const several = found.length > 1;
  const answers = found.map(({ chord, why }, index) => {
    const { own } = partsOf(chord);
    const remark = several ? reasonOf(why) : "";
    const answer = own ? typeAnswer(glossary.chord[own], score - index / 10, remark) : chordAnswer(chord, score - index / 10, remark);
    return several && index < 3 ? { ...answer, beside: true } : answer;
  });
  if (inBrackets && found.length) {
    const degree = found[0].chord.degrees.at(-1);
    answers.push(...holding(degree, score + (numberOf(degree) > 7 ? 1.5 : 0)));
  }
  return answers;
}

/** Return the chord types that hold a degree, the shortest symbols first. */
function holding(degree, score) {
  const types = glossary.chords.filter((entry) => entry.kind === "chord-symbols" && entry.degrees.includes(degree));
  types.sort((a, b) => a.written.length - b.written.length);
  return types.slice(0, 3).map((entry, index) => typeAnswer(entry, score - 1 - index / 10));
}

/** Return the names of typed notes; of two, their interval too. */
function noteAnswers(text, score) {
  const typed = typedNotes(text);
  if (!typed) return [];
  if (target.enharmonic && new Set(typed.tones.map(pitchClass)).size === 1) return [{ ...pageAnswer(target.enharmonic, score), named: true }];
  const names = namesOf(typed, score);
  if (new Set(typed.tones.map(toneName)).size !== 2 || !target.interval) return names;
  // two notes make a chord's name where they hold its third, or are its root and fifth
  const hold = names[0].open || names[0].chord.degrees.some((degree) => numberOf(degree) === "3" && !names[0].missing.includes(degree));
  return [...names, { ...pageAnswer(target.interval, score + (hold ? -0.05 : 0.05)), named: true }];
}

/** Return names with those whose bass is no chord tone after another of that root over that bass: G/F after G7/F. */
function bassesWithin(names) {
  const explains = ({ chord }, { chord: other }) =>
    chord.inversion !== null && other.inversion === null && sameTone(chord.root, other.root) && sameTone(chord.bass, other.bass);
  const first = names[0] && names.find((name) => explains(name, names[0]));
  return first ? [first, ...names.filter((name) => name !== first)] : names;
}

function namesOf(typed, score) {
  return bassesWithin(nameKeys(typed.keys)).map(({ chord, missing, why }, index) => {
    const open = why === "open-fifth";
    const lacks = missing.length ? phrase("look-up-without", { degrees: listed(missing.map(degreeLabel)) }) : "";
    return { ...chordAnswer(asTyped(chord, typed.tones), score - index / 10, open ? phrase("look-up-two-notes") : lacks), named: true, open, missing };
  });
}

/** Return a chord under the root that was typed, where that explains more of the typed tones. */
function asTyped(chord, tones) {
  const root = tones.find((one) => pitchClass(one) === pitchClass(chord.root));
  if (!root || sameTone(root, chord.root)) return chord;
  const bass = tones.find((one) => pitchClass(one) === pitchClass(chord.bass));
  const other = chordOf(root, chord.degrees, sameTone(chord.bass, chord.root) ? null : bass);
  const alike = ({ tones: own }) => tones.filter((one) => own.some((tone) => sameTone(one, tone))).length;
  return alike(other) >= alike(chord) ? other : chord;
}

function countAnswers(text, score) {
  return spokenBeats(text).flatMap((beats, later) =>
    fitting(beats)
      .slice(0, 5)
      .map(({ id, score: fits }) => pageAnswer(target[id], score + 5 * (fits - 1) - later / 10)),
  );
}

/** Tell whether a small word is a note's name, as a word of quality in another language follows: a moll, la minore. */
function namesRoot(parts, place) {
  const next = plain(parts[place + 1] ?? "");
  return qualities.has(next) && !Object.hasOwn(reading.wordTokens, next) && codes.some((code) => noteOf(parts[place], reading.languages[code]));
}

/** Return a text without the words at its ends that carry no music; a note's letter stays. */
function withoutFillers(parts) {
  let from = 0;
  let to = parts.length;
  const idle = (part) => isFiller(plain(part)) && !/^[A-G]$/.test(part);
  while (from < to && idle(parts[from]) && !namesRoot(parts, from)) from += 1;
  while (to > from && idle(parts[to - 1])) to -= 1;
  if (from < to) return { rest: parts.slice(from, to), before: parts.slice(0, from) };
  const isLetter = (part, place) => /^[a-h]$/.test(part) || (part === "o" && asking.beforeO.includes(plain(parts[place - 1] ?? "")));
  const letters = parts.filter(isLetter);
  return { rest: letters.length && (letters.length < 2 || letters[0] === "a") ? letters.slice(-1) : parts, before: [] };
}

/** Return the inversion that a text asks for, and the text without those words. */
function inversionIn(text) {
  const all = plain(text);
  for (const [words, number] of inversionWords) {
    const place = all.indexOf(words);
    if (place >= 0 && text.length === all.length) {
      return { number, rest: `${text.slice(0, place)} ${text.slice(place + words.length)}`.trim() };
    }
  }
  return { number: null, rest: text };
}

const looksWritten = (part) =>
  /^[A-GH]/.test(part) || /^[a-g](?:[#b♯♭]|.*\d|m$|m\/|maj|min|dim|aug|sus|add|\/[a-g])/.test(part);

const looksLikeSuffix = (part) => /^(?:m|M|maj|min|dim|aug|sus|add|alt|[°øΔ+♭♯#(-])*\(?[#b♭♯]?\d*\)?$/u.test(part) && !/^[mM]?$/.test(part);

/** Tell whether a bare number counts things: one of several numbers, or beside what is counted. */
const countsThings = (parts, index) =>
  parts.filter((part) => /^\d/.test(part)).length > 1 || [-1, 1].some((step) => asking.countedThings.includes(wordsOf(parts[index + step] ?? "")[0]));

/** Tell whether what was taken for a symbol means something else: a letter, perhaps with a number, among words that are none of ours. */
function isStray(symbols, telling) {
  const strange = telling.filter((part) => /\p{L}{2}/u.test(part) && (elsewhere.has(plain(part)) || !isMusic(part)));
  const least = symbols.every((symbol) => /^[A-Ha-h][#b♯♭]?[1-58]?$/u.test(symbol)) ? 1 : symbols.every((symbol) => /^[A-Ha-h]\d+$/.test(symbol)) ? 2 : Infinity;
  return symbols.length === 1 && strange.length === telling.length && strange.length >= least;
}

/** Return the symbols that stand within a sentence: the longest stretches of words that read as one. */
function symbolsIn(parts, score) {
  const answers = [];
  const symbols = [];
  const used = new Set();
  for (let size = Math.min(6, parts.length); size > 0; size -= 1) {
    for (let from = 0; from + size <= parts.length; from += 1) {
      const stretch = parts.slice(from, from + size);
      if (stretch.some((_, index) => used.has(from + index))) continue;
      const text = stretch.join(" ");
      const article = /^a$/i.test(stretch[0]) && (from > 0 || size === 1);
      const spoken = size > 1 && /^[a-gh]$/i.test(stretch[0]) && !isFiller(plain(stretch[1]));
      if (!(looksWritten(stretch[0]) || spoken) || (article && size === 1)) continue;
      if (size > 1 && (isFiller(plain(stretch.at(-1))) || /^am$/.test(stretch[0]))) continue;
      const besideI = [parts[from - 1], parts[from + 1]].some((part) => /^i$/i.test(part ?? ""));
      if (/^am$/i.test(text) && besideI) continue;
      const found = readings(text).readings;
      if (!found.length || (found[0].chord && size > 1 && found[0].chord.degrees.join(" ") === "1 3 5" && !/maj|flat|sharp|over|\/| on /i.test(text))) continue;
      const rest = stretch.slice(1).join(" ");
      if (article) answers.push(...suffixAnswers(rest, score + 1));
      answers.push(...readingAnswers(text, score - answers.length / 10));
      stretch.forEach((_, index) => used.add(from + index));
      symbols.push(text);
    }
  }
  parts.forEach((part, index) => {
    if (used.has(index) || !looksLikeSuffix(part) || (/^\d+$/.test(part) && countsThings(parts, index))) return;
    answers.push(...suffixAnswers(part, score - answers.length / 10));
    used.add(index);
  });
  const left = parts.filter((_, index) => !used.has(index));
  return { answers: isStray(symbols, left.filter((part) => !isFiller(plain(part)))) ? [] : answers, left };
}

function inverted(answers, number) {
  if (number === null) return answers;
  return answers.map((answer) => {
    const degree = answer.chord?.degrees[number];
    if (!degree || answer.address.startsWith("/chord-symbols/")) return answer;
    const { root, degrees } = answer.chord;
    return chordAnswer(chordOf(root, degrees, number ? toneAt(root, degree) : null), answer.score, answer.remark);
  });
}

/** Return the pages that a text's words find; one whose whole name stands in the text comes before its likes. */
function wordAnswers(text, highest) {
  const named = calledWithin(text).map(({ target: page }) => page);
  return search(text)
    .slice(0, 2 * MOST)
    .map(({ target: page, score }) => pageAnswer(page, highest * score + (named.includes(page) ? 0.9 : 0)));
}

const asksToCount = (text) => wordsOf(text).some((word) => (translations.get(word) ?? word).startsWith("count"));
const guidesFirst = (answer) => (answer.address.startsWith("/guides/") && answer.score < SURE ? { ...answer, score: answer.score + 1.5 } : answer);

function rearrangedAnswers({ rooted, chords }, score) {
  return distinct(chords).map(({ chord }, index) => {
    const { own } = partsOf(chord);
    return rooted || !own ? chordAnswer(chord, score - index / 10) : typeAnswer(glossary.chord[own], score - 5 - index / 10);
  });
}

function gathered(question) {
  const { number, rest } = inversionIn(question);
  const asked = rest.replace(/[?!.,;:]+(?=\s|$)/g, " ").replace(/[“”"'‘’«»]+/g, " ").trim().replace(/\s+/g, " ") || rest;
  const parts = asked.split(" ");
  const { rest: core, before } = withoutFillers(parts);
  const bare = core.join(" ");
  const found = [];
  const run = notesWithin(parts, (part) => isFiller(plain(part)));
  if (run) found.push(...noteAnswers(run, 95));
  found.push(...called(question).map((page, place) => pageAnswer(page, 100 - place / 10)));
  if (bare !== question) {
    const score = chordReadings(asked).length ? 88 : 96;
    found.push(...called(bare).map((page, place) => pageAnswer(page, score - place / 10)));
  }
  const ours = wordsOf(bare).filter((word) => !isFiller(word)).map((word) => translations.get(word) ?? word).join(" ");
  found.push(...called(ours).map((page, place) => pageAnswer(page, (asksToCount(question) ? 76 : 85) - place / 10)));
  for (const [text, score] of asked === bare ? [[asked, 90]] : [[asked, 92], [bare, 84]]) {
    const notes = run ? [] : noteAnswers(text, score + 2);
    const counts = notes.length || (!/\s/.test(text) && (isSigned(text) || readings(text).readings.length)) ? [] : countAnswers(text, score + 3);
    found.push(...notes, ...counts);
    if (run || notes.length || counts.length) continue;
    const articled = text !== asked && /^an?$/i.test(before.at(-1) ?? "");
    const whole = text === asked || core.length === 1 || !isFiller(plain(text));
    const article = /^an? /.test(text) ? 1 : 0;
    if (whole) found.push(...inverted(readingAnswers(text, score - article), number));
    if (text === question || !isCardinal(plain(text))) found.push(...suffixAnswers(text, articled || isFlatNumber(text) ? score + 1 : score - 2));
  }
  if (!found.some(({ score, chord, address }) => chord && score >= SURE && !address.startsWith("/chord-symbols/"))) {
    const other = /[,;:]\s/.test(question) ? null : rearranged(asked);
    if (other) found.push(...inverted(rearrangedAnswers(other, 97), number));
  }
  for (const { target: page, share, stretch, from } of calledWithin(question)) {
    const overNote = stretch.length > 2 && stretch.some((part) => /^[a-g]$/.test(part)) ? 10 : 0;
    if (share > 0.5) found.push(pageAnswer(page, 40 + 46 * share + overNote - from / 100));
  }
  if (!found.some(({ score }) => score >= 80)) {
    const { answers, left } = symbolsIn(parts, 76);
    found.push(...inverted(answers, number));
    const telling = left.filter((part) => !isFiller(plain(part)));
    const symbol = answers[0]?.symbol ?? "";
    // a letter beside words of music is what they speak of, not what they ask
    const aside = /^[A-G]$/.test(symbol) && telling.filter((part) => isKnown(wordsOf(part)[0])).length > 1;
    if (aside) answers[0].score = ASIDE;
    if (answers.length && telling.length) {
      found.push(...called(telling.join(" ")).map((page) => pageAnswer(page, /^[A-G][#b]*m?$/.test(symbol) ? 77 : 74)));
    }
  }
  const sure = found.some(({ score }) => score >= 84);
  if (!sure || /\p{L}{3}/u.test(question)) found.push(...wordAnswers(question, 78).filter(({ score }) => score > (sure ? 45 : 34)));
  if (number !== null && !found.some(({ chord }) => chord)) found.push(...wordAnswers(question, 90));
  return asksToCount(question) ? found.map(guidesFirst) : found;
}

function ranked(found) {
  const best = new Map();
  for (const answer of found) {
    const key = `${answer.address} ${answer.chord ? answer.symbol : ""}`;
    const known = best.get(key);
    if (!known || answer.score > known.score) best.set(key, answer);
  }
  return [...best.values()].sort((a, b) => b.score - a.score);
}

/** Return the pages that explain the parts of a composed answer, chords on its own root. */
function partAnswers(answer) {
  return answer.parts.flatMap((id, index) => {
    const score = answer.score - 0.01 - index / 1000;
    const part = glossary.chord[id];
    const found = part ? chordAnswer(chordOf(answer.chord.root, part.degrees), score) : pageAnswer(target[id], score);
    return found.address === answer.address && !part ? [] : [found];
  });
}

/**
 * Return the answers to what was typed.
 *
 * `best` has the first answer, or the readings that stand side by side; `others` what follows. Where nothing was found
 * both are empty and `nearest` has what could have been meant.
 */
export function lookUp(typed) {
  const own = typed.normalize("NFC").trim().slice(0, LONGEST);
  const question = called(own).length ? own : written(own);
  if (!question) return { best: [], others: [], nearest: [] };
  let found = gathered(question);
  const meant = found.some(({ score }) => score >= SURE) ? question : mended(question);
  if (meant !== question) {
    const asTyped = found.map((answer) => ({ ...answer, score: answer.score - 40 }));
    found = [...gathered(meant).map((answer) => ({ ...answer, score: answer.score - 1 })), ...asTyped];
  }
  found = ranked(found);
  if (found[0]?.parts.length) found = ranked([...found, ...partAnswers(found[0])]);
  const beside = found[0]?.beside ? found.slice(0, 3).filter((answer) => answer.beside) : found.slice(0, 1);
  const others = found.filter((answer) => !beside.includes(answer)).slice(0, MOST);
  return { best: beside, others, nearest: found.length ? [] : nearestTo(question) };
}

function nearestTo(question) {
  const answers = [];
  const { readings: found, error } = readings(question);
  const near = !found.length && question.length < 16 && !/\s/.test(question) && /^[A-Ha-h]/.test(question) ? nearestReadable(question, error) : null;
  if (near && near.length > 1) answers.push(...readingAnswers(near, 10).slice(0, 1));
  const words = wordsOf(question).filter((word) => word.length > 3 && !isFiller(word));
  for (const word of words) answers.push(...search(word).slice(0, 1).map(({ target: page }) => pageAnswer(page, 5)));
  return ranked(answers).slice(0, 3);
}
