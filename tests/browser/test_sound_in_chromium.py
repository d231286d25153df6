"""Renders the tone in Chromium and measures it: pitch, onsets, level; and how playing starts, lights up and stops."""

from __future__ import annotations

import base64
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from .conftest import Watched

RATE = 44_100

RENDER = """async ([events, seconds, rate]) => {
  const { outlet, schedule } = await import("./sound.js");
  const context = new OfflineAudioContext(1, seconds * rate, rate);
  const target = outlet(context);
  for (const event of events) schedule(context, target, event);
  const samples = (await context.startRendering()).getChannelData(0);
  let bytes = "";
  for (const byte of new Uint8Array(samples.buffer)) bytes += String.fromCharCode(byte);
  return btoa(bytes);
}"""

CONCERT_PITCH = {33: 55.0, 45: 110.0, 57: 220.0, 60: 261.6256, 64: 329.6276, 69: 440.0, 72: 523.2511, 81: 880.0,
                 84: 1046.502, 96: 2093.005}  # fmt: skip
"""Frequencies in hertz by MIDI number, equal temperament from A4 = 440 Hz (ISO 16); the table is from memory."""


def rendered(seen: Watched, events: list[dict[str, Any]], seconds: float) -> Any:
    """Return the samples of events that go through all that notes go through."""
    encoded = seen.page.evaluate(RENDER, [events, seconds, RATE])
    return np.frombuffer(base64.b64decode(encoded), dtype="<f4").astype(float)


def lowest_partial(samples: Any) -> float:
    """Return the frequency of the lowest strong partial in hertz, by a parabola through the spectrum's peak.

    A Gaussian window makes a peak's logarithm a parabola.
    """
    window = np.exp(-0.5 * np.linspace(-3.5, 3.5, len(samples)) ** 2)
    size = 8 * len(samples)
    spectrum = np.log(np.abs(np.fft.rfft(samples * window, size)) + 1e-12)
    strong = spectrum > spectrum.max() - np.log(10)
    first = int(np.argmax(strong))
    last = first + int(np.argmin(strong[first:]))
    peak = first + int(np.argmax(spectrum[first:last]))
    before, at, after = spectrum[peak - 1 : peak + 2]
    return float((peak + 0.5 * (before - after) / (before - 2 * at + after)) * RATE / size)


def cents(one: float, other: float) -> float:
    """Return the distance of two frequencies in cents."""
    return float(1200 * np.log2(one / other))


def onset(samples: Any) -> float:
    """Return when something begins to sound, in seconds."""
    loud = np.abs(samples) > 0.02 * np.abs(samples).max()
    return float(np.argmax(loud) / RATE)


@pytest.mark.parametrize(("key", "frequency"), CONCERT_PITCH.items(), ids=map(str, CONCERT_PITCH))
def test_tone_has_its_fundamental_within_a_cent(beside_scripts: Watched, key: int, frequency: float) -> None:
    samples = rendered(beside_scripts, [{"key": key, "at": 0, "length": 2.5}], 2.5)
    assert abs(cents(lowest_partial(samples[RATE // 10 :]), frequency)) < 1


def test_notes_and_clicks_begin_when_they_should(beside_scripts: Watched) -> None:
    times = [0.1, 0.7, 1.35, 1.9, 2.45]
    keys = [60, None, 45, 76, None]
    events = [{"key": key, "at": at, "length": 0.15} for key, at in zip(keys, times, strict=True)]
    samples = rendered(beside_scripts, events, 3)
    found = []
    for start, end in pairwise([*times, 3]):
        silence = int((start - 0.03) * RATE)
        found.append(silence / RATE + onset(samples[silence : int(end * RATE) - RATE // 20]))
    delays = [one - other for one, other in zip(found, times, strict=True)]
    # a limiter looks a few milliseconds ahead, which is the same for all
    assert all(0 <= delay < 0.012 for delay in delays), delays
    assert max(delays) - min(delays) < 0.003


def test_note_ends_where_it_should(beside_scripts: Watched) -> None:
    samples = rendered(beside_scripts, [{"key": 60, "at": 0, "length": 0.5}], 2)
    whole = np.abs(samples).max()
    assert np.abs(samples[int(0.4 * RATE) : int(0.5 * RATE)]).max() > 0.3 * whole
    assert np.abs(samples[int(0.9 * RATE) :]).max() < 0.001 * whole


def test_ten_notes_at_once_stay_below_the_limit(beside_scripts: Watched) -> None:
    one = rendered(beside_scripts, [{"key": 60, "at": 0, "length": 1}], 1)
    chord = [{"key": key, "at": 0, "length": 1} for key in (36, 43, 48, 52, 55, 60, 64, 67, 71, 74)]
    ten = rendered(beside_scripts, chord, 1)
    assert 0.05 < np.abs(one).max() < 0.5
    assert np.abs(one).max() < np.abs(ten).max() < 0.95


def test_event_without_a_key_is_silent(beside_scripts: Watched) -> None:
    assert not rendered(beside_scripts, [{"at": 0, "length": 0.5, "light": "word"}], 1).any()


PLAY = """async ([events, options]) => {
  const { start } = await import("./sound.js");
  const told = [];
  const began = performance.now();
  const tell = (what) => told.push([what, (performance.now() - began) / 1000]);
  window.told = told;
  window.own = start(events, { ...options, onLight: (lights) => tell(lights.join(" ")), onEnd: () => tell("end") });
}"""


def played(seen: Watched, events: list[dict[str, Any]], **options: float) -> None:
    seen.page.evaluate(PLAY, [events, options])


def told(seen: Watched) -> list[str]:
    """Return which lights were told, and the end."""
    return [what for what, _ in seen.page.evaluate("() => window.told")]


def until_over(seen: Watched) -> list[str]:
    seen.page.wait_for_function("() => window.told.some(([what]) => what === 'end')", timeout=10_000)
    return told(seen)


SCALE = [{"key": 60 + step, "at": 0.4 * step, "length": 0.4, "light": f"n{step}"} for step in range(3)]
"""Notes long enough that each falls into a frame on a busy machine, too."""


def test_lights_follow_the_notes_and_go_out(beside_scripts: Watched) -> None:
    played(beside_scripts, SCALE)
    assert until_over(beside_scripts) == ["n0", "n1", "n2", "", "end"]


def test_lights_of_a_chord_are_told_together(beside_scripts: Watched) -> None:
    chord = [{"key": key, "at": 0, "length": 0.2, "light": light} for key, light in ((48, "l0"), (64, "r0"))]
    played(beside_scripts, [*chord, {"key": None, "at": 0, "length": 0.2}, {"at": 0.1, "length": 0.2, "light": "word"}])
    assert until_over(beside_scripts) == ["l0 r0", "l0 r0 word", "word", "", "end"]


def test_tempo_divides_all_times(beside_scripts: Watched) -> None:
    played(beside_scripts, SCALE, tempo=0.5)
    until_over(beside_scripts)
    times = dict(beside_scripts.page.evaluate("() => window.told"))
    assert times["n2"] - times["n0"] == pytest.approx(1.6, abs=0.3)


def test_rounds_go_on_until_stopped(beside_scripts: Watched) -> None:
    played(beside_scripts, SCALE, again=1.2)
    beside_scripts.page.wait_for_function("() => window.told.length >= 7", timeout=10_000)
    assert told(beside_scripts)[:7] == ["n0", "n1", "n2", "n0", "n1", "n2", "n0"]
    beside_scripts.page.evaluate("() => window.own.stop()")
    assert told(beside_scripts)[-2:] == ["", "end"]
    count = len(told(beside_scripts))
    beside_scripts.page.wait_for_timeout(300)
    assert len(told(beside_scripts)) == count


def test_second_start_stops_the_first(beside_scripts: Watched) -> None:
    played(beside_scripts, [{"key": 60, "at": 0, "length": 5, "light": "one"}])
    beside_scripts.page.wait_for_function("() => window.told.length")
    beside_scripts.page.evaluate("() => { window.first = window.told; }")
    played(beside_scripts, [{"key": 62, "at": 0, "length": 0.1, "light": "two"}])
    assert [what for what, _ in beside_scripts.page.evaluate("() => window.first")][:3] == ["one", "", "end"]
    assert until_over(beside_scripts) == ["two", "", "end"]


def test_escape_and_a_hidden_page_stop_it(beside_scripts: Watched) -> None:
    for stopping in (
        "() => dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape' }))",
        "() => dispatchEvent(new PageTransitionEvent('pagehide'))",
        """() => {
          Object.defineProperty(document, "hidden", { get: () => true, configurable: true });
          document.dispatchEvent(new Event("visibilitychange"));
          delete document.hidden;
        }""",
    ):
        played(beside_scripts, [{"key": 60, "at": 0, "length": 5, "light": "one"}])
        beside_scripts.page.wait_for_function("() => window.told.length")
        beside_scripts.page.evaluate(stopping)
        assert told(beside_scripts) == ["one", "", "end"]
