/* The look-up's box: an editable combobox with a listbox (WAI-ARIA Authoring Practices), its answers and its news. */

import { lookUp } from "./answers.js";
import { pagesWithText } from "./full-text.js";
import { keyboard, keysOf } from "./keyboard.js";
import { phrase } from "./tables.js";
import { symbolParts } from "./typeset.js";

const PAUSE = 500;

function made(name, className, ...content) {
  const element = document.createElement(name);
  if (className) element.className = className;
  element.append(...content);
  return element;
}

function symbolElement(symbol) {
  const [plain, raised, bass] = symbolParts(symbol);
  const element = made("span", "symbol", plain, ...(raised ? [made("sup", "", raised)] : []), bass);
  element.setAttribute("aria-hidden", "true");
  return element;
}

/** Bring the look-up's form to life. */
export function lookUpBox(form) {
  const input = form.elements.q;
  const panel = form.querySelector(".look-up__panel");
  const list = form.querySelector("[role=listbox]");
  const none = form.querySelector(".look-up__none");
  const news = form.querySelector("[role=status]");
  const base = new URL(`${form.dataset.base}/`, location.href);
  const link = (address) => new URL(`.${address}`, base).href;
  let active = -1;
  let waiting;

  input.setAttribute("aria-controls", list.id);
  const options = () => [...list.querySelectorAll("[role=option]")];

  function option(answer, best) {
    const element = made("a", best ? "hit hit--best" : "hit");
    element.setAttribute("role", "option");
    element.setAttribute("aria-selected", "false");
    element.tabIndex = -1;
    element.href = link(answer.address);
    const head = made("span", "hit__head");
    if (answer.symbol) head.append(symbolElement(answer.symbol), " ");
    head.append(made("span", "hit__name", answer.name));
    element.append(head);
    if (answer.line) element.append(" ", made("span", "hit__line", answer.line));
    if (best && answer.chord) element.append(keyboard(keysOf(answer.chord)));
    if (answer.remark && best) element.append(" ", made("span", "hit__remark", answer.remark));
    return element;
  }

  function group(name, className, members) {
    const element = made("div", className, ...members);
    element.setAttribute("role", "group");
    element.setAttribute("aria-label", phrase(name));
    return element;
  }

  function number() {
    options().forEach((element, index) => {
      element.id = `look-up-${index}`;
    });
  }

  function show() {
    const question = input.value.trim();
    activate(-1);
    if (!question) {
      close();
      return;
    }
    const { best, others, nearest } = lookUp(question);
    const found = best.length > 0;
    list.replaceChildren();
    if (found) list.append(group("look-up-best", "hits--best", best.map((answer) => option(answer, true))));
    const more = found ? others : nearest;
    if (more.length) {
      list.append(group(found ? "look-up-others" : "look-up-nearest", "hits", more.map((answer) => option(answer, false))));
    }
    list.append(group("look-up-elsewhere", "hits hits--last", elsewhere(question, found)));
    none.hidden = found;
    none.textContent = found ? "" : phrase(nearest.length ? "look-up-none-nearest" : "look-up-none", { text: question });
    number();
    open();
    announce(found ? best[0] : null, best.length + others.length);
  }

  function elsewhere(question, found) {
    const text = made("a", "hit hit--more", phrase("look-up-in-text"));
    text.setAttribute("role", "option");
    text.setAttribute("aria-selected", "false");
    text.tabIndex = -1;
    text.href = link(`/?q=${encodeURIComponent(question)}`);
    text.dataset.inText = question;
    const index = { address: "/chord-symbols/", name: phrase("look-up-index"), symbol: "" };
    return found ? [text] : [option(index, false), text];
  }

  async function searchText(row) {
    const question = row.dataset.inText;
    const pages = await pagesWithText(question, base);
    if (!row.isConnected) return;
    row.remove();
    list.lastElementChild?.childElementCount || list.lastElementChild?.remove();
    if (pages.length) {
      list.append(group("look-up-text", "hits hits--text", pages.map((page) => option({ ...page, symbol: "" }, false))));
    }
    number();
    activate(-1);
    news.textContent = phrase("look-up-text-count", { count: pages.length });
    none.hidden = pages.length > 0 || none.textContent === "";
    if (!pages.length) {
      none.hidden = false;
      none.textContent = phrase("look-up-text-none", { text: question });
    }
  }

  function announce(first, count) {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      if (!first) news.textContent = none.textContent;
      else {
        const answer = [first.name, first.line].filter(Boolean).join(": ");
        news.textContent = phrase(count === 1 ? "look-up-count-one" : "look-up-count", { count, answer });
      }
    }, PAUSE);
  }

  function open() {
    panel.hidden = false;
    input.setAttribute("aria-expanded", "true");
  }

  function close() {
    clearTimeout(waiting);
    panel.hidden = true;
    news.textContent = "";
    input.setAttribute("aria-expanded", "false");
    activate(-1);
  }

  function activate(index) {
    const all = options();
    all[active]?.setAttribute("aria-selected", "false");
    active = index;
    const chosen = all[index];
    if (!chosen) {
      input.removeAttribute("aria-activedescendant");
      return;
    }
    chosen.setAttribute("aria-selected", "true");
    input.setAttribute("aria-activedescendant", chosen.id);
    chosen.scrollIntoView({ block: "nearest" });
  }

  function follow(element) {
    if (element.dataset.inText) searchText(element);
    else {
      history.replaceState(history.state, "", `?q=${encodeURIComponent(input.value.trim())}${location.hash}`);
      location.assign(element.href);
    }
  }

  input.addEventListener("input", show);
  input.addEventListener("focus", () => panel.hidden && show());
  input.addEventListener("keydown", (event) => {
    const count = options().length;
    if (event.isComposing) return;
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (panel.hidden) show();
      else if (event.key === "ArrowDown") activate(active + 1 < count ? active + 1 : -1);
      else activate(active >= 0 ? active - 1 : count - 1);
    } else if (event.key === "Escape") {
      event.preventDefault();
      if (panel.hidden) input.value = "";
      else close();
    } else if (event.key === "Tab") {
      close();
    }
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (panel.hidden) show();
    const chosen = options()[active] ?? (list.querySelector(".hit--best") || null);
    if (chosen) follow(chosen);
  });
  list.addEventListener("pointerdown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const chosen = event.target.closest("[role=option]");
    if (!chosen || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    follow(chosen);
  });
  document.addEventListener("pointerdown", (event) => form.contains(event.target) || close());
  document.addEventListener("keydown", (event) => event.key === "Escape" && document.activeElement !== input && close());
  form.addEventListener("focusout", (event) => event.relatedTarget && !form.contains(event.relatedTarget) && close());
  if (input.value) show();
}
