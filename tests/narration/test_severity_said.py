"""How bad a mark is, is told only where somebody said it: a bare scratch is not called minor."""

from functools import cache

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.report.record import Finding, Settled
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Transcript


@cache
def reader() -> Reader:
    return Reader(load_lexicon())


@pytest.mark.parametrize(
    ("talk", "said"),
    [
        ("There's a scratch on the tank.", False),
        ("There's a tiny scratch on the tank.", True),
        ("There's a long scratch on the tank.", False),
        ("The brake hose is dangerous, it's perished.", True),
        ("The left mirror is scratched.", False),
    ],
)
def test_whether_the_words_say_how_bad_a_mark_is(talk: str, said: bool) -> None:
    (row,) = reader().read(Transcript(tuple(read_plain_text(talk, None)), "estimated", "a test")).findings
    assert row.severity_said is said


def test_nothing_is_called_minor_of_which_nobody_said_so() -> None:
    def row(**more: object) -> Finding:
        fields = {
            "quote": "a scratch", "start": 0, "end": 1, "id": "f1", "part": "seat", "side": None, "defect": "scratch",
            "severity": "minor", "confidence": 1.0,
        }  # fmt: skip
        return Finding.model_validate(fields | more)

    by_hand = Settled(how="changed", who="A. Tester", at="2026-05-14T09:12:00+00:00", was={"severity": "moderate"})
    assert row().how_bad is None
    assert row(severity_said=True).how_bad == "minor"
    assert row(extent="four inches").how_bad is None
    assert row(settled=by_hand).how_bad == "minor"
    assert row(severity="serious").how_bad == "serious"
