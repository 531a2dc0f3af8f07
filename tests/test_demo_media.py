"""The shipped demo film against its script: length, size, streams, words, times, sound, picture and key.

The times in sentences.json come from the speech synthesiser; the sound is read back from the finished
film, so a shift in encoding or a film that was not rebuilt after a change of script shows here.
"""

from __future__ import annotations

import itertools
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

DEMO = Path(__file__).resolve().parents[1] / "demo_media"
SCRIPT: dict[str, Any] = tomllib.loads((DEMO / "script.toml").read_text(encoding="utf-8"))
FILM = DEMO / SCRIPT["film"]["file"]
START_TOLERANCE = 0.05  # seconds
PAUSE_DROP_DB = 30.0  # a pause is at least this much quieter than the quietest sentence beside it
KEY_TABLES = ("finding", "clear", "measurement")
SENTENCE_LISTS = ("promises", "guesses", "included", "excluded")


@pytest.fixture(scope="module")
def sentences() -> list[dict[str, Any]]:
    record = json.loads((DEMO / "sentences.json").read_text(encoding="utf-8"))
    rows: list[dict[str, Any]] = record["sentences"]
    return rows


@pytest.fixture(scope="module")
def sound() -> tuple[np.ndarray, int]:
    with av.open(str(FILM)) as container:
        track = container.streams.audio[0]
        parts = [frame.to_ndarray().reshape(-1) for frame in container.decode(track)]
        return np.concatenate(parts), int(track.rate)


def level_db(sound: tuple[np.ndarray, int], start: float, end: float) -> float:
    """Root mean square level of a stretch of sound in dB of full scale."""
    samples, rate = sound
    part = samples[int(start * rate) : int(end * rate)].astype(np.float64)
    assert part.size > 0
    return float(20 * np.log10(np.sqrt(np.mean(part**2)) + 1e-9))


def pauses(sentences: list[dict[str, Any]]) -> Iterator[tuple[float, float]]:
    """The middle of each silence, away from the ends of the words."""
    for before, after in itertools.pairwise(sentences):
        yield before["end"] + 0.1, after["start"] - 0.1


def test_film_is_a_phone_sized_film_with_picture_and_sound() -> None:
    assert FILM.stat().st_size < 8_000_000
    with av.open(str(FILM)) as container:
        assert container.duration is not None
        assert 120 <= container.duration / av.time_base <= 180
        picture, track = container.streams.video[0], container.streams.audio[0]
        assert (picture.codec_context.name, picture.width, picture.height) == ("h264", 1280, 720)
        assert picture.pix_fmt == "yuv420p"
        assert float(picture.average_rate or 0) == pytest.approx(SCRIPT["film"]["frames_per_second"])
        assert (track.codec_context.name, track.channels) == ("aac", 1)
        assert container.metadata["creation_time"].startswith(SCRIPT["film"]["created"][:19])


def test_index_stands_before_the_media_so_that_playing_starts_at_once() -> None:
    head = FILM.read_bytes()
    assert 0 < head.index(b"moov") < head.index(b"mdat")


def test_sentences_are_those_of_the_script_in_order(sentences: list[dict[str, Any]]) -> None:
    assert [(s["id"], s["text"]) for s in sentences] == [(s["id"], s["text"]) for s in SCRIPT["sentence"]]


def test_sentence_times_ascend_inside_the_film(sentences: list[dict[str, Any]]) -> None:
    with av.open(str(FILM)) as container:
        length = (container.duration or 0) / av.time_base
    moments = [moment for s in sentences for moment in (s["start"], s["end"])]
    assert moments[0] >= 0
    assert moments[-1] <= length
    assert all(a < b for a, b in itertools.pairwise(moments))


def test_every_sentence_is_heard_and_every_pause_is_quiet(
    sentences: list[dict[str, Any]], sound: tuple[np.ndarray, int]
) -> None:
    spoken = [level_db(sound, s["start"], s["end"]) for s in sentences]
    assert min(spoken) > -35
    silent = [level_db(sound, start, end) for start, end in pauses(sentences)]
    for number, level in enumerate(silent):
        beside = min(spoken[number], spoken[number + 1])
        assert level < beside - PAUSE_DROP_DB, f"after {sentences[number]['id']}"


def test_speech_begins_and_ends_when_sentences_json_says(
    sentences: list[dict[str, Any]], sound: tuple[np.ndarray, int]
) -> None:
    samples, rate = sound
    for s in sentences:
        first, last = int((s["start"] - 0.25) * rate), int((s["end"] + 0.25) * rate)
        loud = np.flatnonzero(np.abs(samples[first:last]) > 0.01)
        assert (first + loud[0]) / rate == pytest.approx(s["start"], abs=START_TOLERANCE), s["id"]
        assert (first + loud[-1]) / rate == pytest.approx(s["end"], abs=START_TOLERANCE), s["id"]


@pytest.mark.parametrize(
    ("first", "second"), [("hello", "headlight"), ("tank", "number-plate"), ("seat", "silencer-rust")]
)
def test_the_camera_shows_something_else_for_another_part(
    first: str, second: str, sentences: list[dict[str, Any]]
) -> None:
    at = {s["id"]: (s["start"] + s["end"]) / 2 for s in sentences}
    one, two = picture_at(at[first]), picture_at(at[second])
    assert one.std() > 20  # not a blank picture
    assert two.std() > 20
    assert np.abs(one - two).mean() > 10


def picture_at(seconds: float) -> np.ndarray:
    """The grey values of the frame on screen at a time of the film."""
    with av.open(str(FILM)) as container:
        track = container.streams.video[0]
        assert track.time_base is not None
        container.seek(int(seconds / track.time_base), stream=track)
        for frame in container.decode(track):
            if (frame.time or 0.0) >= seconds - 0.05:
                return frame.to_ndarray(format="gray").astype(np.float64)
    raise AssertionError(f"no picture at {seconds} s")


def test_key_is_big_enough_and_points_at_sentences_of_the_script() -> None:
    expected, ids = SCRIPT["expected"], {s["id"] for s in SCRIPT["sentence"]}
    assert len(ids) == len(SCRIPT["sentence"])
    assert 12 <= len(expected["finding"]) <= 18
    named = {row["sentence"] for table in KEY_TABLES for row in expected[table]}
    named |= {sentence for table in SENTENCE_LISTS for sentence in expected[table]}
    assert named <= ids


def test_key_does_not_contradict_itself() -> None:
    expected = SCRIPT["expected"]
    spoken = {part for table in KEY_TABLES for row in expected[table] for part in row["part"]}
    spoken |= set(expected["named_only"]) | set(expected["repaired"])
    assert not spoken & set(expected["not_mentioned"])
    marked = {(row["part"][0], row.get("side")) for row in expected["finding"]}
    clear = {(row["part"][0], row.get("side")) for row in expected["clear"]}
    assert not marked & clear
    sides = {row.get("side") for table in KEY_TABLES for row in expected[table]}
    assert sides == {None, "left", "right", "both"}


def test_numbers_of_the_key_are_spoken() -> None:
    words = " ".join(s["text"] for s in SCRIPT["sentence"])
    bike = SCRIPT["expected"]["bike"]
    assert str(bike["year"]) in words
    assert bike["plate_age"] in SCRIPT["film"]["plate"]
    spelt = {2.5: "two and a half", 3.0: "three", 4.0: "four", 5.0: "five"}
    text = {s["id"]: s["text"] for s in SCRIPT["sentence"]}
    for row in SCRIPT["expected"]["measurement"]:
        assert spelt[row["value"]] + " millimetres" in text[row["sentence"]]
