/* Makes the look-up ready, and fetches what a part of a page needs: everything else comes when it is first used. */

/** The module of each part of a page that has scripts of its own. */
const PARTS = {
  ".counter": "./count-page.js",
  ".player": "./player.js",
  ".held": "./keys-page.js",
  ".note-names, .look-up": "./name-setting.js",
  "[data-copy], [data-copy-link]": "./copy.js",
  ".on-paper": "./on-paper.js",
};

for (const [part, module] of Object.entries(PARTS)) if (document.querySelector(part)) import(module);

const form = document.querySelector("form.look-up");
const input = form?.elements.q;
const lost = document.querySelector(".lost");
const asked = new URLSearchParams(location.search).get("q") ?? (lost && wordsOf(location.pathname));

/** What somebody may have looked for under an address that isn't there: the words of its last part. */
function wordsOf(path) {
  try {
    return decodeURIComponent(path).split("/").filter(Boolean).at(-1)?.replace(/[-_]+|\.html?$/g, " ").trim();
  } catch {
    return "";
  }
}

const worker = navigator.serviceWorker;

/* Pages stay readable without a connection. The first one was there before the worker: it tells what it has loaded. */
if (worker && form) {
  const seen = () => [location.href, ...performance.getEntriesByType("resource").map(({ name }) => name)];
  if (!worker.controller) worker.ready.then(({ active }) => active.postMessage(seen()));
  worker.register(new URL("service-worker.js", new URL(`${form.dataset.base}/`, location))).catch(() => {});
}

let opened;
let ready = false;

function open() {
  opened ??= import("./box.js").then(({ lookUpBox }) => {
    lookUpBox(form);
    ready = true;
  });
  return opened;
}

if (input) {
  for (const [name, value] of [["role", "combobox"], ["aria-expanded", "false"], ["aria-autocomplete", "list"]]) {
    input.setAttribute(name, value);
  }
  input.addEventListener("focus", open, { once: true });
  input.addEventListener("input", open, { once: true });
  form.addEventListener("submit", (event) => {
    if (ready) return;
    event.preventDefault();
    open().then(() => form.requestSubmit());
  });
  if (asked) {
    input.value = asked;
    open();
  }
}
