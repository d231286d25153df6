/* Makes the look-up ready, and fetches what a part of a page needs: everything else comes when it is first used. */

/** The module of each part of a page that has scripts of its own. */
const PARTS = {
  ".counter": "./count-page.js",
};

for (const [part, module] of Object.entries(PARTS)) if (document.querySelector(part)) import(module);

const form = document.querySelector("form.look-up");
const input = form?.elements.q;
const asked = new URLSearchParams(location.search).get("q");

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
