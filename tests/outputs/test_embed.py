"""Chapters in a copy of the film: read back with PyAV, nothing encoded anew, the film no longer than before."""

import hashlib
import os
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import av
import pytest

TESTS = Path(__file__).resolve().parents[1]
if str(TESTS / "media") not in sys.path:
    sys.path.insert(0, str(TESTS / "media"))

from making import make_media_file, steady, tone  # noqa: E402

from walkround.errors import MediaError, WalkroundError  # noqa: E402
from walkround.outputs.embed import embed, embedded_name, read_chapters  # noqa: E402
from walkround.outputs.films import FilmRows  # noqa: E402
from walkround.report.record import Media, TranscriptRow  # noqa: E402

CHAPTERS = [(0.0, "Front: two small marks"), (12.34, "Räder & Reifen = ; # \\ 🏍️"), (24.0, "\u05e0\u05d6\u05e7 <b>")]


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("film")
    made = {"metadata": {"creation_time": "2026-03-14T10:00:00Z"}}
    return make_media_file(folder / "walk.mp4", pictures=steady(40), sound=[(0.0, tone(40))], **made)


def rows(end: float = 40.0) -> FilmRows:
    return FilmRows(0, Media(), TranscriptRow(source="", language="en", timing="given", segments=[]), end, ())


def packets(path: Path) -> Iterator[tuple[str, int, str]]:
    """Each packet of picture and sound: its kind, its time, its bytes."""
    with closing(av.open(str(path))) as container:
        streams = [*container.streams.video, *container.streams.audio]
        for packet in container.demux(streams):
            if packet.size and packet.pts is not None:
                yield packet.stream.type, packet.pts, hashlib.sha256(bytes(packet)).hexdigest()


def length(path: Path) -> float:
    with closing(av.open(str(path))) as container:
        return (container.duration or 0) / av.time_base


def test_the_chapters_are_read_back_and_nothing_is_encoded_anew(film: Path, tmp_path: Path) -> None:
    before = film.read_bytes()
    made = embed(film, rows(), CHAPTERS, tmp_path)
    assert made.name == "walk-chapters.mp4"
    found = read_chapters(made)
    assert [title for _, _, title in found] == [title for _, title in CHAPTERS]
    assert [start for start, _, _ in found] == pytest.approx([start for start, _ in CHAPTERS], abs=0.001)
    assert [end for _, end, _ in found][:2] == pytest.approx([12.34, 24.0], abs=0.001)
    assert sorted(packets(made)) == sorted(packets(film))
    assert film.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["walk-chapters.mp4"]
    with closing(av.open(str(made))) as container:
        assert container.metadata["creation_time"].startswith("2026-03-14T10:00:00")


def test_a_record_that_ends_after_the_film_does_not_lengthen_it(film: Path, tmp_path: Path) -> None:
    """An END past the film stretches the file, with exit status 0."""
    made = embed(film, rows(end=99.0), CHAPTERS, tmp_path)
    assert length(made) == pytest.approx(length(film), abs=0.1)
    assert read_chapters(made)[-1][1] <= length(film) + 0.1


@pytest.mark.parametrize("ending", [".mkv", ".mov"])
def test_other_containers(film: Path, tmp_path: Path, ending: str) -> None:
    source = tmp_path / f"walk{ending}"
    with closing(av.open(str(film))) as src, closing(av.open(str(source), "w")) as out:
        kept = {s: out.add_stream_from_template(s) for s in (src.streams.video[0], src.streams.audio[0])}
        for packet in src.demux(list(kept)):
            if packet.dts is not None:
                packet.stream = kept[packet.stream]
                out.mux(packet)
    made = embed(source, rows(), CHAPTERS, tmp_path)
    assert made.suffix == ending
    assert [title for _, _, title in read_chapters(made)] == [title for _, title in CHAPTERS]


def test_a_format_that_holds_no_chapters_becomes_matroska() -> None:
    assert embedded_name(Path("a/walk.avi")) == "walk-chapters.mkv"
    assert embedded_name(Path("a/WALK.MP4")) == "WALK-chapters.MP4"


@pytest.mark.parametrize("name", ["-walk;$(touch owned) 'x\" <b>%d.mp4", "concat:a|b.mp4", "Vidéo 二輪.mp4"])
def test_names_that_bite(film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.chdir(tmp_path)
    source = tmp_path / name
    source.write_bytes(film.read_bytes())
    made = embed(Path(name), rows(), CHAPTERS, tmp_path)
    assert len(read_chapters(made)) == 3
    assert not (tmp_path / "owned").exists()


def test_a_film_that_is_none_is_told_and_nothing_is_left(tmp_path: Path) -> None:
    source = tmp_path / "walk.mp4"
    source.write_text("no film")
    with pytest.raises(MediaError, match=r"walk\.mp4"):
        embed(source, rows(), CHAPTERS, tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["walk.mp4"]


def test_a_folder_that_cannot_be_written_is_told(film: Path, tmp_path: Path) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    if os.access(locked, os.W_OK):  # root may write anywhere: take a folder that is a file
        locked = film
    with pytest.raises(WalkroundError, match="cannot be written"):
        embed(film, rows(), CHAPTERS, locked)
