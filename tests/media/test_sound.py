"""The sound of a recording: every sample at its time, and damage reported."""

import tracemalloc
import wave
from pathlib import Path

import numpy as np
import pytest
from making import MakeMedia, steady, tone

from walkround.errors import MediaError
from walkround.media.probe import probe
from walkround.media.sound import SAMPLE_RATE, frame_levels, is_silent, level_dbfs, read_sound


def sounding(sound: np.ndarray) -> list[tuple[float, float]]:
    """Stretches louder than -40 dBFS, seconds, to 10 ms."""
    loud = np.concatenate([[False], frame_levels(sound, 0.01) > -40, [False]])
    edges = np.flatnonzero(np.diff(loud.astype(int)))
    return [(a / 100, b / 100) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def assert_spans(found: list[tuple[float, float]], wanted: list[tuple[float, float]]) -> None:
    assert len(found) == len(wanted), found
    assert np.allclose(found, wanted, atol=0.04), found


CODECS = [("a.mp4", "aac"), ("a.mov", "aac"), ("a.mkv", "aac"), ("b.mov", "pcm_s16le"), ("b.mkv", "libopus")]


@pytest.mark.parametrize(("name", "codec"), CODECS)
def test_a_beep_stands_at_its_time(make_media: MakeMedia, name: str, codec: str) -> None:
    silence = np.zeros(48_000, np.float32)
    samples = np.concatenate([silence, tone(0.5), silence, tone(0.5)])
    path = make_media(name, pictures=steady(3.0), sound=[(0.0, samples)], sound_codec=codec)
    sound = read_sound(probe(path))
    assert sound.dtype == np.float32
    assert_spans(sounding(sound), [(1.0, 1.5), (2.5, 3.0)])


def test_level_is_kept(make_media: MakeMedia) -> None:
    path = make_media("a.wav", sound=[(0.0, tone(2.0, level=0.5))], sound_codec="pcm_s16le")
    assert level_dbfs(read_sound(probe(path))) == pytest.approx(20 * np.log10(0.5) - 3.01, abs=0.1)


def test_late_sound_is_padded(make_media: MakeMedia) -> None:
    path = make_media("late.mp4", pictures=steady(3.0), sound=[(1.5, tone(1.0))])
    assert_spans(sounding(read_sound(probe(path))), [(1.5, 2.5)])


def test_early_sound_is_trimmed(make_media: MakeMedia) -> None:
    """The sound begins 0.8 s before the pictures; the beep 1.5 s into it is at 0.7 s of the video."""
    samples = np.concatenate([np.zeros(72_000, np.float32), tone(0.5), np.zeros(24_000, np.float32)])
    path = make_media("early.mkv", pictures=[t + 0.8 for t in steady(2.0)], sound=[(0.0, samples)])
    sound = read_sound(probe(path))
    assert_spans(sounding(sound), [(0.7, 1.2)])
    assert len(sound) / SAMPLE_RATE == pytest.approx(1.7, abs=0.05)


@pytest.mark.parametrize("name", ["holes.mp4", "holes.mkv"])
def test_holes_become_silence(make_media: MakeMedia, name: str) -> None:
    pieces = [(0.0, tone(1.0)), (2.5, tone(1.0)), (4.0, tone(0.5))]
    path = make_media(name, pictures=steady(5.0), sound=pieces)
    spans = sounding(read_sound(probe(path)))
    assert len(spans) == 3, spans
    # AAC frames last 21 ms and ring on into the next
    assert np.allclose([a for a, _ in spans], [0.0, 2.5, 4.0], atol=0.06), spans


def test_no_sound_track(make_media: MakeMedia) -> None:
    info = probe(make_media("mute.mp4", pictures=steady(1.0)))
    with pytest.raises(MediaError, match="no sound track") as caught:
        read_sound(info)
    assert str(info.path) in str(caught.value)


def _spoil(path: Path, begin: float, end: float) -> None:
    """Overwrite a part of the media data; begin and end are shares of it."""
    data = bytearray(path.read_bytes())
    start = data.index(b"mdat") + 4
    length = int.from_bytes(data[start - 8 : start - 4], "big") - 8
    a, b = start + int(begin * length), start + int(end * length)
    data[a:b] = np.random.default_rng(1).integers(0, 256, b - a, dtype=np.uint8).tobytes()
    path.write_bytes(data)


def test_damage_half_way(make_media: MakeMedia) -> None:
    path = make_media("damaged.m4a", sound=[(0.0, tone(20.0))])
    _spoil(path, 0.4, 0.8)
    with pytest.raises(MediaError, match="is damaged") as caught:
        read_sound(probe(path))
    assert str(path) in str(caught.value)


def test_a_spoilt_packet_or_two_is_passed_over_at_true_times(make_media: MakeMedia) -> None:
    samples = np.concatenate([tone(10.0), np.zeros(48_000, np.float32), tone(1.0)])
    path = make_media("scratched.m4a", sound=[(0.0, samples)])
    _spoil(path, 0.30, 0.302)
    spans = sounding(read_sound(probe(path)))
    assert spans[-1] == pytest.approx((11.0, 12.0), abs=0.05)


def test_silence_is_a_level_not_zeros() -> None:
    rng = np.random.default_rng(0)
    assert is_silent(np.zeros(SAMPLE_RATE, np.float32))
    assert is_silent(np.zeros(0, np.float32))
    assert is_silent((rng.standard_normal(SAMPLE_RATE) * 10 ** (-70 / 20)).astype(np.float32))
    assert not is_silent((rng.standard_normal(SAMPLE_RATE) * 10 ** (-50 / 20)).astype(np.float32))


def test_one_quiet_word_in_a_minute_is_not_silence() -> None:
    sound = np.zeros(60 * SAMPLE_RATE, np.float32)
    sound[30 * SAMPLE_RATE :][:3200] = 0.004 * np.sin(np.arange(3200) / 5)
    assert not is_silent(sound)
    assert level_dbfs(sound) < -70


def test_level_of_nothing() -> None:
    assert level_dbfs(np.zeros(100, np.float32)) == -np.inf
    assert level_dbfs(np.zeros(0, np.float32)) == -np.inf
    assert level_dbfs(np.ones(100, np.float32)) == pytest.approx(0.0)


def test_twenty_minutes_need_no_gigabytes(tmp_path: Path) -> None:
    """Peak memory of Python's and numpy's own allocations, for 20 minutes: the sound itself takes 77 MB."""
    path = tmp_path / "long.wav"
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, 48_000, 0, "NONE", ""))
        file.writeframes(np.tile((tone(1.0) * 32767).astype("<i2"), 1200).tobytes())
    info = probe(path)
    tracemalloc.start()
    sound = read_sound(info)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(sound) / SAMPLE_RATE == pytest.approx(1200, abs=0.1)
    assert peak < 4 * sound.nbytes
