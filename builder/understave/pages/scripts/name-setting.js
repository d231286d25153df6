/* Shows the chosen note names on a page: in marked tones, beside notation, in what pictures say; symbols keep letters. */

import { choose, LETTERS, named, namedForms, shownNames } from "./note-names.js";

const TONES = ".tone, svg.notation .tones .letter, svg.keyboard .key-name";
const SAID = "svg.notation > title, svg.notation > desc, svg.keyboard > title, svg.keyboard > desc, .said";

/** What other parts of a page listen to, to show what they made themselves under the chosen names. */
const NEWS = "note-names";

/** Room between a tone's letter and its degree beside the staff, in the drawing's units. */
const GAP = 130;

const select = document.querySelector(".note-names select");
const originals = new WeakMap();

const original = (key, made) => originals.get(key) ?? (originals.set(key, made()), originals.get(key));

const textOf = (element) => original(element, () => element.textContent);

/** Return a pattern of all tones that are said within a sentence; what belongs to a symbol isn't met. */
function saidForms() {
  const forms = namedForms().sort((a, b) => b.length - a.length);
  return forms.length ? new RegExp(`(?<![\\p{L}\\d./♭♯])(?:${forms.join("|")})(?![\\p{L}\\d/:♭♯°øΔ(]|\\.\\p{L})`, "gu") : null;
}

/** Move the degrees beside a staff, so that longer names have room. */
function fit(svg) {
  const degrees = [...svg.querySelectorAll(".tones .degree")];
  if (!degrees.length) return;
  const letters = [...svg.querySelectorAll(".tones .letter")];
  const inner = svg.querySelector("svg");
  const own = original(svg, () => ({
    place: Number(degrees[0].getAttribute("x")),
    box: svg.getAttribute("viewBox").split(" ").map(Number),
    width: Number(svg.getAttribute("width")),
  }));
  const start = Number(letters[0].getAttribute("x"));
  const widest = Math.max(...letters.map((letter) => letter.getComputedTextLength()));
  const more = shownNames() === LETTERS ? 0 : Math.max(0, Math.round(start + widest + GAP - own.place));
  const [left, top, width, height] = own.box;
  for (const degree of degrees) degree.setAttribute("x", own.place + more);
  svg.setAttribute("viewBox", `${left} ${top} ${width + more / 10} ${height}`);
  svg.setAttribute("width", Math.round((own.width * (width + more / 10)) / width));
  inner.setAttribute("viewBox", `0 0 ${width * 10 + more} ${height * 10}`);
}

/** Tell whether a tone is the first word of a sentence. */
function startsSentence(element) {
  const before = element.previousSibling;
  return before ? /[.!?]\s+$/.test(before.textContent) : element.parentElement.matches("p");
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function show() {
  const language = shownNames();
  for (const element of document.querySelectorAll(TONES)) {
    const name = named(textOf(element));
    element.textContent = startsSentence(element) ? capital(name) : name;
    if (element.classList.contains("tone")) element.lang = language;
  }
  const forms = saidForms();
  for (const element of document.querySelectorAll(SAID)) {
    const text = textOf(element);
    element.textContent = forms ? text.replace(forms, named) : text;
  }
  document.querySelectorAll("svg.notation:has(.tones)").forEach(fit);
  document.documentElement.dataset.noteNames = language;
  if (select) select.value = language;
  document.dispatchEvent(new Event(NEWS));
}

select?.addEventListener("change", async () => {
  await choose(select.value);
  show();
});

if (shownNames() === LETTERS) document.documentElement.dataset.noteNames = LETTERS;
else {
  show();
  choose(shownNames()).then(show);
}
