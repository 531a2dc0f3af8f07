"""Covering a marked region in stills and clips: it is unreadable wherever it moves, and the rest is left alone."""

import io
import shutil
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from click.testing import CliRunner
from media.making import make_media_file, steady
from pictures.filming import draw_wall
from PIL import Image, ImageDraw, ImageFont

from walkround.cli import main
from walkround.pictures.cover import Seeker, cover_clip, covered_still
from walkround.pictures.stale import renew_outputs
from walkround.pipeline import Job, make_report
from walkround.report.record import Still, read_report
from walkround.review.carry import with_chosen

SIZE = (640, 360)


def plate() -> Image.Image:
    made = Image.new("RGB", (150, 44), (235, 200, 40))
    draw = ImageDraw.Draw(made)
    draw.rectangle((1, 1, 148, 42), outline=(20, 20, 20), width=3)
    draw.text((12, 2), "QY68 BRM", fill=(15, 15, 15), font=ImageFont.load_default(30))
    return made


def scene(step: float) -> tuple[np.ndarray, tuple[int, int, int, int]]:
    """A picture with the plate on its way across, coming nearer; and where it is."""
    view = draw_wall(5).crop((300 + int(step * 200), 200, 940 + int(step * 200), 560)).resize(SIZE)
    wide = round(110 + 90 * step)
    small = plate().resize((wide, round(wide * 44 / 150)), Image.Resampling.LANCZOS)
    at = (round(60 + 330 * step), round(90 + 140 * step))
    view.paste(small, at)
    return np.asarray(view), (*at, *small.size)


def alike(a: np.ndarray, b: np.ndarray, box: tuple[int, int, int, int]) -> float:
    """How far the fine drawing in the box is the same: correlation of the pictures less their smooth part."""
    x, y, w, h = box
    parts = [p[y : y + h, x : x + w].mean(2) for p in (a, b)]
    fine = [p - np.asarray(Image.fromarray(p.astype(np.uint8)).resize((4, 2)).resize((w, h)), float) for p in parts]
    return float((fine[0] * fine[1]).sum() / max(1e-6, (fine[0] ** 2).sum()))


def test_stills_are_covered_at_other_sizes_and_places() -> None:
    marked, box = scene(0.4)
    seeker = Seeker(marked, box)
    for step in (0.0, 0.2, 0.4, 0.7, 1.0):
        picture, true = scene(step)
        made = covered_still(picture, [seeker])
        assert abs(alike(picture, made, true)) < 0.2, step
        changed = np.abs(made.astype(int) - picture).max(2) > 0
        x, y, w, h = true
        changed[max(0, y - h) : y + 2 * h, max(0, x - w) : x + 2 * w] = False
        assert not changed.any(), "the rest of the picture is left alone"


def test_a_picture_without_it_is_left_alone() -> None:
    marked, box = scene(0.4)
    other = np.asarray(draw_wall(9).crop((900, 300, 1540, 660)))
    assert np.array_equal(covered_still(other, [Seeker(marked, box)]), other)


def test_a_clip_is_covered_in_every_picture(tmp_path: Path) -> None:
    steps = np.linspace(0, 1, 40)
    with av.open(str(tmp_path / "plain.mp4"), "w") as container:
        stream = container.add_stream("libx264", rate=20, options={"crf": "20"})
        stream.width, stream.height, stream.pix_fmt = *SIZE, "yuv420p"
        stream.codec_context.time_base = Fraction(1, 1000)
        for n, step in enumerate(steps):
            frame = av.VideoFrame.from_ndarray(scene(step)[0], format="rgb24")
            frame.pts, frame.time_base = n * 50, Fraction(1, 1000)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    marked, box = scene(steps[20])
    cover_clip(tmp_path / "plain.mp4", tmp_path / "covered.mp4", [Seeker(marked, box)])
    with av.open(str(tmp_path / "covered.mp4")) as container:
        made = [frame.to_ndarray(format="rgb24") for frame in container.decode(video=0)]
    assert len(made) == len(steps)
    left = [abs(alike(scene(step)[0], picture, scene(step)[1])) for step, picture in zip(steps, made, strict=True)]
    assert max(left) < 0.25
    with av.open(str(tmp_path / "plain.mp4")) as container:
        before = next(container.decode(video=0)).to_ndarray(format="rgb24")
    assert alike(scene(0.0)[0], before, scene(0.0)[1]) > 0.8, "the measure sees a plate that is not covered"
    assert pytest.approx(2.0, abs=0.1) == _seconds(tmp_path / "covered.mp4")


def _seconds(path: Path) -> float:
    with av.open(str(path)) as container:
        return float(container.duration or 0) / av.time_base


@pytest.fixture(scope="module")
def plain_walk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film that shows the plate all the time, and the folder of its walk-round."""
    folder = tmp_path_factory.mktemp("plain")
    film = folder / "walk.mp4"
    with av.open(str(film), "w") as container:
        stream = container.add_stream("libx264", rate=10, options={"crf": "20", "g": "10"})
        stream.width, stream.height, stream.pix_fmt = *SIZE, "yuv420p"
        for n in range(50):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(scene(n / 50)[0], format="rgb24")))
        container.mux(stream.encode(None))
    (folder / "talk.txt").write_text("[0:01] The left mirror has a scratch.\n")
    make_report(Job(film, folder / "out", folder / "talk.txt"))
    return folder


@pytest.fixture
def walk(plain_walk: Path, tmp_path: Path) -> Path:
    """A copy of the walk-round's folder, the film beside it."""
    return Path(shutil.copytree(plain_walk, tmp_path / "walk")) / "out"


def run(*words: str) -> str:
    ran = CliRunner().invoke(main, list(words))
    assert ran.exit_code == 0, ran.output
    return ran.output


def cover_plate(out: Path) -> str:
    row = read_report(out / "report.json").findings[0]
    box = scene((row.still_at or 0.0) / 5)[1]
    return run("cover", str(out), row.still or "", ",".join(str(v) for v in box))


@pytest.fixture(scope="module")
def covered(plain_walk: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The walk-round's folder after the plate was covered."""
    out = Path(shutil.copytree(plain_walk, tmp_path_factory.mktemp("covered") / "walk")) / "out"
    assert "not a guarantee" in cover_plate(out)
    return out


def test_the_command_covers_what_was_marked_and_takes_the_plain_pictures_away(plain_walk: Path, covered: Path) -> None:
    before = read_report(plain_walk / "out" / "report.json").findings[0]
    after = read_report(covered / "report.json").findings[0]
    assert after.still != before.still
    left = {p.name for name in ("stills", "clips") for p in (covered / name).iterdir()}
    named = {Path(n or "").name for n in (after.still, after.clip, *(s.file for s in after.other_stills))}
    assert left == named
    made = np.asarray(Image.open(covered / (after.still or "")))
    at = (before.still_at or 0.0) / 5
    assert abs(alike(scene(at)[0], made, scene(at)[1])) < 0.25


def test_nothing_from_before_shows_it_any_more(walk: Path) -> None:
    """The sheet is made anew, pages and pictures to pass on are removed and named, a person's own page is named."""
    publish = walk / "publish"
    run("sheet", str(walk), "--columns", "1")
    run("share", str(walk))
    run("share", str(walk), "--single-file")
    run("table", str(walk))
    sheet = (walk / "sheet.jpg").read_bytes()
    (publish / "index.html").write_text("a page changed by hand")
    told = cover_plate(walk)
    assert f"Made anew: {walk}/sheet.jpg" in told
    assert (walk / "sheet.jpg").read_bytes() != sheet
    assert Image.open(walk / "sheet.jpg").size == Image.open(io.BytesIO(sheet)).size
    assert f"Removed, since from before this was covered: {publish}/report.html, 4 stills and clips" in told
    assert {p.relative_to(publish).as_posix() for p in publish.rglob("*") if p.is_file()} == {
        "findings.csv", "made-by-walkround.json", "index.html", "walk.mp4"
    }  # fmt: skip
    for name in ("index.html", "walk.mp4"):
        assert f"may still show it: {publish}/{name}" in told


def test_what_is_shared_afterwards_stays(covered: Path) -> None:
    assert "the film that goes with them shows it" in run("share", str(covered))
    shared = sorted(p for p in (covered / "publish").rglob("*") if p.is_file())
    assert renew_outputs(covered, covered / "publish").kept == [covered / "publish" / "walk.mp4"]
    assert sorted(p for p in (covered / "publish").rglob("*") if p.is_file()) == [
        p for p in shared if p.suffix != ".html"
    ]


def test_a_picture_that_a_person_chose_is_the_covered_one(plain_walk: Path, covered: Path) -> None:
    before = read_report(plain_walk / "out" / "report.json").findings[0]
    report = read_report(covered / "report.json")
    for still in (*before.other_stills, Still(file=before.still or "", time=before.still_at or 0.0)):
        row = with_chosen(report, {before.id: still}).findings[0]
        assert row.still_at == still.time
        assert all((covered / (name or "")).is_file() for name in (row.still, *(s.file for s in row.other_stills)))


@pytest.mark.parametrize(("still", "box", "says"), [
    ("stills/other.jpg", "1,1,20,20", "is no still of this walk-round"),
    (None, "1,1,20", "is no region"),
    (None, "600,300,200,200", "is not inside the still"),
    (None, "-5,-5,20,20", "is not inside the still"),
])  # fmt: skip
def test_a_wrong_mark_is_told(tmp_path: Path, still: str | None, box: str, says: str) -> None:
    film = make_media_file(tmp_path / "walk.mp4", pictures=steady(4))
    (tmp_path / "talk.txt").write_text("[0:01] The left mirror has a scratch.\n")
    report = make_report(Job(film, tmp_path / "out", tmp_path / "talk.txt")).report
    ran = CliRunner().invoke(main, ["cover", str(tmp_path / "out"), still or report.findings[0].still or "", box])
    assert ran.exit_code == 2
    assert says in ran.stderr
