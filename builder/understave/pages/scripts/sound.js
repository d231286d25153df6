/* Sound: our own tone from oscillators, when each note begins and ends, and what is lit meanwhile. */

const A4 = 69;
const A4_HERTZ = 440;
const AHEAD = 0.3;
const DELAY = 0.06;
const ATTACK = 0.005;
const RELEASE = 0.05;
const FADE = 0.02;
const QUIET = 1000;
const LEVEL = { body: 0.13, edge: 0.05, click: 0.16 };
const CLICK_HERTZ = 1650;

const waves = new WeakMap();

/** Return the frequency of a key (69 is A4), in hertz: equal temperament from A4 = 440 Hz. */
const hertz = (key) => A4_HERTZ * 2 ** ((key - A4) / 12);

/** Return the two waves of a tone: a full body, and an edge of upper partials that dies away sooner. */
function wavesOf(context) {
  if (!waves.has(context)) {
    const wave = (partials) => context.createPeriodicWave(new Float32Array(partials.length), new Float32Array(partials));
    waves.set(context, { body: wave([0, 1, 0.42, 0.2, 0.09, 0.05]), edge: wave([0, 0, 0.5, 0.6, 0.5, 0.4, 0.3, 0.22, 0.15, 0.1]) });
  }
  return waves.get(context);
}

/** Join a voice to the graph: at once at its level, dying away with a time constant, silenced where it ends. */
function voiced(context, target, { wave, frequency, at, end, level, fading }) {
  const source = context.createOscillator();
  const gain = context.createGain();
  if (wave) source.setPeriodicWave(wave);
  source.frequency.value = frequency;
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(level, at + ATTACK);
  gain.gain.setTargetAtTime(0, at + ATTACK, fading);
  gain.gain.setTargetAtTime(0, Math.max(end, at + ATTACK), Math.min(RELEASE, fading));
  source.connect(gain).connect(target);
  source.start(at);
  source.stop(end + 8 * RELEASE);
  return source;
}

/** Return what all notes go through: a moderate level, and a limiter so that many at once don't clip. */
export function outlet(context) {
  const limiter = context.createDynamicsCompressor();
  const settings = { threshold: -12, knee: 6, ratio: 12, attack: 0.002, release: 0.15 };
  for (const [name, value] of Object.entries(settings)) limiter[name].value = value;
  limiter.connect(context.destination);
  return limiter;
}

/**
 * Put an event into a context's graph, to sound from `at` for `length`, both in the context's seconds.
 * Its key is a MIDI number, or null for a click; without a key it is only lit. Returns the sources that sound.
 */
export function schedule(context, target, { key, at, length }) {
  if (key === undefined) return [];
  const end = at + length;
  if (key === null) {
    return [voiced(context, target, { frequency: CLICK_HERTZ, at, end: at + 0.05, level: LEVEL.click, fading: 0.012 })];
  }
  const { body, edge } = wavesOf(context);
  const frequency = hertz(key);
  const fading = 1.6 * 2 ** ((60 - key) / 24);
  return [
    voiced(context, target, { wave: body, frequency, at, end, level: LEVEL.body, fading }),
    voiced(context, target, { wave: edge, frequency, at, end, level: LEVEL.edge, fading: fading / 5 }),
  ];
}

let context;
let master;
let playing;
let quiet;

/** Return the one context of the page, running. It is made when something is first played: on a press. */
function runningContext() {
  clearTimeout(quiet);
  if (!context) {
    context = new AudioContext();
    master = outlet(context);
  }
  context.resume();
  return context;
}

/**
 * Play events; what sounded before stops.
 *
 * An event is `{key, at, length, hand, light}`: its key as `schedule` takes it, its time and length in seconds as
 * written, L or R for those who choose, and any value that stands for it while it sounds. `tempo` divides all times: 0.5 is half as fast. `again` is the
 * length of a round in seconds as written, after which all begins again; without it events are played once.
 * `onLight` is told the lights of all that sounds whenever they change, `onEnd` once when it is over or was stopped.
 * Returns what stops it.
 */
export function start(events, { onLight = () => {}, onEnd = () => {}, tempo = 1, again = 0 } = {}) {
  playing?.stop();
  const context = runningContext();
  const volume = context.createGain();
  volume.connect(master);
  const origin = context.currentTime + DELAY;
  const inTurn = [...events].sort((one, other) => one.at - other.at);
  const sources = new Set();
  let next = 0;
  let waiting = [];
  let lit = [];
  let frame;

  /** Return the event of a turn in the context's seconds; nothing after the last one. */
  function eventOf(turn) {
    const round = Math.floor(turn / inTurn.length);
    if (!inTurn.length || (round && !again)) return null;
    const event = inTurn[turn % inTurn.length];
    return { ...event, at: origin + (event.at + round * again) / tempo, length: event.length / tempo };
  }

  function scheduleUpTo(until) {
    for (let event = eventOf(next); event && event.at <= until; event = eventOf(next)) {
      for (const source of schedule(context, volume, event)) {
        sources.add(source);
        source.onended = () => sources.delete(source);
      }
      waiting.push(event);
      next += 1;
    }
  }

  function lightUp(now) {
    waiting = waiting.filter(({ at, length }) => at + length > now);
    const sounding = waiting.filter(({ at }) => at <= now);
    if (sounding.length === lit.length && sounding.every((event, place) => event === lit[place])) return;
    lit = sounding;
    onLight(sounding.map(({ light }) => light).filter((light) => light !== undefined));
  }

  function step() {
    scheduleUpTo(context.currentTime + AHEAD);
    lightUp(context.currentTime - (context.outputLatency || 0));
    if (waiting.length || eventOf(next)) frame = requestAnimationFrame(step);
    else end();
  }

  function end() {
    playing = undefined;
    quiet = setTimeout(() => context.suspend(), QUIET);
    if (lit.length) onLight([]);
    onEnd();
  }

  const own = {
    stop() {
      if (playing !== own) return;
      cancelAnimationFrame(frame);
      volume.gain.setTargetAtTime(0, context.currentTime, FADE);
      for (const source of sources) source.stop(context.currentTime + 10 * FADE);
      end();
    },
  };
  playing = own;
  step();
  return own;
}

/** Stop what sounds. */
const stop = () => playing?.stop();
addEventListener("keydown", (event) => event.key === "Escape" && stop());
addEventListener("pagehide", stop);
document.addEventListener("visibilitychange", () => document.hidden && stop());
