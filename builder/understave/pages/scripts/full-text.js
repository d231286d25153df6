/* The words of all pages, as the site's index of its text has them. */

import { isFiller, plain, wordsOf } from "./words.js";

const MOST = 8;
const AROUND = 60;

let index;

/** Return the pages whose text has all of a question's words: address, title and the place in the text. */
export async function pagesWithText(question, base) {
  index ??= fetch(new URL("search/search_index.json", base)).then((answer) => answer.json());
  const { docs } = await index;
  const all = wordsOf(question);
  const telling = all.filter((word) => !isFiller(word));
  const words = telling.length ? telling : all;
  const found = [];
  for (const { location, title, text } of docs) {
    const inTitle = plain(title);
    const inText = plain(text);
    if (!words.every((word) => inTitle.includes(word) || inText.includes(word))) continue;
    found.push({ location, title, text, score: words.filter((word) => inTitle.includes(word)).length });
  }
  found.sort((a, b) => b.score - a.score);
  return found.slice(0, MOST).map(({ location, title, text }) => ({
    address: `/${location}`,
    name: read(title),
    line: excerpt(read(text), words),
  }));
}

function read(html) {
  return new DOMParser().parseFromString(html, "text/html").body.textContent.replace(/\s+/g, " ").trim();
}

function excerpt(text, words) {
  const small = plain(text);
  const place = Math.max(0, Math.min(...words.map((word) => small.indexOf(word)).filter((at) => at >= 0), small.length) - AROUND / 2);
  const part = text.slice(place, place + 2 * AROUND);
  return (place ? "…" : "") + part + (place + part.length < text.length ? "…" : "");
}
