/* The page on which a viewer builds a measure and reads its count. What stands there is in the page's address. */

import { answer } from "./count-answer.js";
import { blocks } from "./count-blocks.js";
import { noteWords, problemSentence } from "./count-sentences.js";
import { phrase, table } from "./counting-table.js";
import { wordOf } from "./counting.js";
import { NONE } from "./fractions.js";
import { beatLength, fittingBeats, parseMeter, recipLength, tokenOf, tokenParts, tokensOf } from "./rhythms.js";

/** The longest rhythm that is shown: several measures of the shortest notes that have a button. */
const MOST_TOKENS = 128;

/** How long the address waits for more typing, in milliseconds: browsers refuse too many changes. */
const ADDRESS_WAITS = 300;

const form = document.querySelector(".counter");
const part = (name) => form.querySelector(`.counter__${name}`);
const { meters, meter: typedMeter, system, beat, rhythm: typed } = form.elements;
const box = form.querySelector(".blocks");

const asked = new URLSearchParams(location.search);
const state = {
  rhythm: asked.get("rhythm") ?? "",
  meter: (asked.get("meter") ?? form.dataset.meter).replaceAll(" ", "+"),
  system: asked.get("system") ?? form.dataset.system,
  beat: asked.get("beat") ?? "",
};

/** The rhythms that undoing goes back to, and the one that stood before what is being typed. */
const earlier = [];
let settled = state.rhythm;

const marked = (name) => form.querySelector(`[data-mark=${name}]`);
const isPressed = (name) => marked(name).getAttribute("aria-pressed") === "true";
const press = (name, pressed) => marked(name).setAttribute("aria-pressed", pressed);

const inAddress = (text) => encodeURIComponent(text).replaceAll("%20", "+").replaceAll("%2F", "/");

function link() {
  const told = Object.entries(state).filter(([name, value]) => value || name === "rhythm");
  const pairs = told.map(([name, value]) => `${name}=${inAddress(value)}`);
  return `${location.pathname}?${pairs.join("&")}`;
}

let waiting;

function keepInAddress() {
  clearTimeout(waiting);
  waiting = setTimeout(() => history.replaceState(history.state, "", link()), ADDRESS_WAITS);
}

function meterOrNull() {
  try {
    return parseMeter(state.meter);
  } catch {
    return null;
  }
}

function option(value, text) {
  const made = document.createElement("option");
  made.value = value;
  made.textContent = text;
  return made;
}

/** Show what the address or the buttons chose in the fields. */
function showChoices() {
  const isOffered = [...meters.options].some(({ value }) => value === state.meter);
  meters.value = isOffered ? state.meter : "";
  typedMeter.closest("div").hidden = isOffered;
  if (document.activeElement !== typedMeter) typedMeter.value = state.meter;
  system.value = state.system;
  const meter = meterOrNull();
  const names = meter ? fittingBeats(meter) : [];
  beat.replaceChildren(
    option("", phrase("count-usual-beat")),
    ...names.map((name) => option(name, name === "measure" ? phrase("count-whole-measure") : noteWords(beatLength(name, meter)))),
  );
  beat.value = state.beat;
  if (document.activeElement !== typed) typed.value = state.rhythm;
}

function emptyMeasures() {
  const meter = meterOrNull();
  return meter && [{ number: 1, at: NONE, end: NONE, missing: NONE, meter, events: [] }];
}

/** Return what there is to show, and the one line of news: what is wrong, or what to do. */
function shown() {
  const found = tokensOf(state.rhythm).length;
  if (!found) return { measures: emptyMeasures(), counted: null, news: phrase("count-start") };
  if (found > MOST_TOKENS) {
    return { measures: null, counted: null, news: phrase("count-too-long", { found, most: MOST_TOKENS }) };
  }
  const answered = answer(state);
  return { ...answered, news: answered.error ? problemSentence(answered.error) : "" };
}

/** Tell whether there are measures, a system and a beat that divides them, so that blocks can be drawn. */
function canDraw(measures) {
  const fits = ({ meter }) => !state.beat || fittingBeats(meter).includes(state.beat);
  return Object.hasOwn(table.systems, state.system) && Boolean(measures?.every(fits));
}

function drawn(measures, counted) {
  const own = { system: table.systems[state.system], beat: state.beat || null };
  return blocks({ measures, counts: counted?.counts ?? [], ...own, room: box.clientWidth });
}

/** Show the rhythm, its count and the reasons, or what is wrong. */
function show() {
  showChoices();
  const { href } = new URL(link(), location.href);
  for (const { dataset } of document.querySelectorAll("[data-copy-link]")) dataset.copyLink = href;
  const { measures, counted, sentences, news } = shown();
  box.replaceChildren(...(canDraw(measures) ? drawn(measures, counted) : []));
  part("line").textContent = counted?.line ?? "";
  part("news").textContent = news;
  part("why").hidden = !counted;
  if (counted) {
    part("why").querySelector("ul").replaceChildren(...sentences.map((text) => filled("li", text)));
    part("why").querySelector("tbody").replaceChildren(...rowsOf(measures, counted.counts));
  }
  form.querySelector("[data-act=undo]").disabled = !earlier.length && settled === state.rhythm;
  form.querySelector("[data-act=play]").disabled = !counted;
  for (const name of ["clear", "tie", "bar-line"]) form.querySelector(`[data-act=${name}]`).disabled = !tokensOf(state.rhythm).length;
}

function filled(name, text) {
  const made = document.createElement(name);
  made.textContent = text;
  return made;
}

/** Return a row for each place: where it is, what to say, what happens there. */
function rowsOf(measures, counts) {
  const events = measures.flatMap((measure) => measure.events);
  let [index, number, before] = [0, 0, ""];
  return counts.map((one) => {
    while (index + 1 < events.length && !one.at.less(events[index + 1].at)) index += 1;
    const beatWords = one.measure ? phrase("measure-beat", one) : phrase("pickup-beat", one);
    number = beatWords === before ? number + 1 : 1;
    before = beatWords;
    const where = number > 1 ? phrase("count-place", { beat: beatWords, number }) : beatWords;
    const happens = whatHappens(one, events[index]);
    const row = document.createElement("tr");
    const head = filled("th", where);
    head.scope = "row";
    row.append(head, filled("td", wordOf(one)), filled("td", one.says === null ? `${happens}; ${phrase("count-no-word")}` : happens));
    return row;
  });
}

function whatHappens({ sounds }, event) {
  if (sounds) return phrase("count-starts", { note: noteWords(recipLength(event.token)) });
  return event.rests ? phrase("count-rest") : phrase("count-held");
}

/** Keep what was typed as one step that can be undone. */
function settle() {
  if (settled !== state.rhythm) earlier.push(settled);
  settled = state.rhythm;
}

/** Take another rhythm, the one before being kept for undoing. */
function change(rhythm) {
  settle();
  earlier.push(state.rhythm);
  take(rhythm);
}

function take(rhythm) {
  state.rhythm = rhythm;
  settled = rhythm;
  refresh();
}

function refresh() {
  sounding?.stop();
  show();
  keepInAddress();
}

/** Return how the last measure stands: whether bar lines part the measures, whether it is full, and within a tuplet. */
function lastMeasure(rhythm) {
  const { measures } = answer({ ...state, rhythm });
  const last = measures?.at(-1);
  if (!last) return { isFull: false, inTuplet: false };
  const length = last.end.minus(last.at).plus(last.missing);
  const isOdd = length.under & (length.under - 1n);
  return { isFull: length.is(last.meter.length), inTuplet: isOdd !== 0n };
}

/** Add a note or rest behind the rhythm; where bar lines stand, a full measure gets its own first. */
function add(token) {
  const tokens = tokensOf(state.rhythm);
  if (tokens.includes("|") && tokens.at(-1) !== "|" && lastMeasure(state.rhythm).isFull) tokens.push("|");
  const before = tokens.findLast((one) => tokenParts(one));
  const held = Boolean(before && tokenParts(before).holds) && !isPressed("rest");
  const bare = token + (isPressed("dotted") ? "." : "");
  change([...tokens, tokenOf({ bare, rests: isPressed("rest"), held, holds: false })].join(" "));
  press("dotted", false);
  press("rest", false);
  if (!lastMeasure(state.rhythm).inTuplet) press("triplet", false);
}

/** Tie the last note to the next one, or take that tie away. */
function tie() {
  const tokens = tokensOf(state.rhythm);
  const place = tokens.findLastIndex((one) => tokenParts(one));
  const parts = place < 0 ? null : tokenParts(tokens[place]);
  if (!parts || parts.rests) return;
  tokens[place] = tokenOf({ ...parts, holds: !parts.holds });
  change(tokens.join(" "));
}

/** End the measure here. The first bar line brings those of the measures before with it, for then all need theirs. */
function barLine() {
  const tokens = tokensOf(state.rhythm);
  const { measures } = answer(state);
  const isPlain = measures && tokens.every((token) => tokenParts(token));
  const written = ({ events }) => events.map((event) => tokenOf({ ...event, bare: event.token })).join(" ");
  change(`${isPlain ? measures.map(written).join(" | ") : tokens.join(" ")} |`);
}

let sounding = null;

/** Play what is counted, each word lit in its time; pressed again, stop. */
async function play() {
  if (sounding) return sounding.stop();
  const answered = answer(state);
  if (!answered.counted) return;
  const [{ start }, { countEvents }] = await Promise.all([import("./sound.js"), import("./count-sound.js")]);
  const { tempo, clicks, again } = form.elements;
  const settings = { tempo: Math.min(tempo.max, Math.max(tempo.min, tempo.value || tempo.defaultValue)), beat: state.beat, clicks: clicks.checked };
  const { events, round } = countEvents(answered, settings);
  const button = form.querySelector("[data-act=play]");
  const lit = (places) => {
    for (const place of box.querySelectorAll("[data-place]")) place.classList.toggle("lit", places.includes(Number(place.dataset.place)));
  };
  sounding = start(events, {
    again: again.checked ? round : 0,
    onLight: lit,
    onEnd: () => {
      lit([]);
      sounding = null;
      button.textContent = button.dataset.play;
    },
  });
  button.textContent = button.dataset.stop;
}

const ACTS = {
  play,
  tie,
  "bar-line": barLine,
  clear: () => change(""),
  undo: () => {
    settle();
    take(earlier.pop());
  },
};

form.addEventListener("click", ({ target }) => {
  const button = target.closest("button");
  if (!button) return;
  const { token, triplet, mark, act } = button.dataset;
  if (token) add(isPressed("triplet") && triplet ? triplet : token);
  if (mark) press(mark, !isPressed(mark));
  if (act) ACTS[act]();
});
form.addEventListener("submit", (event) => event.preventDefault());

function chooseMeter(text) {
  state.meter = text;
  const meter = meterOrNull();
  if (meter && state.beat && !fittingBeats(meter).includes(state.beat)) state.beat = "";
  refresh();
}

meters.addEventListener("change", () => {
  if (meters.value) {
    chooseMeter(meters.value);
  } else {
    typedMeter.closest("div").hidden = false;
    typedMeter.focus();
  }
});
typedMeter.addEventListener("change", () => chooseMeter(typedMeter.value.trim()));
system.addEventListener("change", () => {
  state.system = system.value;
  refresh();
});
beat.addEventListener("change", () => {
  state.beat = beat.value;
  refresh();
});
typed.addEventListener("change", settle);
typed.addEventListener("input", () => {
  state.rhythm = typed.value;
  refresh();
});

form.hidden = false;
show();
