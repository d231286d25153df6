/*
 * Copies links and replies. A button's `data-copy` holds a text, `data-copy-link` an address: an empty one is the
 * address shown. In a text {link} is that address and a tone in braces, {B♭}, has the name that the reader chose.
 * The nearest `.copied` then says `data-copied`; where the browser refuses, it offers the text to be copied by hand.
 */

import { withNames } from "./note-names.js";

function textOf({ dataset }) {
  const link = dataset.copyLink || location.href;
  if (dataset.copy === undefined) return link;
  return withNames(dataset.copy).replaceAll("{link}", link);
}

function newsBeside(button) {
  let around = button.parentElement;
  while (around && !around.querySelector(".copied")) around = around.parentElement;
  return around?.querySelector(".copied");
}

function field(text) {
  const made = document.createElement("textarea");
  made.readOnly = true;
  made.value = text;
  return made;
}

/** Copy the old way, from a field that is selected; tells whether the browser did. */
function copiedFromField(text, button) {
  const made = field(text);
  made.className = "copied-from";
  button.after(made);
  made.select();
  let done = false;
  try {
    done = document.execCommand("copy");
  } catch {
    done = false;
  }
  made.remove();
  button.focus();
  return done;
}

async function isCopied(text, button) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return copiedFromField(text, button);
  }
}

async function copy(button) {
  const text = textOf(button);
  const news = newsBeside(button);
  news?.replaceChildren();
  const done = await isCopied(text, button);
  if (!news) return;
  if (done) news.textContent = button.dataset.copied;
  else {
    const byHand = field(text);
    byHand.setAttribute("aria-label", news.dataset.byHand);
    news.replaceChildren(news.dataset.byHand, byHand);
    byHand.select();
  }
}

document.addEventListener("click", ({ target }) => {
  const button = target.closest("[data-copy], [data-copy-link]");
  if (button) copy(button);
});
document.documentElement.dataset.copies = "";
