"""Transcripts from files: what is read, and what is said of files that cannot be."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from walkround.errors import TranscriptError
from walkround.speech.cues import read_srt, read_vtt
from walkround.speech.imported import read_transcript
from walkround.speech.transcript import Transcript, Word

Write = Callable[[str, str | bytes], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def write(name: str, content: str | bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


def rows(transcript: Transcript) -> list[tuple[float, float, str]]:
    return [(s.start, s.end, s.text) for s in transcript.segments]


SRT = """1
00:00:01,000 --> 00:00:03,500
<i>The left</i> mirror
has a scratch &amp; a chip

2
00:01:04,000 --> 00:01:05,000 X1:10 X2:20
{\\an8}<font color="red">Tank</font> good
"""
VTT = """WEBVTT - walk round

NOTE two
lines

STYLE
::cue { color: red }

first
00:01.000 --> 00:03.000 align:start position:10%
<v Bob>Tank &amp; seat <b>fine</b></v>

01:00:04.000 --> 01:00:05.000
less &lt; 3&nbsp;mm
"""


def test_srt(write: Write) -> None:
    read = read_transcript(write("a.srt", SRT))
    assert rows(read) == [(1.0, 3.5, "The left mirror has a scratch &amp; a chip"), (64.0, 65.0, "Tank good")]
    assert (read.timing, read.source, read.warnings) == ("given", "SubRip file", ())


def test_vtt(write: Write) -> None:
    read = read_transcript(write("a.vtt", VTT))
    assert rows(read) == [(1.0, 3.0, "Tank & seat fine"), (3604.0, 3605.0, "less < 3 mm")]
    assert (read.timing, read.source) == ("given", "WebVTT file")


def test_vtt_times_inside_a_cue(write: Write) -> None:
    cue = "WEBVTT\n\n00:01.000 --> 00:05.000\nTank<00:04.000><c.loud> good</c>\n"
    read = read_transcript(write("a.vtt", cue))
    assert [(w.text, w.start, w.end) for w in read.words()] == [("Tank", 1.0, 4.0), ("good", 4.0, 5.0)]


def test_words_share_their_cue_by_length(write: Write) -> None:
    read = read_transcript(write("a.srt", "1\n00:00:10,000 --> 00:00:20,000\na stanchion\n"))
    first, second = read.words()
    assert first.start == 10.0
    assert second.end == 20.0
    assert first.end == second.start == pytest.approx(10 + 10 * 2 / 12, abs=0.001)


@pytest.mark.parametrize("name", ["a.txt", "a", "a.vtt"])
def test_content_says_what_it_is(write: Write, name: str) -> None:
    assert read_transcript(write(name, SRT)).source == "SubRip file"
    assert read_transcript(write("b.srt", VTT)).source == "WebVTT file"
    assert read_transcript(write("c.srt", '{"segments": [{"start": 0, "end": 1, "text": "a"}]}')).source.startswith(
        "JSON"
    )


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-8"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(write: Write, encoding: str, newline: str) -> None:
    text = SRT.replace("mirror", "mîrror").replace("\n", newline)
    assert rows(read_transcript(write("a.srt", text.encode(encoding))))[0][2].startswith("The left mîrror has")


def test_whisper_json(write: Write) -> None:
    data = {
        "text": "...", "language": "en",
        "segments": [
            {"start": 0.5, "end": 2.0, "text": " No words here"},
            {"start": 2.0, "end": 6.0, "text": " x", "words": [
                {"word": " In", "start": 2.0, "end": 2.5, "probability": 0.9},
                {"word": " 2014,", "probability": 0.5},
                {"text": "it", "start": 4.0, "end": 4.5},
                {"word": " rusted."},
            ]},
        ],
    }  # fmt: skip
    read = read_transcript(write("a.json", json.dumps(data)))
    assert read.timing == "given"
    assert read.segments[0].text == "No words here"
    assert read.segments[1].words == (
        Word("In", 2.0, 2.5, 0.9),
        Word("2014,", 2.5, 4.0, 0.5),
        Word("it", 4.0, 4.5),
        Word("rusted.", 4.5, 6.0),
    )


def test_a_report_of_ours(write: Write) -> None:
    words = [{"text": "Tank", "start": 1.0, "end": 1.4, "probability": 0.8}]
    segment = {"start": 1.0, "end": 1.4, "text": "Tank", "words": words}
    row = {"source": "faster-whisper base", "language": "en", "timing": "recognised", "segments": [segment]}
    read = read_transcript(write("report.json", json.dumps({"schema_version": "1.0", "transcript": row})))
    assert (read.timing, read.source) == ("recognised", "faster-whisper base")
    assert list(read.words()) == [Word("Tank", 1.0, 1.4, 0.8)]


def test_timed_text(write: Write) -> None:
    text = "[0:01] The front mudguard\nhas a chip\n\n[0:02.5] tank\n[0:02.5] and seat\n"
    text += "[pause 3]\n[1:00:02] mirror\n"
    read = read_transcript(write("a.txt", text))
    assert [s.text for s in read.segments] == ["The front mudguard has a chip", "tank and seat", "mirror"]
    assert [s.start for s in read.segments] == [1.0, 2.5, 3602.0]
    assert read.segments[0].end == 2.5  # cut short by the next line
    assert 3.0 < read.segments[1].end < 4.0  # its words are over long before the next line
    assert read.timing == "given"


PLAIN = """The front mudguard has a chip, just there. The headlight is clear.
[pause 6]
Now the tank.
[pause]
Good.
"""


def test_plain_text_is_estimated(write: Write) -> None:
    read = read_transcript(write("a.txt", PLAIN))
    assert read.timing == "estimated"
    assert "estimated" in read.warnings[0]
    first, second, third = read.segments
    assert second.start - first.end == pytest.approx(6.8, abs=0.01)
    assert third.start - second.end == pytest.approx(2.8, abs=0.01)
    words = list(first.words)
    assert words[6].start - words[5].end == pytest.approx(0.2, abs=0.002)  # after "chip,"
    assert words[8].start - words[7].end == pytest.approx(0.5, abs=0.002)  # after "there."


def test_plain_text_runs_at_about_170_words_a_minute(write: Write) -> None:
    """The rate is common practice for ordinary talk, no source. No commas, so no pauses."""
    text = (
        "This one is a nice tidy bike with a full history and two keys and the front mudguard has a small "
        "stone chip just there on the edge but the headlight is clear and the fork stanchions are straight"
    )
    read = read_transcript(write("a.txt", text))
    assert len(text.split()) / read.segments[-1].end * 60 == pytest.approx(170, rel=0.1)


@pytest.mark.parametrize("duration", [9.0, 12.0, 15.0, 18.0])
def test_plain_text_fits_the_video(write: Write, duration: float) -> None:
    read = read_transcript(write("a.txt", PLAIN), duration)
    assert read.segments[-1].end <= duration + 0.01
    if duration >= 15:  # there is room: what was written stays as long as it says
        assert 6 <= read.segments[1].start - read.segments[0].end <= 6.8 * 1.6
    starts = [w.start for w in read.words()]
    assert starts == sorted(starts)


def test_plain_text_is_not_stretched_without_end(write: Write) -> None:
    assert read_transcript(write("a.txt", PLAIN), 600.0).segments[-1].end < 30


def test_numbers_with_points_are_one_word(write: Write) -> None:
    read = read_transcript(write("a.txt", "It shows 8,412 miles and 3.5 mm. Right."))
    words = list(read.words())
    assert [w.text for w in words] == ["It", "shows", "8,412", "miles", "and", "3.5", "mm.", "Right."]
    assert words[3].start == words[2].end


def test_given_times_past_the_end_are_told(write: Write) -> None:
    assert "runs to 1:05, the video only to 0:30" in read_transcript(write("a.srt", SRT), 30.0).warnings[0]
    assert read_transcript(write("a.srt", SRT), 64.5).warnings == ()


BAD = [
    ("a.srt", "1\n00:00:01,000 -> 00:00:03,500\nx\n", 2, "no timing line"),
    ("a.srt", "1\n00:00:01,000 --> 00:00:03\nx\n", 2, "no timing line"),
    ("a.srt", SRT + "\n3\n00:01:05,000 --> 00:01:04,000\nx\n", 11, "ends before it starts"),
    ("a.srt", SRT + "\n3\n00:00:02,000 --> 00:01:04,000\nx\n", 11, "times go backwards"),
    ("a.srt", "1\n00:61:01,000 --> 00:62:03,500\nx\n", 2, "reach 60"),
    ("a.srt", "1\n00:00:01,000 --> 00:00:03,500\nx\n\nmore of it\n", 5, "no timing line"),
    (
        "a.srt",
        "1\n00:00:01,000 --> 00:00:03,500\nx\n2\n00:00:04,000 --> 00:00:05,000\ny\n",
        5,
        "inside a cue",
    ),
    ("a.vtt", "00:01.000 --> 00:03.000\nfoo\n", 1, "no timing line"),
    ("a.vtt", "Tank good.\n", 1, "does not begin with WEBVTT"),
    ("a.vtt", "WEBVTT\n\n00:01,000 --> 00:03,000\nfoo\n", 3, "no timing line"),
    ("a.vtt", "WEBVTT\n\n00:03.000 --> 00:01.000\nfoo\n", 3, "ends before it starts"),
    ("a.vtt", "WEBVTT\n\n00:03.000 --> 00:04.000\nfoo\n\n00:01.000 --> 00:02.000\nbar\n", 6, "backwards"),
    ("a.vtt", "WEBVTT\n00:03.000 --> 00:04.000\nfoo\n", 1, "empty line"),
    ("a.vtt", "WEBVTT\n\n00:03.000 --> 00:04.000\nfoo <00:09.000>bar\n", 4, "inside the cue"),
    ("a.json", '{"segments": [\n{"start": 1, "end": 3,,}]}', 2, "column 23"),
    ("a.json", '{"segments": [{"start": 0, "end": 1, "text": "a"}', 1, "column"),
    ("a.txt", "[0:01] a\n[0:71] b\n", 2, "no time"),
    ("a.txt", "[0:10] a\n[0:05] b\n", 2, "earlier"),
    ("a.txt", "Walk-round\n[0:05] b\n", 1, "has no time"),
    ("a.txt", b"tank\ncaf\xe9\n", 2, "save the file as UTF-8"),
    ("a.txt", b"tank\n\x00\x01", 2, "not text"),
]


@pytest.mark.parametrize(("name", "content", "line", "what"), BAD)
def test_faults_name_the_line(write: Write, name: str, content: str | bytes, line: int, what: str) -> None:
    path = write(name, content)
    with pytest.raises(TranscriptError) as caught:
        read_transcript(path)
    message = str(caught.value)
    assert message.startswith(f"{path}, line {line}:"), message
    assert what in message
    assert "\n" not in message
    assert message.endswith(".")


SHAPES = [
    ("[]", "no words"),
    ('{"a": 1}', 'no list "segments"'),
    ('{"segments": [1]}', "segment 1 is not an object"),
    ('{"segments": [{"start": 1, "text": "a"}]}', "segment 1 lacks its start or end"),
    ('{"segments": [{"start": 2, "end": 1, "text": "a"}]}', "segment 1 ends before it starts"),
    ('{"segments": [{"start": 1, "end": 2}]}', "neither text nor words"),
    ('{"segments": [{"start": "1", "end": 2, "text": "a"}]}', '"start" of segment 1 is not a number'),
    ('{"segments": [{"start": NaN, "end": 2, "text": "a"}]}', "not a number"),
    ('{"segments": [{"start": -1, "end": 2, "text": "a"}]}', "not a number"),
    ('{"segments": [{"start": true, "end": 2, "text": "a"}]}', "not a number"),
    (
        '{"segments": [{"start": 5, "end": 6, "text": "a"}, {"start": 1, "end": 2, "text": "b"}]}',
        "segment 2 starts before",
    ),
    ('{"segments": [{"start": 1, "end": 2, "words": [{"start": 1}]}]}', "word 1 of segment 1 has no text"),
    ('{"segments": [{"start": 1, "end": 2, "words": "x"}]}', "is not a list"),
    (
        '{"segments": [{"start": 1, "end": 9, "words": [{"word": "a", "start": 5}, {"word": "b", "start": 2}]'
        "}]}",
        "starts before the one before it",
    ),
    ("[" * 100_000, "nested too deeply"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "what"), SHAPES)
def test_json_that_is_no_transcript(write: Write, content: str, what: str) -> None:
    path = write("a.json", content)
    with pytest.raises(TranscriptError) as caught:
        read_transcript(path)
    assert what in str(caught.value)
    assert str(path) in str(caught.value)


def test_files_that_are_not_there_or_hold_nothing(write: Write, tmp_path: Path) -> None:
    for path, what in (
        (tmp_path / "gone.srt", "does not exist"),
        (tmp_path, "is a folder"),
        (write("empty.srt", ""), "is empty"),
        (write("blank.txt", " \n\n"), "is empty"),
        (write("head.vtt", "WEBVTT\n\nNOTE nothing\n"), "holds no words"),
        (write("pauses.txt", "[pause 3]\n"), "holds no words"),
    ):
        with pytest.raises(TranscriptError) as caught:
            read_transcript(path)
        assert what in str(caught.value)
        assert str(path) in str(caught.value)


# --- round trips -------------------------------------------------------------------------------------------


#: Letters, digits, punctuation and other scripts; no markup, which has tests of its own.
WORD = st.text("aZ09é'’.,!?%£-—…()\"北ß", min_size=1, max_size=8).filter(lambda w: "--" not in w)
TEXT = st.lists(WORD, min_size=1, max_size=8).map(" ".join)


@st.composite
def cues(draw: st.DrawFn) -> list[tuple[int, int, str]]:
    """Cues in order: start and end in milliseconds, and text."""
    made = []
    start = 0
    for text in draw(st.lists(TEXT, min_size=1, max_size=6)):
        start += draw(st.integers(0, 5_000_000))
        made.append((start, start + draw(st.integers(0, 20_000)), text))
    return made


def stamp(milliseconds: int, mark: str) -> str:
    seconds, thousandths = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{thousandths:03}"


@settings(max_examples=60, deadline=None)
@given(cues())
def test_srt_comes_back(made: list[tuple[int, int, str]]) -> None:
    text = "\n".join(f"{n}\n{stamp(a, ',')} --> {stamp(b, ',')}\n{words}\n" for n, (a, b, words) in enumerate(made, 1))
    assert [(s.start, s.end, s.text) for s in read_srt(text)] == [(a / 1000, b / 1000, w) for a, b, w in made]


@settings(max_examples=60, deadline=None)
@given(cues(), st.booleans())
def test_vtt_comes_back(made: list[tuple[int, int, str]], named: bool) -> None:
    text = "WEBVTT\n\n" + "\n".join(
        (f"cue {n}\n" if named else "") + f"{stamp(a, '.')} --> {stamp(b, '.')}\n<v A. B>{words}</v>\n"
        for n, (a, b, words) in enumerate(made)
    )
    read = read_vtt(text)
    assert [(s.start, s.end, s.text) for s in read] == [(a / 1000, b / 1000, w) for a, b, w in made]
    for segment in read:
        starts = [w.start for w in segment.words]
        assert starts == sorted(starts)
        assert segment.start <= starts[0]
        assert segment.words[-1].end <= segment.end + 0.001
