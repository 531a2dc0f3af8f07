"""Timed text and chapter lists against the published rules.

WebVTT: W3C, "WebVTT: The Web Video Text Tracks Format", sections "Syntax" and "Types of cue payload". SubRip has no
standard: the form is what FFmpeg writes. Media Fragments: W3C, "Media Fragments URI 1.0". FFMETADATA1: FFmpeg's
"Metadata" document. Chapter lists: as large video hosts publish their rules (first 0:00, at least three, ascending,
10 s each). Caption limits: Netflix "Timed Text Style Guide: General Requirements" and "English Template", BBC
"Subtitle Guidelines"; the 20 characters a second of today's English guide is from memory.
"""

import re
import subprocess
from pathlib import Path

import pytest

from walkround.media.tools import ffmpeg_path
from walkround.outputs import captions
from walkround.outputs.description import faults_of_list
from walkround.outputs.ffmetadata import ffmetadata, read_ffmetadata
from walkround.outputs.films import FilmRows
from walkround.outputs.links import at_moment
from walkround.outputs.timedtext import Cue, read_subrip, read_webvtt, stamp, webvtt
from walkround.report.record import Media, TranscriptRow

VALID = ["00:01.000 --> 00:04.000", "100:00:01.000 --> 100:00:04.000", "00:00:01.000\t-->  00:00:04.000"]
INVALID = [
    "0:01.000 --> 0:04.000",  # one-digit minutes
    "00:00:01,000 --> 00:00:04,000",  # comma
    "00:04.000 --> 00:01.000",  # end before start
    "00:01.000 --> 00:01.000",  # end not after start
    "00:61.000 --> 00:62.000",
    "00:01.00 --> 00:04.000",
    "1:00:01.000 --> 1:00:04.000",  # hours of one digit
    "00:01.000-->00:04.000",
]


@pytest.mark.parametrize("timing", VALID)
def test_webvtt_timings_that_are_valid(timing: str) -> None:
    assert len(read_webvtt(f"WEBVTT\n\n{timing}\nwords\n")) == 1


@pytest.mark.parametrize("timing", INVALID)
def test_webvtt_timings_that_are_not(timing: str) -> None:
    with pytest.raises(ValueError, match="line 3"):
        read_webvtt(f"WEBVTT\n\n{timing}\nwords\n")


@pytest.mark.parametrize(
    "text",
    [
        "webvtt\n\n00:01.000 --> 00:04.000\nwords\n",
        "WEBVTTX\n\n00:01.000 --> 00:04.000\nwords\n",
        "WEBVTT\n00:01.000 --> 00:04.000\nwords\n",
        "WEBVTT\n\n00:01.000 --> 00:04.000\nTyre 3 < 4 mm\n",
        "WEBVTT\n\n00:01.000 --> 00:04.000\nchain & sprockets\n",
        "WEBVTT\n\n00:05.000 --> 00:06.000\none\n\n00:01.000 --> 00:04.000\ntwo\n",
        "WEBVTT\n\n00:01.000 --> 00:04.000\n",
    ],
)
def test_webvtt_files_that_are_not(text: str) -> None:
    with pytest.raises(ValueError, match="line"):
        read_webvtt(text)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(3599.9996, "01:00:00.000"), (0.0, "00:00:00.000"), (59.9994, "00:00:59.999"), (359999.9996, "100:00:00.000")],
)
def test_times_round_without_a_sixtieth_second(seconds: float, text: str) -> None:
    assert stamp(seconds) == text


@pytest.mark.parametrize(
    "text",
    [
        "2\n00:00:01,000 --> 00:00:02,000\nwords\n",
        "1\n00:00:01.000 --> 00:00:02.000\nwords\n",
        "1\n00:01,000 --> 00:02,000\nwords\n",
        "1\n00:00:02,000 --> 00:00:01,000\nwords\n",
        "00:00:01,000 --> 00:00:02,000\nwords\n",
    ],
)
def test_subrip_files_that_are_not(text: str) -> None:
    with pytest.raises(ValueError, match="line"):
        read_subrip(text)


def test_ffmpeg_reads_escaped_webvtt_whole(tmp_path: Path) -> None:
    """Unescaped, FFmpeg reads ``Tyre 3 < 4 mm & rim`` back as ``Tyre 3``; escaped, it is whole."""
    path = tmp_path / "cues.vtt"
    path.write_text(webvtt([Cue(1.0, 4.0, ("Tyre 3 < 4 mm & rim",))]), encoding="utf-8")
    made = subprocess.run(
        [ffmpeg_path(), "-v", "error", "-i", str(path), "-f", "srt", "-"], capture_output=True, check=True
    )
    assert made.stdout.decode().splitlines()[:3] == ["1", "00:00:01,000 --> 00:00:04,000", "Tyre 3 < 4 mm & rim"]


@pytest.mark.parametrize(
    ("times", "end", "fault"),
    [
        (["0:00", "0:12", "0:40"], 60, None),
        (["0:01", "0:12", "0:40"], 60, "not 0:00"),
        (["0:00", "0:40"], 60, "at least 3"),
        (["0:00", "0:05", "0:40"], 60, "0:00 lasts 5 s"),
        (["0:00", "0:40", "0:12"], 60, "0:40 lasts -28 s"),
        (["0:00", "0:20", "0:55"], 60, "0:55 lasts 5 s"),
        (["0:00", "59:59", "1:00:10"], 3700, None),
        (["0:00", "59:59", "60:10"], 3700, "to be written 1:00:10"),
        (["0:00", "0:10.5", "0:40"], 60, "no time and title"),
    ],
)
def test_lists_of_chapters_by_the_hosts_rules(times: list[str], end: float, fault: str | None) -> None:
    found = faults_of_list("".join(f"{time} Title\n" for time in times), end)
    assert (not found) if fault is None else any(fault in line for line in found), found


def rows(end: float) -> FilmRows:
    return FilmRows(0, Media(), TranscriptRow(source="", language="en", timing="given", segments=[]), end, ())


def test_metadata_is_written_in_ffmpegs_form() -> None:
    text = ffmetadata(rows(30.0), [(0.0, "Front"), (12.34, "Tyre & wheel = ; # \\ end")])
    assert text == (
        ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=12340\ntitle=Front\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=12340\nEND=30000\ntitle=Tyre & wheel \\= \\; \\# \\\\ end\n"
    )
    assert read_ffmetadata(text) == [(0, 12340, "Front"), (12340, 30000, "Tyre & wheel = ; # \\ end")]


@pytest.mark.parametrize("change", [("END=12340\n", ""), ("TIMEBASE=1/1000\n", ""), (";F", "F"), ("START=0", "START=")])
def test_metadata_that_loses_titles_or_times_is_refused(change: tuple[str, str]) -> None:
    text = ffmetadata(rows(30.0), [(0.0, "Front"), (12.34, "Rear")])
    with pytest.raises(ValueError, match=r"form|first line"):
        read_ffmetadata(text.replace(*change))


def test_ffmpeg_reads_the_metadata_back_equal(tmp_path: Path) -> None:
    titles = ["Front", "Räder & Reifen = ; # \\ 🏍️", "\u05e0\u05d6\u05e7 --> <b>"]
    path = tmp_path / "in.txt"
    text = ffmetadata(rows(90.0), [(30.0 * n, title) for n, title in enumerate(titles)])
    path.write_text(text, encoding="utf-8")
    made = subprocess.run(
        [ffmpeg_path(), "-v", "error", "-f", "ffmetadata", "-i", str(path), "-f", "ffmetadata", "-"],
        capture_output=True, check=True,
    ).stdout.decode()  # fmt: skip
    kept = "".join(line for line in made.splitlines(keepends=True) if not line.startswith("encoder="))
    assert read_ffmetadata(kept) == read_ffmetadata(text)


@pytest.mark.parametrize(
    ("url", "start", "wanted"),
    [
        ("https://films.example/walk.mp4", 62.5, "https://films.example/walk.mp4#t=62.5"),
        ("https://films.example/walk.mp4?v=2", 100.0, "https://films.example/walk.mp4?v=2#t=100"),
        ("https://host.example/watch?v=a&list=b", 62.9, "https://host.example/watch?v=a&list=b&t=62"),
        ("https://host.example/abc", 3723.4, "https://host.example/abc?t=3723"),
        ("https://host.example/abc/at/{t}/s", 9.9, "https://host.example/abc/at/9/s"),
    ],
)
def test_links_to_a_moment(url: str, start: float, wanted: str) -> None:
    """A media fragment is ``t=`` with seconds and a decimal point; never after the words: rounded down."""
    made = at_moment(url, start)
    assert made == wanted
    if "#" in made:
        assert re.fullmatch(r"t=\d+(\.\d+)?", made.split("#")[1])


def test_the_limits_are_the_published_ones() -> None:
    """42 characters, two lines, 5/6 s to 7 s, two frames (at 24 a second), 17 characters a second; 20 as ceiling.
    Worked: 84 characters at 17 a second need 4.94 s, at 20 a second 4.2 s."""
    assert (captions.LINE, captions.LINES) == (42, 2)
    assert pytest.approx((5 / 6, 7.0, 2 / 24)) == (captions.LEAST, captions.MOST, captions.GAP)
    assert (round(84 / captions.TARGET, 2), 84 / captions.CEILING) == (4.94, 4.2)
