/* The tables that the builder wrote from its core; they lie beside the scripts and are fetched once. */

const tables = await (await fetch(new URL("./tables.json", import.meta.url))).json();

const rowsOf = (columns) =>
  columns.id.map((id, place) => {
    const row = Object.fromEntries(Object.entries(columns).map(([key, values]) => [key, values[place]]));
    return { ...row, name: row.name ?? id.replaceAll("-", " "), words: row.words.split("|").filter(Boolean) };
  });

const chords = rowsOf(tables.glossary.chords);
Object.assign(tables.glossary, { chords, pages: rowsOf(tables.glossary.pages) });
tables.glossary.chord = Object.fromEntries(chords.map((entry) => [entry.id, entry]));

export const { reading, typesetting, naming, glossary, counting, asking, phrases } = tables;

/** Return the sentence of an id, its placeholders filled. */
export function phrase(id, values = {}) {
  return phrases[id].replace(/\{([a-z_]+)\}/g, (_, name) => values[name]);
}
