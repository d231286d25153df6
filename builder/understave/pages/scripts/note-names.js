/* Note names as the reader knows them: do ré mi, or H; the choice and its names are remembered on the device. */

const KEPT = "understave-note-names";
const TABLE = new URL("./note-names.json", import.meta.url).href;

/** What pages are written with. */
export const LETTERS = "en";

let kept = read();

function read() {
  try {
    return JSON.parse(localStorage.getItem(KEPT));
  } catch {
    return null;
  }
}

function keep() {
  try {
    if (kept) localStorage.setItem(KEPT, JSON.stringify(kept));
    else localStorage.removeItem(KEPT);
  } catch {
    // a device that remembers nothing still shows what was chosen
  }
}

/** Return the language whose names are shown. */
export const shownNames = () => (kept?.names ? kept.language : LETTERS);

/** Return the name of a tone in the form in which pages have it, written or said; other texts stay. */
export const named = (form) => (kept?.names && Object.hasOwn(kept.names, form) ? kept.names[form] : form);

const TONE = /\{([A-G][♭♯𝄫𝄪]*)\}/gu;

/** Return a text whose tones stand in braces, {B♭}, with the names that are shown. */
export const withNames = (text) => text.replace(TONE, (_, form) => named(form));

/** Return the forms that have a name of their own, none while letters are shown. */
export const namedForms = () => Object.keys(kept?.names ?? {});

/** Show the names of a language from now on. Names of an older build are fetched anew. */
export async function choose(language) {
  if (language === LETTERS) kept = null;
  else if (kept?.language !== language || kept.table !== TABLE) {
    const { forms, names } = await (await fetch(TABLE)).json();
    if (!Object.hasOwn(names, language)) return;
    kept = { language, table: TABLE, names: Object.fromEntries(forms.map((form, place) => [form, names[language][place]])) };
  }
  keep();
}
