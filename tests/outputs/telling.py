"""Records made from words and times alone, without listening."""

from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, transcript_row
from walkround.report.record import Media, Report
from walkround.speech.spread import spread_segment
from walkround.speech.transcript import Transcript

HOSTILE = "<script>alert(1)</script> --> & &amp; \"double\" 'single' 🏍️ \u05e0\u05d6\u05e7 {{ 7*7 }} =1+1;#\\"
HOSTILE_TALK = [
    (0.5, 8.0, "This is the Velmoor Garganey, it's a 2019 with 8,000 miles on it."),
    (10.0, 24.0, f"The left mirror has a scratch {HOSTILE} on the back of it."),
    (26.0, 40.0, f"The front mudguard is cracked, {HOSTILE}, by the bolt."),
    (45.0, 60.0, "=SUM(A1) the chain is rusty, and the rear tyre is worn. --> & < >"),
    (62.0, 75.0, f"It comes with two keys. There's a dent in it, {HOSTILE}."),
    (76.0, 88.0, "The fuel tank has a dent, <b>there</b>, -->."),
]
Line = tuple[float, float, str]


def film(lines: list[Line], duration: float | None, name: str = "walk.mp4", timing: str = "recognised") -> Film:
    """A film with these words: (start, end, text)."""
    segments = tuple(spread_segment(text, start, end) for start, end, text in lines)
    talk = Transcript(segments, timing, "a test")  # type: ignore[arg-type]
    media = Media(file=name, sha256="a" * 64, duration=duration, width=640, height=360, rotation=0)
    return Film(media=media if duration else Media(), path=None, transcript=transcript_row(talk))


def told(reader: Reader, *films: list[Line], duration: float | None = None) -> Report:
    """The record of one film or several, each ``duration`` long."""
    made = [film(lines, duration, f"walk-{n}.mp4") for n, lines in enumerate(films, 1)]
    return assemble(Heard(films=made), reader.lexicon, reader)[0]
