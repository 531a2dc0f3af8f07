"""A page of a walk-round with two films: one player for both, links that say which, and what was not covered."""

import shutil
import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest
from page_sample import DEFECTS, GROUPS, PARTS, SAFETY, Seen, page, sample
from selenium import webdriver
from selenium.webdriver.common.by import By
from test_page_browser import browser as chrome  # noqa: F401
from test_page_browser import time_of, visit, wait

from walkround.report.page import render_page
from walkround.report.record import Chapter, Correction, Dismissed, Gap, Question, Report, Spoken


def two_films() -> Report:
    """The sample, its last finding and a chapter moved to a second film."""
    report = sample()
    report.findings = [finding.model_copy(update={"still": None}) for finding in report.findings]
    last = report.findings[-1].model_copy(update={"source": 1, "start": 2.5, "end": 3.0})
    return report.model_copy(
        update={
            "added": [report.media.model_copy(update={"file": "second film.webm", "sha256": "b4" * 32})],
            "added_transcripts": [
                report.transcript.model_copy(update={"segments": [report.transcript.segments[0]]})
            ],
            "findings": [*report.findings[:-1], last],
            "chapters": [*report.chapters, Chapter(source=1, start=0.0, title="Keys again", group="paperwork")],
            "gaps": [
                Gap(item="chain", name="Chain", parts=["chain"], lacks=["mention"], essential=True,
                    say="Chain: show it.", why="A worn chain is a few hundred."),
                Gap(item="front-tyre", name="Front tyre", parts=["front-tyre"], lacks=["date-code"], essential=True,
                    say="Front tyre: say the date code.", why="An old tyre is money.", start=1.0, source=1),
                Gap(item="handbook", name="Handbook", parts=["handbook"], lacks=["mention"], essential=False,
                    say="Handbook: say if it is there.", why="It is nice to have."),
            ],
            "questions": [
                Question(about="fuel tank", text="A good word and a fault. Which holds?", evidence=[
                    Spoken(quote="no marks on the tank", start=1.0, end=2.0),
                    Spoken(quote="tiny dent on the tank", start=2.0, end=3.0, source=1),
                ]),
            ],
        }
    )  # fmt: skip


def rendered(report: Report, first: str | None, second: str | None) -> str:
    return render_page(
        report, part_names=PARTS, group_names=GROUPS, defect_names=DEFECTS, safety_parts=SAFETY, video_href=first,
        added_hrefs=[second],
    )  # fmt: skip


def test_each_jump_leads_to_its_own_film() -> None:
    seen = Seen(rendered(two_films(), "walk.webm", "films/second film.webm"))
    links = {(a.get("data-source"), a["href"].split("#")[0]) for a in seen.all("a", class_="jump")}  # type: ignore[union-attr]
    assert links == {(None, "walk.webm"), ("1", "films/second%20film.webm")}
    ids = [a["id"] for _, a in seen.elements if a.get("id")]
    assert len(ids) == len(set(ids))
    assert "film=2&t=2.5" in ids
    assert "#film=2&t=2.5" in [a["href"] for a in seen.all("a", class_="copy")]
    assert "film 2, 0:02" in seen.text
    assert "b4" * 32 in seen.text


def test_what_a_person_changed_leads_to_its_own_film() -> None:
    report = two_films()
    aside = Dismissed.model_validate({**report.findings[-1].model_dump(), "start": 1.75, "reason": "a shadow"})
    put = Correction(source=1, start=2.25, heard="a", put="b", who="A. Tester", at="2026-05-14T09:12:00+00:00")
    report = report.model_copy(update={"dismissed": [aside], "corrections": [put]})
    links = {
        a["data-start"]: a.get("data-source")
        for a in Seen(rendered(report, "a.webm", "b.webm")).all("a", class_="jump")
    }
    assert (links["1.75"], links["2.25"]) == ("1", "1")


def test_a_further_film_that_is_not_there_is_a_time_only() -> None:
    seen = Seen(rendered(two_films(), "walk.webm", None))
    assert {a.get("data-source") for a in seen.all("a", class_="jump")} == {None}
    assert "film 2, 0:02" in seen.text


def test_what_was_not_covered_is_told_openly() -> None:
    text = " ".join(Seen(rendered(two_films(), None, None)).text.split())
    start = text.index("What was not covered")
    told = text[start : text.index("Said two ways")]
    assert "Chain" in told
    assert "A worn chain is a few hundred." in told
    assert "Front tyre: not said: date code" in told
    assert "Handbook" not in told
    assert "no marks on the tank" in text
    assert "tiny dent on the tank" in text


def test_a_record_without_gaps_claims_no_coverage() -> None:
    text = Seen(page(sample())).text
    assert "What was not covered" not in text
    assert "Everything that matters" not in text


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two films of different lengths beside their page."""
    base = tmp_path_factory.mktemp("two")
    ffmpeg = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error", "-y"]
    coded = ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-c:a", "libopus"]
    for name, seconds in (("walk.webm", 12), ("second film.webm", 4)):
        picture = ["-f", "lavfi", "-i", f"testsrc2=size=320x180:rate=25:duration={seconds}"]
        sound = ["-f", "lavfi", "-i", f"sine=frequency=300:duration={seconds}"]
        subprocess.run([*ffmpeg, *picture, *sound, *coded, str(base / name)], check=True)
    text = rendered(two_films(), "walk.webm", "second film.webm")
    (base / "report.html").write_text(text, encoding="utf-8")
    return base


LENGTH = "document.querySelector('video').duration"


@pytest.mark.browser
def test_one_player_plays_either_film(chrome: webdriver.Chrome, folder: Path) -> None:  # noqa: F811
    assert shutil.which("chromedriver")
    visit(chrome, folder / "report.html")
    rows = {source: chrome.find_element(By.CSS_SELECTOR, f".row{mark} .jump") for source, mark in
            (("first", ":not([data-source])"), ("second", "[data-source='1']"))}  # fmt: skip
    rows["second"].click()
    wait(chrome, f"return {LENGTH} < 5 && document.querySelector('video').currentTime >= 2.4")
    assert chrome.execute_script("return location.hash") == "#film=2&t=2.5"
    assert len(chrome.find_elements(By.CSS_SELECTOR, ".row.is-current")) == 1
    wait(chrome, "return document.querySelector('.chapters [aria-current] bdi')?.textContent === 'Keys again'")
    cues = (
        "return [...document.querySelector('video').textTracks].map(t => { t.mode = 'hidden'; return t.cues.length; })"
    )
    assert chrome.execute_script(cues) == [1]
    rows["first"].click()
    wait(chrome, f"return {LENGTH} > 10 && document.querySelector('video').currentTime >= 2.4")
    assert chrome.execute_script("return location.hash") == "#t=2.5"
    assert chrome.execute_script(cues) == [len(sample().transcript.segments)]
    assert chrome.get_log("browser") == []


@pytest.mark.browser
def test_a_link_into_the_second_film_opens_there(chrome: webdriver.Chrome, folder: Path) -> None:  # noqa: F811
    visit(chrome, folder / "report.html", "#film=2&t=2.5")
    wait(chrome, f"return {LENGTH} < 5 && Math.abs(document.querySelector('video').currentTime - 2.5) < 0.3")
    assert time_of(chrome) == pytest.approx(2.5, abs=0.3)
    assert chrome.execute_script("return document.querySelector('video').paused")
