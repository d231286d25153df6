/* Reading chord symbols by walking the grammar's tables: the same walk as the builder's. */

import { Draft, Refused, sortedOut } from "./drafts.js";
import { glossary, reading } from "./tables.js";
import { degreeOf, numberOf, pitchClass, sameTone, tone, toneAt, toneName } from "./tones.js";

/** A text is no readable symbol: what was expected, and at which character. It is thrown often and needs no stack. */
class Unread {
  constructor(expected, place) {
    this.expected = expected;
    this.place = place;
  }
}

const small = (text) => text.toLowerCase();
const isBlank = (character) => /[^\S\ufeff]/u.test(character);
const stripped = (text) => text.replace(/^[^\S\ufeff]+|[^\S\ufeff]+$/gu, "");
const isGap = (token) => token.kind === "gap";
const isLetter = (character) => /^\p{L}$/u.test(character ?? "");

const tokensOf = (forms, folded = false) =>
  new Map(
    Object.entries(forms).flatMap(([form, text]) => {
      const [kind, value] = text.split(" ");
      const spellings = folded ? [small(form), small(form).replaceAll("ß", "ss")] : [form];
      return spellings.map((spelling) => [spelling, { kind, value }]);
    }),
  );

const letterTokens = tokensOf(reading.letterTokens);
const wordTokens = tokensOf(reading.wordTokens, true);
const languages = Object.fromEntries(
  Object.entries(reading.languages).map(([name, language]) => [
    name,
    {
      ...language,
      words: new Map([...wordTokens, ...tokensOf(language.words, true)]),
    },
  ]),
);

/** A text in the grammar's own letters, with the offset of each in the source. */
function spelled(text) {
  const source = [];
  let plain = "";
  [...text].forEach((character, offset) => {
    const letters = reading.characters[character] ?? character.normalize("NFKC");
    for (const letter of letters) {
      plain += letter.length === 1 ? letter : "\uffff";
      source.push(offset);
    }
  });
  return { plain, source };
}

const joined = (all, from, to) => all.slice(from, to).join("");

const MOST_REMEMBERED = 500;
const remembered = new Map();

/**
 * Return the readings of a written symbol, likeliest first, or why it doesn't read.
 *
 * A reading has root, degrees and bass (null: the root) in the core's terms, and `why`, the id of a reason.
 */
export function readings(text, language = "") {
  const key = `${language} ${text}`;
  if (remembered.size > MOST_REMEMBERED) remembered.clear();
  if (!remembered.has(key)) remembered.set(key, readingsOf(text, language));
  return remembered.get(key);
}

function readingsOf(text, language) {
  const { plain, source } = spelled(text);
  if (reading.noChord.includes(small(stripped(plain)))) {
    return { readings: [{ chord: null, why: "no-chord" }], error: null };
  }
  try {
    return { readings: read(plain, languages[language]), error: null };
  } catch (error) {
    if (!(error instanceof Unread)) throw error;
    const at = error.place < source.length ? source[error.place] : [...text].length;
    return { readings: [], error: { expected: error.expected, at } };
  }
}

function read(plain, language) {
  const start = plain.search(/[^\s]|\ufeff/u);
  const [root, afterRoot, inWords] = readTone(plain, start < 0 ? plain.length : start, "root", language);
  const [end, bass] = splitBass(plain, afterRoot, language);
  let tokens = tokenize(plain, afterRoot, end, language, inWords);
  if (language?.smallIsMinor && plain[start] !== plain[start].toUpperCase()) tokens = inMinor(tokens, afterRoot);
  const found = senses(root, bass, tokens, end, language);
  const [first, ...rest] = tokens.filter(([token]) => !isGap(token));
  if (inWords && first?.[0].kind === "number" && reading.signedNumbers.includes(first[0].value)) {
    const sign = { kind: "sign", value: root.size > 0 ? "#" : "b" };
    const open = { kind: "open", value: "" };
    const close = { kind: "close", value: "" };
    const altered = [[open, start + 1], [sign, start + 1], first, [close, end], ...rest];
    try {
      found.push(...senses(tone(root.letter), bass, altered, end, language, "word-alters-number"));
    } catch (error) {
      if (!(error instanceof Unread)) throw error;
    }
  }
  return found;
}

function inMinor(tokens, place) {
  const first = tokens.find(([token]) => !isGap(token))?.[0];
  const saysMore = first && ["quality", "mark", "major", "minor-add"].includes(first.kind);
  return saysMore ? tokens : [[{ kind: "quality", value: "minor" }, place], ...tokens];
}

function readTone(plain, start, expected, language) {
  const name = noteName(plain, start, language);
  if (!name) throw new Unread((plain[start] ?? "").toUpperCase() === "H" ? "german-h" : expected, start);
  const [found, after] = name;
  if (found.size) return [found, after, false];
  const gap = [" ", "-"].includes(plain[after]) ? 1 : 0;
  const signs = { ...reading.rootSigns, ...language?.signs };
  for (let size = reading.longestForm; size > 0; size -= 1) {
    const word = small(plain.slice(after + gap, after + gap + size));
    if (!Object.hasOwn(signs, word) || (gap && word.length <= 2)) continue;
    const place = after + gap + word.length;
    if (word.length <= 2 && ["b", "#"].includes(plain[place]) && plain[place - 1] === plain[place]) {
      throw new Unread("two-accidentals", place);
    }
    return [tone(found.letter, signs[word]), place, word.length > 2];
  }
  return [found, after, false];
}

function noteName(plain, start, language) {
  for (let size = language ? 5 : 0; size > 0; size -= 1) {
    const name = small(plain.slice(start, start + size));
    const sus = name.endsWith("s") && plain.slice(start + size, start + size + 2) === "us";
    if (Object.hasOwn(language.notes, name) && !sus) return [tone(...language.notes[name]), start + name.length];
  }
  const letter = (plain[start] ?? "").toUpperCase();
  return letter && reading.letters.includes(letter) ? [tone(letter), start + 1] : null;
}

function splitBass(plain, start, language) {
  let length = plain.length;
  while (length && isBlank(plain[length - 1])) length -= 1;
  const text = plain.slice(0, length);
  const lower = [...text].map((letter) => (small(letter).length === 1 ? small(letter) : letter)).join("");
  const tail = reading.bassTails.find((one) => lower.endsWith(one));
  length -= tail?.length ?? 0;
  let mark = "";
  let place = -2;
  for (const one of reading.bassMarks) {
    const found = lower.lastIndexOf(one, length - one.length);
    if (found >= start && found > place) [mark, place] = [one, found];
  }
  if (place < 0 || (reading.tailedMarks.includes(mark) && !tail)) return [plain.length, null];
  let note = place + mark.length;
  while (note < length && isBlank(text[note])) note += 1;
  if (note >= length) throw new Unread("bass", note);
  try {
    const [bass, after] = readTone(text.slice(0, length), note, "bass", language);
    return after === length ? [place, bass] : [plain.length, null];
  } catch (error) {
    if (!(error instanceof Unread) || error.expected !== "bass") throw error;
    return [plain.length, null];
  }
}

function tokenize(plain, start, end, language, inWords) {
  const tokens = [];
  const words = language?.words ?? wordTokens;
  let place = start;
  let afterWord = inWords;
  while (place < end) {
    const hyphen = plain[place] === "-" && (afterWord || !tokens.length);
    if (hyphen && lettersFrom(plain, place + 1) >= (afterWord ? 1 : 5)) {
      tokens.push([{ kind: "gap", value: "" }, place]);
      place += 1;
      continue;
    }
    let size = Math.min(reading.longestForm, end - place);
    for (; size > 0; size -= 1) {
      const form = plain.slice(place, place + size);
      const token = letterTokens.get(form) ?? words.get(small(form));
      if (!token) continue;
      tokens.push([token, place]);
      afterWord = size > 2 && [...form].every(isLetter);
      break;
    }
    if (!size) throw new Unread("quality", place);
    place += size;
  }
  return withoutGapsAfterSigns(tokens, plain);
}

function lettersFrom(plain, place) {
  for (let count = 0; count < 5; count += 1) if (!isLetter(plain[place + count])) return count;
  return 5;
}

function withoutGapsAfterSigns(tokens, plain) {
  const kept = [];
  tokens.forEach(([token, place], index) => {
    const afterSign = ["sign", "mark"].includes(kept.at(-1)?.[0].kind);
    const beforeNumber = tokens[index + 1]?.[0].kind === "number";
    if (!(isGap(token) && plain[place] !== "," && afterSign && beforeNumber)) kept.push([token, place]);
  });
  return kept;
}

function senses(root, bass, tokens, end, language, why = "") {
  const key = tokens.map(([{ kind, value }]) => reading.keys[`${kind} ${value}`] ?? value).join("");
  if (Object.hasOwn(reading.ambiguous, key)) {
    let rows = reading.ambiguous[key];
    if (language?.plusRaisesSeventh) {
      const raises = (row) => row[1] === "plus-raises-seventh";
      rows = [...rows.filter(raises), ...rows.filter((row) => !raises(row))];
    }
    return rows.map(([suffix, reason]) => ({ chord: chordOf(root, suffixDegrees(suffix), bass), why: reason }));
  }
  const { degrees, remark } = walk(tokens, end);
  const ownSign = key === "5" && root.size ? "accidental-is-the-roots" : remark;
  return [{ chord: chordOf(root, degrees, bass), why: why || ownSign || (reading.remarks[key] ?? "") }];
}

/** Return the degrees of a plain suffix, its first sense left aside. */
export function suffixDegrees(suffix) {
  return walk(tokenize(suffix, 0, suffix.length, null, false), suffix.length).degrees;
}

function walk(tokens, end) {
  const draft = new Draft();
  const refusedAt = (place, act) => {
    try {
      act();
    } catch (error) {
      throw error instanceof Refused ? new Unread(error.expected, place) : error;
    }
  };
  let state = "root";
  for (const [token, place] of tokens) {
    const step = reading.states[state][token.kind];
    if (!step) throw new Unread(`after-${state}`, place);
    refusedAt(place, () => draft.act(step[0], token.value));
    [, state] = step;
  }
  if (!reading.lastStates.includes(state)) throw new Unread(`after-${state}`, end);
  refusedAt(end, () => draft.act("finish", state));
  return { degrees: draft.degrees(), remark: draft.remark };
}

/** Return a chord: its root, degrees, tones, bass (the root where none is given), inversion and what may be left out. */
export function chordOf(root, degrees, slash = null) {
  const tones = degrees.map((degree) => toneAt(root, degree));
  const bass = slash ?? root;
  const place = tones.findIndex((one) => sameTone(one, bass));
  const leftOut = sortedOut(degrees, reading.leftOut).given;
  const alike = tones.find((one) => pitchClass(one) === pitchClass(bass));
  return {
    root,
    degrees,
    tones,
    bass,
    inversion: place < 0 ? null : (reading.inversions[numberOf(degrees[place])] ?? null),
    respelled: place < 0 ? (alike ?? null) : null,
    leftOut: degrees.filter((degree) => leftOut.includes(degree)),
  };
}

/** Return what is printed after the root in the house style, in ASCII. */
export function printSuffix(degrees) {
  const whole = reading.printedWhole[degrees.join(" ")];
  if (whole) return whole;
  const { given, bag } = sortedOut(degrees, reading.printed);
  const left = degrees.slice(1).filter((degree) => bag.has(degree));
  const alterations = reading.alterations[bag.has("seventh") ? "seventh" : ""];
  let altered = left.filter((degree) => alterations.includes(degree)).join("");
  let added = left.filter((degree) => !alterations.includes(degree)).map((degree) => `add${degree}`).join(",");
  const omitted = ["no3", "no5"].filter((one) => bag.has(one)).map((one) => `(${one})`).join("");
  if (altered && !bag.has("number") && !bag.has("suspended")) altered = `(${altered})`;
  if (added && (given.length || added.includes(",") || altered || omitted)) added = `(${added})`;
  return given.join("") + altered + added + omitted;
}

const byDegrees = new Map(glossary.chords.map((entry) => [entry.degrees.join(" "), entry]));

/** Return what is printed after the root: the entry's first form, or the house style's. */
export const suffixOf = (degrees) => byDegrees.get(degrees.join(" "))?.written ?? printSuffix(degrees);

/** Return a chord's printed symbol in ASCII. */
export function symbolOf({ root, degrees, bass }) {
  const slash = sameTone(root, bass) ? "" : `/${toneName(bass)}`;
  return toneName(root) + suffixOf(degrees) + slash;
}

/** Return the entries that explain a chord: its own, or its base and added tones, and its slash pattern. */
export function partsOf(chord) {
  const own = byDegrees.get(chord.degrees.join(" "))?.id ?? null;
  const inside = own
    ? null
    : glossary.bases.find((id) => glossary.chord[id].degrees.every((degree) => chord.degrees.includes(degree)));
  const base = own ?? inside ?? null;
  const left = base && !own ? chord.degrees.filter((degree) => !glossary.chord[base].degrees.includes(degree)) : [];
  const added = left.map((degree) => glossary.adds[degree]).filter(Boolean);
  const slash = slashPattern(chord, base);
  return { own, base, added, slash, ids: [base, ...added, slash].filter(Boolean) };
}

function slashPattern(chord, base) {
  if (sameTone(chord.bass, chord.root)) return null;
  const degree = degreeOf(chord.root, chord.bass);
  const patterns = glossary.slashes.filter((pattern) => pattern.bass === degree);
  const own = patterns.find((pattern) => pattern.chord === base);
  return (own ?? (chord.inversion === null ? null : patterns[0]))?.id ?? null;
}

/** Return a readable symbol close to a text that doesn't read, or null. */
export function nearestReadable(text, { expected, at }) {
  const all = [...text];
  const before = joined(all, 0, at);
  const candidates = [];
  if (expected === "german-h") {
    candidates.push(`${before}B${joined(all, at + 1)}`);
  } else {
    candidates.push(before + joined(all, at + 1, at + 24), `C${joined(all, 0, 24)}`);
    for (let cut = 0; cut < Math.min(8, at); cut += 1) candidates.push(joined(all, 0, at - cut));
  }
  const found = candidates.find(reads);
  return found === undefined ? null : stripped(found);
}

function reads(text) {
  if (/[\p{Nd}¹²³⁰⁴-⁹₀-₉][#b+-]$/u.test(text)) return false;
  return !readings(text).error && stripped(text) !== "";
}
