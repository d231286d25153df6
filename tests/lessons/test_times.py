"""Checks how times in a video are read and shown."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.lessons.times import TimeFormatError, parse_time, time_text


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("0:00", 0),
        ("0:05", 5),
        ("1:05", 65),
        ("01:05", 65),
        ("59:59", 3599),
        ("75:00", 4500),
        ("1:02:03", 3723),
        ("10:00:00", 36000),
    ],
)
def test_a_time_is_minutes_and_seconds_or_hours_before_them(text, seconds):
    assert parse_time(text) == seconds


@pytest.mark.parametrize(
    "text",
    [
        "1:75",
        "1:60",
        "1:5",
        "1",
        "",
        ":05",
        "1:",
        "1:05:",
        "1:60:00",
        "1:75:00",
        "-1:05",
        "1:05.5",
        "1.05",
        " 1:05",
        "1:05\n",
        "a:bc",
        "100:00:00",
        "1:05:5",
        "1:2:3:4",
    ],
)
def test_anything_else_is_no_time(text):
    with pytest.raises(TimeFormatError):
        parse_time(text)


@pytest.mark.parametrize(
    ("seconds", "text"), [(0, "0:00"), (9, "0:09"), (65, "1:05"), (3599, "59:59"), (3600, "1:00:00"), (3723, "1:02:03")]
)
def test_a_time_is_shown_as_players_show_it(seconds, text):
    assert time_text(seconds) == text


@given(st.integers(0, 99 * 3600 + 3599))
def test_what_is_shown_reads_back(seconds):
    assert parse_time(time_text(seconds)) == seconds
