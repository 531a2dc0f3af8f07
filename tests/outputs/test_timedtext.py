"""WebVTT and SubRip: two independent readers each, our own strict check, and FFmpeg's."""

import html
import io

import pysubs2
import pytest
import srt
import webvtt as webvtt_py

from walkround.outputs.captions import cues_of
from walkround.outputs.description import joined_chapters
from walkround.outputs.films import films_of
from walkround.outputs.timedtext import Cue, chapter_cues, read_subrip, read_webvtt, stamp, subrip, webvtt
from walkround.report.record import Report


@pytest.fixture(params=["demo", "hostile"])
def cues(request: pytest.FixtureRequest) -> list[Cue]:
    report: Report = request.getfixturevalue(request.param)
    (film,) = films_of(report)
    return cues_of(report, film)


def test_webvtt_comes_back_as_it_was(cues: list[Cue]) -> None:
    assert read_webvtt(webvtt(cues)) == [Cue(round(c.start, 3), round(c.end, 3), c.lines) for c in cues]


def test_webvtt_py_reads_the_same_cues(cues: list[Cue]) -> None:
    """webvtt-py does not unescape (seen in version 0.6.0)."""
    found = webvtt_py.from_buffer(io.StringIO(webvtt(cues)))
    assert [c.start for c in found] == [stamp(c.start) for c in cues]
    assert [c.end for c in found] == [stamp(c.end) for c in cues]
    assert [html.unescape(c.raw_text) for c in found] == ["\n".join(c.lines) for c in cues]


def test_pysubs2_reads_the_same_times_and_words(demo: Report) -> None:
    (film,) = films_of(demo)
    cues = cues_of(demo, film)
    for text, form in ((webvtt(cues), "vtt"), (subrip(cues), "srt")):
        found = pysubs2.SSAFile.from_string(text, format_=form)
        assert [(e.start, e.end) for e in found] == [(round(c.start * 1000), round(c.end * 1000)) for c in cues]
        assert [e.plaintext for e in found] == ["\n".join(c.lines) for c in cues]


def test_subrip_comes_back_and_the_srt_package_reads_it_strictly(cues: list[Cue]) -> None:
    text = subrip(cues)
    wanted = ["\n".join(c.lines).replace("-->", "→") for c in cues]
    assert ["\n".join(c.lines) for c in read_subrip(text)] == wanted
    found = list(srt.parse(text, ignore_errors=False))
    assert [c.content for c in found] == wanted
    assert [c.index for c in found] == list(range(1, len(cues) + 1))
    assert [round(c.start.total_seconds(), 3) for c in found] == [round(c.start, 3) for c in cues]
    assert srt.compose(found, reindex=False) == text


def test_chapters_as_webvtt(demo: Report) -> None:
    (film,) = films_of(demo)
    entries = [(e.start, e.title) for e in joined_chapters(demo, film)]
    found = read_webvtt(webvtt(chapter_cues(film, entries)))
    assert [(c.start, c.text) for c in found] == entries
    assert [c.end for c in found] == [*(start for start, _ in entries[1:]), film.end]
    assert all(len(c.lines) == 1 for c in found)


def test_an_empty_talk_is_a_valid_file() -> None:
    assert webvtt([]) == "WEBVTT\n"
    assert read_webvtt(webvtt([])) == []
    assert subrip([]) == ""
