"""Times as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkround.timecode import clock, parse_clock

WEEK = 7 * 24 * 3600


@pytest.mark.parametrize(
    ("seconds", "written"),
    [
        (0, "0:00"), (0.999, "0:00"), (1, "0:01"), (59.999, "0:59"), (60, "1:00"), (571, "9:31"),
        (571.9, "9:31"), (3599.99, "59:59"), (3600, "1:00:00"), (3725, "1:02:05"), (36000, "10:00:00"),
        (-0.4, "0:00"), (-7, "0:00"),
    ],
)  # fmt: skip
def test_seconds_as_a_clock(seconds: float, written: str) -> None:
    assert clock(seconds) == written


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("0:00", 0), ("9:31", 571), ("09:31", 571), (" 9:31 ", 571), ("9:5", 545), ("75:00", 4500),
        ("1:02:05", 3725), ("01:02:05.250", 3725.25), ("0:01,5", 1.5), ("0:59.999", 59.999),
    ],
)  # fmt: skip
def test_a_clock_as_seconds(written: str, seconds: float) -> None:
    assert parse_clock(written) == pytest.approx(seconds, abs=1e-9)


@pytest.mark.parametrize(
    "written",
    [
        "", "9", "9.5", "9:60", "9:99", "1:60:00", "1:75:00", "-1:00", "1:-5", ":30", "1:", "1:2:3:4",
        "1:00:", "a:bc", "1:00 pm", "1:00\n2:00", "1::00", "0x1:00", "1:00.", "1:00.5.5", "1:1e1",
    ],
)  # fmt: skip
def test_what_is_no_time(written: str) -> None:
    with pytest.raises(ValueError, match="not a time"):
        parse_clock(written)


@given(st.integers(0, WEEK))
def test_whole_seconds_come_back(seconds: int) -> None:
    assert parse_clock(clock(seconds)) == seconds


@given(st.floats(0, WEEK))
def test_a_jump_never_lands_after_the_words_nor_a_second_before(seconds: float) -> None:
    assert seconds - 1 < parse_clock(clock(seconds)) <= seconds


@given(st.integers(0, 99), st.integers(0, 59), st.integers(0, 59), st.integers(0, 999), st.sampled_from(".,"))
def test_hours_minutes_seconds_and_thousandths(h: int, m: int, s: int, ms: int, point: str) -> None:
    expected = h * 3600 + m * 60 + s + ms / 1000
    assert parse_clock(f"{h}:{m:02}:{s:02}{point}{ms:03}") == pytest.approx(expected, abs=1e-6)


@given(st.text(max_size=12))
def test_any_text_is_a_time_or_refused(text: str) -> None:
    told = ""
    try:
        seconds = parse_clock(text)
    except ValueError as error:
        told = str(error)
    assert "not a time" in told or seconds >= 0
