"""Clips: where they are cut, copied or made anew, and a disk that is full."""

import stat
from pathlib import Path

import av
import pytest
from making import make_media_file, tone, turn_picture
from pictures.filming import write_film

from walkround.errors import OutputError
from walkround.media import clips
from walkround.media.clips import Cut, Source, plan_cut, write_clip
from walkround.media.frames import PictureTrack
from walkround.media.probe import probe


def source(path: Path, keys: tuple[float, ...] = tuple(float(n) for n in range(60)), seconds: float = 60.0) -> Source:
    return Source(path, seconds, keys, "h264", "yuv420p")


def length_of(path: Path) -> tuple[float, float]:
    """Seconds of picture and of sound."""
    with av.open(str(path)) as container:
        picture, sound = container.streams.video[0], container.streams.audio
        found = [float(s.duration * s.time_base) for s in (picture, *sound)]
    return found[0], found[-1]


@pytest.mark.parametrize("words", [(0.0, 0.5), (0.2, 3.0), (10.3, 12.0), (20.0, 26.5), (30.0, 45.0), (58.9, 59.8)])
@pytest.mark.parametrize("apart", [1, 2, 4, 30])
def test_clips_last_four_to_eight_seconds_and_hold_the_words(words: tuple[float, float], apart: int) -> None:
    cut = plan_cut(source(Path("absent.mp4"), tuple(float(n) for n in range(0, 60, apart))), *words)
    assert 4.0 - 1e-6 <= cut.end - cut.start <= 8.0 + 1e-6
    assert 0 <= cut.start <= words[0]
    assert cut.end >= min(words[1], words[0] + 6.5) - 1e-6
    assert cut.end <= 60.0
    if cut.copied:
        assert cut.start % apart == 0


def test_a_short_film_gives_a_short_clip() -> None:
    cut = plan_cut(source(Path("absent.mp4"), (0.0,), 2.5), 1.0, 1.5)
    assert (cut.start, cut.end) == (0.0, 2.5)


def test_copied_where_a_keyframe_is_near_and_made_anew_otherwise(tmp_path: Path) -> None:
    film = write_film(tmp_path / "a film; $(x) 'q'.mp4", 14, rate=15, key=15, size=(320, 180))
    assert plan_cut(source(film, (0.0, 6.0), 14.0), 7.0, 9.0) == Cut(6.0, 10.2, copied=True)
    assert not plan_cut(source(film, (0.0,), 14.0), 9.0, 10.0).copied
    assert not plan_cut(Source(film, 14.0, (6.0,), "hevc", "yuv420p"), 7.0, 9.0).copied
    assert not plan_cut(Source(film, 14.0, (6.0,), "h264", "yuv420p10le"), 7.0, 9.0).copied
    for cut in (Cut(6.0, 10.5, copied=True), Cut(6.2, 10.7, copied=False)):
        target = tmp_path / f"clip-{cut.copied}.mp4"
        assert write_clip(source(film, (6.0,), 14.0), cut, target)
        assert length_of(target)[0] == pytest.approx(4.5, abs=0.25)
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_a_clip_begins_where_it_should_and_has_its_sound(tmp_path: Path) -> None:
    """The made pictures get lighter by the frame; the sound begins before the picture does."""
    pictures = [0.4 + n / 30 for n in range(300)]
    film = make_media_file(tmp_path / "f.mp4", pictures=pictures, sound=[(0.0, tone(10.4))], video_options={"g": "30"})
    whole = probe(film)
    with PictureTrack(film) as track:
        offset = track.start - track.begin
    made = Source(film, whole.duration, (5.0,), "h264", "yuv420p", offset)
    for cut in (Cut(5.0, 9.0, copied=True), Cut(5.0, 9.0, copied=False)):
        target = tmp_path / "clip.mp4"
        assert write_clip(made, cut, target)
        with av.open(str(target)) as container:
            first = next(container.decode(video=0)).to_ndarray(format="gray")
        assert float(first[30:].mean()) == pytest.approx(150 * 5 % 256, abs=6)
        picture, sound = length_of(target)
        assert picture == pytest.approx(4.0, abs=0.1)
        assert sound == pytest.approx(picture, abs=0.3)


@pytest.mark.parametrize("copied", [True, False])
def test_clips_are_upright(tmp_path: Path, copied: bool) -> None:
    film = make_media_file(tmp_path / "f.mp4", pictures=[n / 30 for n in range(200)], video_options={"g": "30"})
    turn_picture(film, 90)
    assert write_clip(source(film, (1.0,), 6.6), Cut(1.0, 5.0, copied), tmp_path / "clip.mp4")
    made = probe(tmp_path / "clip.mp4")
    assert (made.width, made.height, made.rotation) == ((64, 48, 90) if copied else (48, 64, 0))


def test_large_films_are_made_small(tmp_path: Path) -> None:
    film = write_film(tmp_path / "large.mp4", 4.2, rate=5, size=(1500, 844), options={"preset": "ultrafast"})
    assert write_clip(source(film, (), 4.2), Cut(0.0, 4.0, copied=False), tmp_path / "clip.mp4")
    made = probe(tmp_path / "clip.mp4")
    assert (made.width, made.height) == (1280, 720)


def test_what_cannot_be_read_gives_no_clip(tmp_path: Path) -> None:
    (tmp_path / "bad.mp4").write_bytes(b"no film" * 100)
    assert not write_clip(source(tmp_path / "bad.mp4"), Cut(0, 4, copied=False), tmp_path / "clip.mp4")
    assert [p.name for p in tmp_path.iterdir()] == ["bad.mp4"]


def test_a_full_disk_is_told_and_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stand-in for ffmpeg that writes half a clip and then fails as ffmpeg does on a full disk."""
    program = tmp_path / "ffmpeg"
    program.write_text(
        '#!/bin/sh\nfor word; do case "$word" in file:*) out="$word";; esac; done\nprintf half > "${out#file:}"\n'
        'echo "av_interleaved_write_frame(): No space left on device" >&2\nexit 1\n'
    )
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setattr(clips, "ffmpeg_path", lambda: str(program))
    target = tmp_path / "clips" / "clip.mp4"
    with pytest.raises(OutputError, match=r"disk is full.*--no-pictures"):
        write_clip(source(tmp_path / "film.mp4"), Cut(0, 4, copied=True), target)
    assert list(target.parent.iterdir()) == []
