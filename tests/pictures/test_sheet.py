"""The contact sheet."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from media.making import make_media_file, steady
from PIL import Image

from walkround.cli import main
from walkround.pictures.sheet import HEAD, WIDTH
from walkround.pipeline import Job, make_report

TALK = "[0:01] The left mirror has a scratch.\n[0:03] The fuel tank has a dent.\n[0:05] The clutch lever is bent.\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    base = tmp_path_factory.mktemp("walk")
    film = make_media_file(base / "walk.mp4", pictures=steady(7))
    (base / "talk.txt").write_text(TALK)
    make_report(Job(film, base / "out", base / "talk.txt"))
    return base / "out"


def test_all_findings_are_on_one_picture(folder: Path, tmp_path: Path) -> None:
    for columns, wide in ((1, 1), (2, 2), (8, 3)):
        target = tmp_path / f"{columns}.jpg"
        ran = CliRunner().invoke(main, ["sheet", str(folder), "--columns", str(columns), "--to", str(target)])
        assert ran.exit_code == 0, ran.output
        size = Image.open(target).size
        assert size[0] // WIDTH == wide
        assert (size[1] - HEAD) // 470 == -(-3 // wide)
    CliRunner().invoke(main, ["sheet", str(folder)])
    assert Image.open(folder / "sheet.jpg").size == Image.open(tmp_path / "8.jpg").size


@pytest.mark.parametrize("gone", ["heard.json", "report.json", "stills"])
def test_what_is_missing_is_told(folder: Path, tmp_path: Path, gone: str) -> None:
    import shutil

    copy = Path(shutil.copytree(folder, tmp_path / "copy"))
    (copy / gone).rename(tmp_path / "away")
    ran = CliRunner().invoke(main, ["sheet", str(copy)])
    assert ran.exit_code == 2
    assert ran.stderr.startswith(f"walkround: {copy}")
    assert ran.stderr.count("\n") == 1


def test_a_report_without_pictures_has_no_sheet(tmp_path: Path) -> None:
    (tmp_path / "talk.txt").write_text(TALK)
    make_report(Job(None, tmp_path / "out", tmp_path / "talk.txt"))
    ran = CliRunner().invoke(main, ["sheet", str(tmp_path / "out")])
    assert ran.exit_code == 2
    assert "has no pictures" in ran.stderr
