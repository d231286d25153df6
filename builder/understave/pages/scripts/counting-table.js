/* The table that counting walks, which the builder wrote from its core; it lies beside the scripts. */

export const table = await (await fetch(new URL("./counting.json", import.meta.url))).json();

/** Return the sentence of an id, its placeholders filled. */
export function phrase(id, values = {}) {
  return table.phrases[id].replace(/\{([a-z_]+)\}/g, (_, name) => values[name]);
}
