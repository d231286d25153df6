/* Players: the buttons under an example that play it, and the lights on its staff, its count and its keyboard. */

const CHORD = 2.4;
const CHORD_IN_TURN = 1.6;
const ROLL = 0.14;
const HANDS = ["left", "right"];

/** Return where an example is shown: its notes by their names, the words of its count, and its keys by number. */
function shownIn(player) {
  const notation = player.previousElementSibling;
  const beside = player.parentElement.nextElementSibling;
  const keyboard = beside?.matches(".keys") ? beside : null;
  return {
    note: (name) => notation.querySelector(`[data-note="${name}"]`),
    words: (count) => (count ? [...notation.querySelectorAll(".harm")].slice(-count) : []),
    key: (number) => keyboard?.querySelector(`[data-key="${number}"]`),
  };
}

/** Return the events of chords in turn; the keyboard is lit by a chord that it shows whole. */
function chordEvents(chords, way, shown) {
  const length = chords.length > 1 ? CHORD_IN_TURN : CHORD;
  return chords.flatMap((hands, turn) => {
    const held = hands.flat();
    const onKeyboard = held.every(shown.key);
    const before = chords.length > 1 ? `${turn + 1}-` : "";
    const name = (hand, index) => HANDS[hand][0] + before + index;
    return hands.flatMap((keys, hand) =>
      keys.map((key, index) => {
        const late = way === "rolled" ? ROLL * held.indexOf(key) : 0;
        const light = [shown.note(name(hand, index)), onKeyboard && shown.key(key)];
        return { key, at: turn * length + late, length: length - late, hand: HANDS[hand], light };
      }),
    );
  });
}

/** Return the events of music in time: its notes, the words of its count, and its clicks if they are wanted. */
function passageEvents([whole, parts, , notes, beats, words], shown, clicks) {
  const seconds = (place) => (place * whole) / parts;
  const places = shown.words(words.length);
  return [
    ...notes.map(([at, length, key, hand, ...names]) => ({
      key,
      at: seconds(at),
      length: seconds(length),
      hand: HANDS[hand],
      light: names.map((name) => shown.note(`e${name}`)),
    })),
    ...words.map(([at, length], index) => ({ at: seconds(at), length: seconds(length), light: [places[index]] })),
    ...(clicks ? beats.map((at) => ({ key: null, at: seconds(at), length: 0 })) : []),
  ];
}

/** Bring a player to life: its buttons play, and the one that was pressed stops. */
function enliven(player) {
  const { chords, passage, stop } = player.dataset;
  const shown = shownIn(player);
  const setting = (name) => player.querySelector(`[name=${name}]`);
  let pressed;
  let sounding;
  let lit = [];

  function eventsOf(way) {
    const events = chords
      ? chordEvents(JSON.parse(chords), way, shown)
      : passageEvents(JSON.parse(passage), shown, setting("click").checked);
    return HANDS.includes(way) ? events.filter(({ hand }) => !hand || hand === way) : events;
  }

  function roundLength() {
    if (!setting("again")?.checked) return 0;
    const [whole, parts, length] = JSON.parse(passage);
    return (length * whole) / parts;
  }

  function light(elements) {
    for (const element of lit) element.classList.remove("lit");
    lit = elements.flat().filter(Boolean);
    for (const element of lit) element.classList.add("lit");
  }

  async function play(button) {
    const { start } = await import("./sound.js");
    sounding?.stop();
    const word = button.textContent;
    button.style.minWidth = `${button.offsetWidth}px`;
    button.textContent = stop;
    pressed = button;
    sounding = start(eventsOf(button.dataset.way), {
      tempo: Number(setting("tempo")?.value ?? 1),
      again: roundLength(),
      onLight: light,
      onEnd() {
        button.textContent = word;
        pressed = sounding = undefined;
      },
    });
  }

  player.addEventListener("click", ({ target }) => {
    const button = target.closest("button");
    if (button && button === pressed) sounding.stop();
    else if (button) play(button);
  });
  player.addEventListener("change", () => pressed && play(pressed));
  player.classList.add("player--ready");
}

document.querySelectorAll(".player").forEach(enliven);
