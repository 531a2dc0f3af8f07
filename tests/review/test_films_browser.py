"""A walk-round of two films, joined by ``walkround add``, in a real Chromium: every page plays rows of either film."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import imageio_ffmpeg
import pytest
from click.testing import CliRunner
from playwright.sync_api import Page, expect
from serving import said
from test_browser import browser, visit  # noqa: F401

from walkround.cli import main
from walkround.demo import demo_film
from walkround.pipeline import Job, make_report
from walkround.report.record import read_report

pytestmark = pytest.mark.browser

FIRST = "The fuel tank has a dent in it."
SECOND = "The left mirror has a crack in it."
LENGTH = "() => document.querySelector('video').duration"


def words(path: Path, text: str, start: float) -> Path:
    path.write_text(json.dumps({"segments": [said(text, start, start + 2, 0.95)]}), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a walk-round of the demo's film and of one of 5 s, tall as a phone films."""
    base = tmp_path_factory.mktemp("two")
    first, second = Path(shutil.copy(demo_film(), base / "walk.mp4")), base / "second.webm"
    make_report(Job(first, base / "out", words(base / "first.json", FIRST, 12.0)))
    source = ["-f", "lavfi", "-i", "testsrc2=size=180x320:rate=25:duration=5"]
    coded = ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-g", "25"]
    subprocess.run([imageio_ffmpeg.get_ffmpeg_exe(), "-loglevel", "error", "-y", *source, *coded, second], check=True)
    told = words(base / "second.json", SECOND, 1.5)
    done = CliRunner().invoke(main, ["add", str(second), str(base / "out"), "--transcript", str(told), "--same-bike"])
    assert done.exit_code == 0, done.output
    assert {row.source: row.still is not None for row in read_report(base / "out" / "report.json").findings} == {
        0: True, 1: True,
    }  # fmt: skip
    return base


def plays_rows_of_both(page: Page) -> None:
    """Press the button of a row of each film: the player plays that film from there, beside that film's picture."""
    for mark, start, short in (("[data-source='1']", 1.5, True), (":not([data-source])", 12.0, False)):
        row = page.locator(f"#finding-rows .row{mark}")
        picture = row.locator("img.still")
        picture.scroll_into_view_if_needed()
        page.wait_for_function("i => i.complete && i.naturalWidth > 0", arg=picture.element_handle())
        tall = picture.evaluate("i => i.naturalHeight > i.naturalWidth")
        assert tall is short
        row.locator(".actions .jump").click()
        page.wait_for_function(
            "([start, short]) => { const v = document.querySelector('video');"
            " return (v.duration < 6) === short && v.readyState >= 2 && v.currentTime >= start - 0.1; }",
            arg=[start, short],
        )
        assert page.evaluate("document.querySelector('video').currentTime") < start + 3
    marks = page.locator(".timeline .jump")
    assert {mark.get_attribute("data-source") for mark in marks.all()} == {None, "1"}


def test_the_report_page_and_what_is_shared_play_either_film(two: Path, visit: Any) -> None:  # noqa: F811
    report = two / "out" / "report.html"
    plays_rows_of_both(visit(report.as_uri()).page)
    for options in ([], ["--single-file"]):
        done = CliRunner().invoke(main, ["share", str(two / "out"), *options])
        assert done.exit_code == 0, done.output
        page = two / "out" / "publish" / ("report.html" if options else "index.html")
        plays_rows_of_both(visit(page.as_uri()).page)


def test_the_review_page_and_its_report_play_either_film(two: Path, visit: Any, serve: Any) -> None:  # noqa: F811
    address, _ = serve(two / "out")
    seen = visit(address)
    for name, start, short in (("Left-hand mirror", 1.5, True), ("Fuel tank", 12.0, False)):
        line = seen.page.locator(".line", has_text=name).first
        line.locator(".jump").click()
        seen.page.wait_for_function(
            "([start, short]) => { const v = document.querySelector('video');"
            " return (v.duration < 6) === short && v.readyState >= 2 && v.currentTime >= start - 0.1; }",
            arg=[start, short],
        )
        expect(line.locator("img.still")).to_be_visible()
    page = seen.context.new_page()
    page.goto(f"{address}page")
    plays_rows_of_both(page)
