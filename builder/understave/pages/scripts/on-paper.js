/* Prints what is asked for on paper. Without this script the choice waits for the browser's own printing. */

/** What practice sheets are filled in on: paper doesn't wait for pictures. */
const EMPTY = ["blank-staff.svg", "blank-keys.svg"];

function fetched(name) {
  const picture = new Image();
  picture.src = new URL(name, import.meta.url);
  return picture.decode();
}

document.querySelector(".on-paper").addEventListener("click", async ({ target }) => {
  if (!target.matches("a")) return;
  await Promise.allSettled(target.id === "practice" ? EMPTY.map(fetched) : []);
  setTimeout(() => print());
});
