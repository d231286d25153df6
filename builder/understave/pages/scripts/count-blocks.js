/* A rhythm as blocks: as wide as it lasts, a beat a picture, notes over the blocks and the words under them. */

import { phrase } from "./counting-table.js";
import { spansOf, wordOf } from "./counting.js";
import { larger, smaller } from "./fractions.js";
import { tupletOf } from "./rhythms.js";

const SVG = "http://www.w3.org/2000/svg";

/* Pixels: the least width of a beat, of a note, of a letter of the count; the room beside a word; rows from the top. */
const LEAST = { beat: 56, note: 18, letter: 8, beside: 9 };
const ROWS = { tuplet: 11, head: 44, rest: 32, block: 54, depth: 18, word: 92, height: 100 };

/** How wide a block has to be for a word within it. */
const ROOM_FOR_WORD = 38;

const element = (name, values, text = "") => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
  made.textContent = text;
  return made;
};

/** How much wider than need be beats may become to fill a row. */
const MOST_STRETCH = 1.6;

/** Return how many pixels a whole note must be wide, so that every word and note has room. */
function leastScale(measures, counts, beats) {
  const needs = [
    ...beats.map(({ length }) => LEAST.beat / length),
    ...measures.flatMap(({ events }) => events.map(({ length }) => LEAST.note / length)),
    ...counts.map((one) => (wordOf(one).length * LEAST.letter + LEAST.beside) / one.length),
  ];
  return Math.max(...needs);
}

/** Return how many pixels a whole note is wide: where a measure takes several rows, beats of one length fill them. */
function scaleOf(measures, counts, cells, room) {
  const beats = cells.flat();
  const scale = leastScale(measures, counts, beats);
  const [{ length }] = beats;
  const most = Math.max(...cells.map((own) => own.length));
  const inRow = Math.floor(room / (length * scale));
  if (inRow < 1 || beats.some((one) => !one.length.is(length))) return scale;
  const rows = Math.ceil(most / inRow);
  return Math.min(scale * MOST_STRETCH, Math.max(scale, Math.floor(room / Math.ceil(most / rows)) / length));
}

/** Return the beats of a measure, and what is too much in it; small notes that are counted in groups stand in one. */
function cellsOf(measure, system, beat) {
  const begin = measure.at.minus(measure.missing);
  const cells = [];
  for (const { number, at, length } of spansOf(measure.meter, system, beat)) {
    const from = begin.plus(at);
    if (cells.at(-1)?.number === number) cells.at(-1).end = from.plus(length);
    else cells.push({ number, at: from, end: from.plus(length) });
  }
  const { end } = cells.at(-1);
  if (end.less(measure.end)) cells.push({ number: 0, at: end, end: measure.end });
  return cells.map((cell) => ({ ...cell, length: cell.end.minus(cell.at) }));
}

/** Return the written value of a note, its tuplet taken away: 8 for a triplet eighth. */
function writtenValue(token) {
  const tuplet = Number(tupletOf(token));
  return (parseInt(token, 10) * 2 ** Math.floor(Math.log2(tuplet))) / tuplet;
}

function glyphs({ token, rests }, x) {
  const value = writtenValue(token);
  const y = rests ? ROWS.rest : ROWS.head;
  const made = [element("use", { href: `#note-${value}${rests ? "r" : ""}`, x, y })];
  for (let dot = 0; dot < token.split(".").length - 1; dot += 1) {
    made.push(element("circle", { cx: x + 14 + 5 * dot, cy: ROWS.head - 3, r: 1.6 }));
  }
  const tuplet = tupletOf(token);
  if (tuplet > 1n) made.push(element("text", { class: "tuplet", x: x + 3, y: ROWS.tuplet }, `${tuplet}`));
  return made;
}

function blockOf(event, x, width) {
  const kind = event.rests ? "rest" : event.held ? "held" : "sounds";
  const made = [element("rect", { class: kind, x, y: ROWS.block, width, height: ROWS.depth })];
  if (kind !== "sounds" && width >= ROOM_FOR_WORD) {
    made.push(element("text", { class: "inside", x: x + 5, y: ROWS.block + 13 }, event.rests ? phrase("count-rest") : phrase("count-held")));
  }
  return made;
}

function pictureOf(cell, events, counts, scale, { first, last }) {
  const x = (at) => Math.round(10 * (at.minus(cell.at) * scale)) / 10;
  const width = x(cell.end);
  const picture = element("svg", { class: "blocks__beat", width, height: ROWS.height, viewBox: `0 0 ${width} ${ROWS.height}` });
  const line = (name, place) => element("path", { class: name, d: `M${place} 16V${ROWS.block + ROWS.depth + 5}` });
  if (!first) picture.append(line("beat-line", 0.5));
  for (const event of events) {
    const end = event.at.plus(event.length);
    const begins = !event.at.less(cell.at);
    const from = x(larger(event.at, cell.at));
    const until = x(smaller(end, cell.end));
    picture.append(...blockOf(event, from + (begins ? 2 : 0), until - from - (begins ? 2 : 0) - (cell.end.less(end) ? 0 : 1)));
    if (begins) picture.append(...glyphs(event, from + 4));
    if (begins && event.starts) {
      picture.append(element("rect", { class: "onset", x: from + 2, y: ROWS.block - 5, width: 3, height: ROWS.depth + 10 }));
    }
  }
  for (const [place, one] of counts) {
    const group = element("g", { class: one.sounds ? "said" : "softly", "data-place": place });
    const at = x(one.at);
    group.append(
      element("rect", { x: at + 1, y: ROWS.word - 15, width: one.length * scale - 2, height: 20 }),
      element("text", { x: at + 3, y: ROWS.word }, wordOf(one)),
    );
    picture.append(group);
  }
  if (first) picture.append(line("bar-line", 1));
  if (last) picture.append(line("bar-line", width - 1));
  return picture;
}

/**
 * Return an element for each measure, in it a picture for each beat.
 *
 * `counts` may be empty, for a rhythm that can't be counted yet. A place of the count has its number as data-place.
 * `room` is how many pixels wide a row may be.
 */
export function blocks({ measures, counts, system, beat, room }) {
  const cells = measures.map((measure) => cellsOf(measure, system, beat));
  const scale = scaleOf(measures, counts, cells, room);
  let place = 0;
  return measures.map((measure, number) => {
    const box = document.createElement("div");
    box.className = "blocks__measure";
    box.setAttribute("aria-hidden", "true");
    const { events } = measure;
    const drawn = counts.length ? cells[number].filter((cell) => measure.at.less(cell.end) && cell.at.less(measure.end)) : cells[number];
    for (const cell of drawn) {
      const own = [];
      for (; place < counts.length && counts[place].at.less(cell.end); place += 1) own.push([place, counts[place]]);
      const touching = events.filter((event) => event.at.less(cell.end) && cell.at.less(event.at.plus(event.length)));
      box.append(pictureOf(cell, touching, own, scale, { first: cell === drawn[0], last: cell === drawn.at(-1) }));
    }
    return box;
  });
}
