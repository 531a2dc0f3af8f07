"""From a film and its words to a record with pictures, and what is kept for the next time."""

import json
import shutil
from pathlib import Path

import av
import pytest
from click.testing import CliRunner
from media.making import make_media_file, tone
from pictures.filming import Fault, write_film
from PIL import Image

from walkround.cli import main
from walkround.errors import OutputError
from walkround.media import stills
from walkround.pictures import covering, looking, step
from walkround.pipeline import Job, Outcome, make_report, rebuild
from walkround.report.record import Finding, Report

TALK = """\
[0:02] The left mirror has a scratch on the back of it.
[0:07] The fuel tank has a dent in it, just there by the cap.
[0:12] The rider's seat is perfect, no marks on it at all.
[0:17] The clutch lever is bent.
"""
FAULTS = [Fault(5.6, 11.6, "too dark"), Fault(15.0, 16.5, "black")]


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_film(tmp_path_factory.mktemp("film") / "walk.mp4", 21, FAULTS, size=(480, 270), rate=15, key=15)


@pytest.fixture(scope="module")
def made(film: Path, tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    folder = tmp_path_factory.mktemp("made")
    return make_report(Job(film, folder / "out", talk_in(folder)))


def talk_in(folder: Path, text: str = TALK) -> Path:
    (folder / "talk.txt").write_text(text, encoding="utf-8")
    return folder / "talk.txt"


def finding(report: Report, part: str) -> Finding:
    return next(f for f in report.findings if f.part == part)


def files(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_each_row_has_its_picture_two_others_and_a_clip(made: Outcome) -> None:
    folder = made.record_path.parent
    for row in made.report.findings:
        assert row.still is not None
        assert row.still_at is not None
        assert row.start - 3 < row.still_at < row.end + 4
        assert not any(f.start <= row.still_at < f.end for f in FAULTS)
        assert len(row.other_stills) == 2
        for name in (row.still, *(s.file for s in row.other_stills)):
            assert Image.open(folder / name).size == (480, 270)
        with av.open(str(folder / (row.clip or ""))) as container:
            assert 3.9 <= container.duration / av.time_base <= 8.2


def test_the_time_of_a_still_is_that_of_its_frame(made: Outcome, film: Path) -> None:
    with av.open(str(film)) as container:
        times = [round(f.time, 3) for f in container.decode(video=0)]
    assert all(row.still_at in times for row in made.report.findings)


def test_what_was_said_in_the_dark_is_not_clearly_shown(made: Outcome) -> None:
    assert finding(made.report, "fuel-tank").not_shown == "the picture was too dark"
    assert finding(made.report, "mirror").not_shown is None
    assert "Said, but not clearly shown:</strong> the picture was too dark." in made.page_path.read_text()


def test_poor_views_are_in_the_record_and_on_the_page(made: Outcome) -> None:
    assert [p.reason for p in made.report.poor_views] == ["too dark", "black"]
    page = made.page_path.read_text()
    assert "2 stretches in which little can be seen, and why" in page
    assert "Too dark, 6.0 s" in page


def test_what_is_in_order_has_a_picture_too(made: Outcome) -> None:
    seat = next(row for row in made.report.checklist if row.part == "rider-seat")
    assert seat.state == "clear"
    assert seat.still is not None
    assert (made.record_path.parent / seat.still).is_file()


def test_no_picture_is_written_that_the_record_does_not_have(made: Outcome) -> None:
    report, folder = made.report, made.record_path.parent
    rows = (*report.findings, *report.unplaced)
    used = {row.still for row in (*rows, *report.checklist)} | {s.file for row in rows for s in row.other_stills}
    assert {str(p.relative_to(folder)) for p in (folder / "stills").iterdir()} == used - {None}


def test_building_anew_decodes_nothing_and_changes_nothing(
    made: Outcome, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = Path(shutil.copytree(made.record_path.parent, tmp_path / "out"))
    before = files(folder)

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the film was opened")

    for module in (step, looking, covering):
        monkeypatch.setattr(module, "PictureTrack", refuse)
    monkeypatch.setattr(covering, "write_clip", refuse)
    rebuild(folder)
    assert files(folder) == before


def test_damage_to_what_was_kept_means_looking_again(made: Outcome, film: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(made.record_path.parent, tmp_path / "out"))
    heard = json.loads((folder / "heard.json").read_text())
    heard["films"][0]["path"] = str(film)
    (folder / "heard.json").write_text(json.dumps(heard))
    kept = json.loads((folder / "pictures.json").read_text())
    for text in ("{", json.dumps(kept | {"films": {key: {} for key in kept["films"]}})):
        (folder / "pictures.json").write_text(text)
        assert rebuild(folder).report.findings == made.report.findings


def test_without_pictures_nothing_is_made_then_or_later(film: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = ["--transcript", str(talk_in(tmp_path)), "--out", str(out)]
    assert CliRunner().invoke(main, ["report", str(film), *words, "--no-pictures"]).exit_code == 0
    again = rebuild(out).report
    assert {p.name for p in out.iterdir()} == {"heard.json", "made-by-walkround.json", "report.html", "report.json"}
    assert [f.still for f in again.findings] == [None] * len(again.findings)
    assert again.poor_views == []


def test_damage_is_told_and_neither_stills_nor_clips_have_it(film: Path, tmp_path: Path) -> None:
    data = bytearray(film.read_bytes())
    begin = data.index(b"mdat") + 4
    for at in range(begin + (len(data) - begin) // 10, begin + (len(data) - begin) // 4):
        data[at] = (data[at] * 7 + 13) % 256
    (tmp_path / "damaged.mp4").write_bytes(data)
    report = make_report(Job(tmp_path / "damaged.mp4", tmp_path / "out", talk_in(tmp_path))).report
    assert [w for w in report.warnings if "the pictures are damaged near 0:0" in w]
    assert len(report.findings) == 3
    for row in report.findings:
        assert Image.open(tmp_path / "out" / (row.still or "")).size == (480, 270)
        with av.open(str(tmp_path / "out" / (row.clip or ""))) as container:
            assert list(container.decode(video=0))


def test_sound_alone_goes_on_without_pictures(tmp_path: Path) -> None:
    sound = make_media_file(tmp_path / "walk.m4a", sound=[(0.0, tone(22))])
    report = make_report(Job(sound, tmp_path / "out", talk_in(tmp_path))).report
    assert report.findings
    assert report.warnings == []
    assert not (tmp_path / "out" / "stills").exists()


def test_times_that_are_estimates_do_not_say_what_was_not_shown(film: Path, tmp_path: Path) -> None:
    plain = "\n".join(line.split("] ")[1] for line in TALK.splitlines())
    report = make_report(Job(film, tmp_path / "out", talk_in(tmp_path, plain))).report
    assert report.transcript.timing == "estimated"
    assert all(f.not_shown is None and f.still and f.clip is None for f in report.findings)


def test_a_film_that_went_away_leaves_a_warning(made: Outcome, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(made.record_path.parent, tmp_path / "out"))
    (folder / "pictures.json").unlink()
    heard = json.loads((folder / "heard.json").read_text())
    heard["films"][0]["path"] = "gone.mp4"
    (folder / "heard.json").write_text(json.dumps(heard))
    report = rebuild(folder).report
    assert any("gone.mp4" in w for w in report.warnings)
    assert len(report.findings) == len(made.report.findings)


def test_a_full_disk_stops_with_a_sentence_and_no_half_file(
    film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, _: bytes) -> int:
        with self.open("wb") as file:
            file.write(b"half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(stills.Path, "write_bytes", full)
    with pytest.raises(OutputError, match="No space left on device"):
        make_report(Job(film, tmp_path / "out", talk_in(tmp_path)))
    assert not [p for p in (tmp_path / "out").rglob("*") if p.is_file()]
