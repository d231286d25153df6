/* The page on which a viewer taps what both hands hold and reads its name. What is held stands in the page's address. */

import { keyButtons, keyText, nameButtons } from "./keys-board.js";
import { sentencesOf } from "./keys-sentences.js";
import { keyOf } from "./tones.js";
import { noteOf } from "./typed.js";

const MIDDLE_C = 60;
const SOUNDS = 2.4;
const LETTERS = { left: "keys-page-left-letter", right: "keys-page-right-letter" };
const HANDS = Object.keys(LETTERS);

const form = document.querySelector(".held");
const box = form.querySelector(".held__keys");
const said = form.querySelector(".held__said");
const news = form.querySelector(".held__news");
const phrases = JSON.parse(document.querySelector(".held__phrases").textContent);
const asked = new URLSearchParams(location.search);

/** The keys that each hand holds, as MIDI numbers. */
const held = { left: new Set(keysIn(asked.get("left"))), right: new Set(keysIn(asked.get("right"))) };

const buttons = keyButtons(phrases);
box.append(...buttons.values());

/** Return the keys of note names such as C3 F#3; others are passed over. */
function keysIn(text) {
  return (text ?? "").split(/[\s,]+/).flatMap((part) => {
    const note = noteOf(part, null);
    return note?.octave ? [12 * (Number(note.octave) + 1) + keyOf(note.tone)] : [];
  });
}

const sorted = (hand) => [...held[hand]].sort((a, b) => a - b);

function link() {
  const told = HANDS.filter((hand) => held[hand].size).map(
    (hand) => `${hand}=${sorted(hand).map((key) => encodeURIComponent(keyText(key))).join("+")}`,
  );
  return location.pathname + (told.length ? `?${told.join("&")}` : "");
}

function show() {
  for (const [key, button] of buttons) {
    const hand = HANDS.find((one) => held[one].has(key));
    button.setAttribute("aria-pressed", Boolean(hand));
    button.dataset.hand = hand ? phrases[LETTERS[hand]] : "";
  }
  for (const [act, keys] of [["play", held.left.size + held.right.size], ["play-left", held.left.size], ["play-right", held.right.size]]) {
    form.querySelector(`[data-act=${act}]`).disabled = !keys;
  }
  said.replaceChildren(...sentencesOf(sorted("left"), sorted("right"), phrases, document.querySelector(".look-up").dataset.base));
  history.replaceState(history.state, "", link());
  offerToCopy();
}

/** Let the buttons that copy have what is shown: its address, and its sentences as a reply. */
function offerToCopy() {
  const { href } = new URL(link(), location);
  for (const { dataset } of document.querySelectorAll("[data-copy-link]")) dataset.copyLink = href;
  const reply = [...said.children].map((part) => part.textContent).join("\n");
  for (const { dataset } of document.querySelectorAll("[data-copy]")) dataset.copy = `${reply}\n{link}`;
}

function hold(key, hand) {
  for (const one of HANDS) if (one !== hand) held[one].delete(key);
  held[hand].add(key);
}

function tapped(key) {
  const hand = form.elements.hand.value;
  if (held[hand].has(key)) held[hand].delete(key);
  else {
    hold(key, hand);
    sound([key]);
  }
  show();
}

/** Move the focus among the keys: by a key with left and right, by an octave with up and down. */
function moved(event) {
  const step = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: 12, ArrowDown: -12 }[event.key];
  const from = Number(event.target.dataset.key);
  const next = step && buttons.get(from + step);
  if (!next) return;
  event.preventDefault();
  focusable(from + step);
  next.focus();
}

function focusable(key) {
  for (const [one, button] of buttons) button.tabIndex = one === key ? 0 : -1;
}

/** Let keys sound together for a while, each lit on its button. */
async function sound(keys) {
  const { start } = await import("./sound.js");
  const lights = (lit) => {
    for (const [key, button] of buttons) button.classList.toggle("key--lit", lit.includes(key));
  };
  start(keys.map((key) => ({ key, at: 0, length: SOUNDS, light: key })), { onLight: lights, onEnd: () => lights([]) });
}

const acts = {
  play: () => sound(HANDS.flatMap(sorted)),
  "play-left": () => sound(sorted("left")),
  "play-right": () => sound(sorted("right")),
  clear() {
    for (const hand of HANDS) held[hand].clear();
    show();
  },
  async midi() {
    const access = await navigator.requestMIDIAccess();
    for (const input of access.inputs.values()) input.onmidimessage = ({ data }) => played(data);
    news.textContent = phrases[access.inputs.size ? "keys-page-midi-ready" : "keys-page-midi-none"];
  },
};

/** Hold a key while it is down on a MIDI keyboard: the left hand's below middle C (MIDI 1.0: 9n is on, 8n is off). */
function played([status, key, velocity]) {
  const isOn = status >> 4 === 9 && velocity > 0;
  if (!isOn && status >> 4 !== 8 && status >> 4 !== 9) return;
  if (isOn) hold(key, key < MIDDLE_C ? "left" : "right");
  else for (const hand of HANDS) held[hand].delete(key);
  show();
}

box.addEventListener("click", ({ target }) => {
  const key = target.closest("button")?.dataset.key;
  if (!key) return;
  focusable(Number(key));
  tapped(Number(key));
});
box.addEventListener("keydown", moved);
form.addEventListener("click", ({ target }) => acts[target.dataset?.act]?.()?.catch?.(() => {
  news.textContent = phrases["keys-page-failed"];
}));
document.addEventListener("note-names", () => {
  nameButtons(buttons, phrases);
  show();
});
form.addEventListener("submit", (event) => event.preventDefault());

form.querySelector("[data-act=midi]").hidden = !navigator.requestMIDIAccess;
form.hidden = false;
focusable(MIDDLE_C);
show();
buttons.get(Math.min(MIDDLE_C, ...held.left, ...held.right)).scrollIntoView({ inline: "center", block: "nearest" });
