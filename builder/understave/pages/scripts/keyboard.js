/* A small keyboard with a chord's keys marked. */

import { intervalOf, keyOf, pitchClass, sameTone } from "./tones.js";

const SVG = "http://www.w3.org/2000/svg";
const WHITE = [0, 2, 4, 5, 7, 9, 11];
const WIDTH = 10;
const HEIGHT = 38;
const BLACK_WIDTH = 6;
const BLACK_HEIGHT = 23;
const ENLARGED = 1.25;
const FIRST = 48;

const isWhite = (key) => WHITE.includes(key % 12);

/** Return the keys of a chord: its degrees above the root, or all of it above another bass. */
export function keysOf({ root, degrees, tones, bass }) {
  if (sameTone(root, bass)) return degrees.map((degree) => FIRST + pitchClass(root) + intervalOf(degree)[1]);
  const lowest = FIRST + pitchClass(bass);
  return [lowest, ...tones.map((tone) => lowest + (((keyOf(tone) - lowest) % 12) + 12) % 12)];
}

function drawn(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

/** Return a drawing of the keyboard, from a C or F to an E or B, with some keys marked. */
export function keyboard(held) {
  let first = Math.min(...held);
  let last = Math.max(...held);
  while (![0, 5].includes(first % 12)) first -= 1;
  while (![4, 11].includes(last % 12)) last += 1;
  const keys = Array.from({ length: last - first + 1 }, (_, index) => first + index);
  const left = new Map();
  let width = 0;
  for (const key of keys) {
    left.set(key, isWhite(key) ? width : width - BLACK_WIDTH / 2);
    if (isWhite(key)) width += WIDTH;
  }
  const outline = (some, wide, high) => some.map((key) => `M${left.get(key)} 1v${high}h${wide}v-${high}z`).join("");
  const svg = drawn("svg", { class: "keyboard", viewBox: `-1 0 ${width + 2} ${HEIGHT + 2}`, "aria-hidden": "true" });
  svg.setAttribute("width", Math.round((width + 2) * ENLARGED));
  svg.setAttribute("height", Math.round((HEIGHT + 2) * ENLARGED));
  svg.append(drawn("path", { class: "white-keys", d: outline(keys.filter(isWhite), WIDTH, HEIGHT) }));
  svg.append(drawn("path", { class: "black-keys", d: outline(keys.filter((key) => !isWhite(key)), BLACK_WIDTH, BLACK_HEIGHT) }));
  for (const key of new Set(held)) {
    const white = isWhite(key);
    svg.append(drawn("circle", {
      class: white ? "held-l" : "held-l on-black",
      cx: left.get(key) + (white ? WIDTH : BLACK_WIDTH) / 2,
      cy: white ? HEIGHT - 6 : BLACK_HEIGHT - 5,
      r: white ? 3.4 : 2.4,
    }));
  }
  return svg;
}
