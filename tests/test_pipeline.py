"""The whole path without the command line: stages, pages, names that bite, the same bytes each time."""

import json
import os
import subprocess
import sys
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from media.making import make_media_file, steady, tone

from walkround.errors import TranscriptError, WalkroundError
from walkround.pipeline import Job, Outcome, hotwords, make_report
from walkround.report.record import read_report

ROOT = Path(__file__).resolve().parents[1]
TALK = """\
[0:00] This one is a 2019 with 8,000 miles on it.
[0:02] The left mirror has a scratch on the back, and "this" <b>bar end</b> is bent & scuffed.
[0:04] The fuel tank is perfect, no marks on it.
"""


class Links(HTMLParser):
    """The addresses and the tags of a page."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.videos: list[str] = []
        self.jumps: list[str] = []
        self.tags: set[str] = set()
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        named = dict(attrs)
        if tag == "video":
            self.videos.append(named["src"] or "")
        if tag == "a" and "jump" in (named.get("class") or "").split():
            self.jumps.append(named["href"] or "")


class Told:
    """A Progress that takes down what it is told."""

    def __init__(self) -> None:
        self.stages: list[tuple[str, float | None]] = []
        self.amounts: list[float] = []

    def stage(self, name: str, total: float | None = None) -> None:
        self.stages.append((name, total))

    def done(self, amount: float) -> None:
        self.amounts.append(amount)

    def say(self, text: str) -> None:
        raise AssertionError(f"nothing is fetched here: {text}")


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("film")
    return make_media_file(folder / "walk.mp4", pictures=steady(6), sound=[(0.0, tone(6))])


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    path = tmp_path / "talk.txt"
    path.write_text(TALK, encoding="utf-8")
    return path


def linked(href: str, folder: Path) -> Path:
    """The file that a link on a page in the folder leads to; the link has neither scheme, host nor query."""
    parts = urlsplit(href)
    assert (parts.scheme, parts.netloc, parts.query) == ("", "", "")
    return (folder / unquote(parts.path, errors="surrogateescape")).resolve()


def leads_to_the_video(made: Outcome, video: Path) -> None:
    links = Links(made.page_path)
    assert [linked(v, made.page_path.parent) for v in links.videos] == [video.resolve()]
    assert all(urlsplit(v).fragment == "" for v in links.videos)
    for jump in links.jumps:
        assert linked(jump, made.page_path.parent) == video.resolve()
        assert urlsplit(jump).fragment.startswith("t=")
    assert len(links.jumps) > 3
    assert not {"c", "b"} & links.tags, "words and names stay text"


@pytest.mark.parametrize(
    "name",
    [
        'a"b<c>#1 ?&.mp4',
        "Vidéos du garage/двухколёсный 二輪 é.mp4",
        "100%41 %2e.mp4",
        "javascript:alert(1).mp4",
        "concat:one|two.mp4",
        "-out.mp4",
        "'; $(touch owned) `touch owned`.mp4",
        "two\nlines.mp4",
        "a;b=c,d{{ 7 * 7 }}{% x %}.mp4",
    ],
)
def test_the_page_finds_a_video_of_any_name(film: Path, talk: Path, tmp_path: Path, name: str) -> None:
    video = tmp_path / "in" / name
    video.parent.mkdir(parents=True)
    video.write_bytes(film.read_bytes())
    made = make_report(Job(video, tmp_path / "report of <b>it</b> & ünïcode", talk))
    leads_to_the_video(made, video)
    assert read_report(made.record_path).media.file == video.name
    assert not list(tmp_path.rglob("owned"))


def test_a_name_in_another_encoding_is_told_or_used(film: Path, talk: Path, tmp_path: Path) -> None:
    """Old memory cards and archives carry Latin-1 names, which are not UTF-8: never a traceback."""
    video = tmp_path / os.fsdecode(b"caf\xe9.mp4")
    try:
        video.write_bytes(film.read_bytes())
    except OSError:
        return  # this file system takes UTF-8 only, so there is no such file to give
    told = None
    try:
        made = make_report(Job(video, tmp_path / "out", talk))
    except WalkroundError as error:
        told = str(error)
    if told is None:
        leads_to_the_video(made, video)
    else:
        assert "caf" in told
        assert told.isprintable()


@pytest.mark.parametrize("out", [".", "deeper/below", "../beside"])
def test_relative_folders(film: Path, talk: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, out: str) -> None:
    here = tmp_path / "here"
    here.mkdir()
    (here / "walk.mp4").write_bytes(film.read_bytes())
    monkeypatch.chdir(here)
    leads_to_the_video(make_report(Job(Path("walk.mp4"), Path(out), talk)), here / "walk.mp4")


def test_the_record_knows_its_video(film: Path, talk: Path, tmp_path: Path) -> None:
    media = make_report(Job(film, tmp_path / "out", talk)).report.media
    assert media.file == "walk.mp4"
    assert media.sha256 == sha256(film.read_bytes()).hexdigest()
    assert media.duration == pytest.approx(6.0, abs=0.1)
    assert (media.width, media.height, media.rotation) == (64, 48, 0)


def test_without_a_video_the_page_has_none(talk: Path, tmp_path: Path) -> None:
    made = make_report(Job(None, tmp_path / "out", talk))
    assert Links(made.page_path).videos == []
    assert made.report.media.model_dump() == dict.fromkeys(made.report.media.model_dump())
    assert made.report.findings


def test_the_record_that_is_written_is_the_one_that_is_returned(talk: Path, tmp_path: Path) -> None:
    made = make_report(Job(None, tmp_path / "out", talk))
    assert read_report(made.record_path) == made.report
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        "heard.json", "made-by-walkround.json", "report.html", "report.json",
    ]  # fmt: skip


def test_stages_are_told_in_order(film: Path, talk: Path, tmp_path: Path) -> None:
    told = Told()
    make_report(Job(film, tmp_path / "out", talk), told)
    assert [name for name, _ in told.stages] == [
        "Looking at the video", "Reading the transcript", "Reading the narration",
        "Looking at the pictures", "Cutting clips", "Writing the report",
    ]  # fmt: skip


def test_nothing_is_written_when_the_words_cannot_be_read(film: Path, tmp_path: Path) -> None:
    words = tmp_path / "words.srt"
    words.write_text("1\nno times here\n")
    with pytest.raises(TranscriptError, match="line 2"):
        make_report(Job(film, tmp_path / "out", words))
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[0:00] The mirror has a scratch.\n[9:00] The seat is torn.\n", "video only to 0:06"),
        ("The mirror has a scratch.\n", "estimated"),
        ("[0:01] And then we went to the beach and had some ice cream.\n", "right recording"),
    ],
)
def test_doubts_about_the_whole_are_warnings(film: Path, tmp_path: Path, text: str, says: str) -> None:
    words = tmp_path / "words.txt"
    words.write_text(text)
    made = make_report(Job(film, tmp_path / "out", words))
    assert [says in warning for warning in made.report.warnings] == [True]
    assert made.page_path.read_text(encoding="utf-8").count(made.report.warnings[0][:30]) >= 1


def test_plain_text_has_estimated_times_in_the_record(tmp_path: Path) -> None:
    words = tmp_path / "words.txt"
    words.write_text("The mirror has a scratch.\n")
    assert make_report(Job(None, tmp_path / "out", words)).report.transcript.timing == "estimated"


def test_words_of_an_earlier_record_give_the_same_rows(talk: Path, tmp_path: Path) -> None:
    first = make_report(Job(None, tmp_path / "one", talk)).report
    again = make_report(Job(None, tmp_path / "two", tmp_path / "one" / "report.json")).report
    assert again.findings == first.findings
    assert again.checklist == first.checklist
    assert again.transcript == first.transcript


def test_weak_words_are_said_to_be_weak(tmp_path: Path) -> None:
    """The recogniser's own probabilities reach the row: the same words, strong and weak."""

    def review(probability: float) -> str | None:
        words = [
            {"word": word, "start": n / 3, "end": (n + 1) / 3, "probability": probability}
            for n, word in enumerate(["The", "left", "mirror", "has", "a", "scratch."])
        ]
        path = tmp_path / f"{probability}.json"
        path.write_text(json.dumps({"segments": [{"start": 0, "end": 3, "words": words}]}))
        (finding,) = make_report(Job(None, tmp_path / f"out-{probability}", path)).report.findings
        assert (finding.part, finding.side, finding.defect) == ("mirror", "left", "scratch")
        return finding.review

    assert review(0.95) is None
    assert review(0.2)


def test_hotwords_are_words_of_the_trade_each_once() -> None:
    from walkround.narration.lexicon import load_lexicon

    words = hotwords(load_lexicon())
    assert {"stanchion", "swingarm", "corrosion"} <= set(words)
    assert len(words) == len(set(words))


def test_the_same_input_gives_the_same_bytes(film: Path, talk: Path, tmp_path: Path) -> None:
    """In processes whose sets and dicts hash differently, with other locales and time zones."""
    made = []
    for seed, zone, tongue in (("1", "UTC", "C"), ("4711", "Asia/Tokyo", "C.UTF-8")):
        out = tmp_path / f"out-{seed}"
        words = ["--transcript", str(talk), "--out", str(out)]
        subprocess.run(
            [sys.executable, "-m", "walkround", "report", str(film), *words],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": tongue},
            cwd=ROOT, check=True, capture_output=True,
        )  # fmt: skip
        made.append({str(p.relative_to(out)): p.read_bytes() for p in out.rglob("*") if p.is_file()})
    assert set(made[0]) >= {"report.json", "report.html"}
    assert {Path(name).suffix for name in made[0]} >= {".jpg", ".mp4"}
    assert made[0] == made[1]
