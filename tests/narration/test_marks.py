"""Full stops and commas put where the words came without any."""

import generator
import pytest

from walkround.narration.marks import restore, walk, weights
from walkround.narration.reader import Reader


def marked(reader: Reader, text: str) -> str:
    """The text with the marks that were guessed."""
    doc = reader.parse(generator.transcript(text))
    return " ".join(token.text + doc._.tokens[i].mark for i, token in enumerate(doc))


@pytest.mark.parametrize(
    "text",
    [
        "there's a blemish on the left pannier rail",
        "there isn't a single stone chip on the exhaust header",
        "the rear brake drum is free of surface rust",
        "the left oil tank cover might be scuffed",
    ],
)
def test_no_mark_stands_inside_what_belongs_together(reader: Reader, text: str) -> None:
    assert not any(mark in marked(reader, text).rstrip(".") for mark in ".,")


def test_two_statements_are_parted(reader: Reader) -> None:
    text = marked(reader, "the tank has a dent in it and that's it the seat is perfect no tears or rips in it at all")
    assert any(f"{word}{mark} the seat" in text for word in ("it", "that") for mark in ".,")


def test_the_weights_decide(reader: Reader) -> None:
    """With weights that always prefer a full stop, every gap that may have one gets one."""
    doc = reader.parse(generator.transcript("so we start with something here"))
    restore(doc, {"bias": [0.0, 0.0, 1.0]})
    assert [doc._.tokens[i - 1].mark for i, _ in walk(doc)] == ["."] * (len(doc) - 1)
    assert all(len(row) == 3 for row in weights().values())
