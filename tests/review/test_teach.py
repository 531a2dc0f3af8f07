"""Teaching the dealer's own lexicon: what would change is told first, and it holds for a new reading."""

from pathlib import Path

import pytest
from desk import lexicon, make_folder, reader

from walkround.errors import InputError, LexiconError
from walkround.pipeline import rebuild
from walkround.report.heard import read_heard
from walkround.report.record import read_report
from walkround.review.log import read_log
from walkround.review.session import Session, StaleError
from walkround.review.teach import Lesson, lesson_from, lexicon_with, text_with
from walkround.review.verify import verify

GRABBLE = {"kind": "part", "id": "grab-rail", "form": "grabble"}


def test_what_would_change_is_told_and_nothing_is_kept(tmp_path: Path) -> None:
    folder = make_folder(tmp_path / "out")
    before = sorted(p.name for p in folder.iterdir())
    session = Session(folder, "A. Tester", reader())
    told = session.try_word(GRABBLE)
    assert [row["name"] for row in told["more"]] == ["Grab rail: loose"]
    assert [row["name"] for row in told["fewer"]] == ["Chain: loose"]
    assert [(row["name"], row["text"]) for row in told["items"]] == [
        ("Grab rail", "not mentioned; then a fault spoken of")
    ]
    assert told["where"].endswith("parts.toml")
    assert sorted(p.name for p in folder.iterdir()) == before
    assert session.revision == 0


def test_a_word_that_was_taught_holds_for_a_new_reading(tmp_path: Path) -> None:
    folder = make_folder(tmp_path / "out")
    session = Session(folder, "A. Tester", reader())
    with pytest.raises(InputError, match="Look first"):
        session.teach(GRABBLE, 0)
    session.act("dismiss", {"row": "f1", "reason": "no"}, 0)
    session.try_word(GRABBLE)
    with pytest.raises(StaleError):
        session.teach(GRABBLE, 0)
    session.teach(GRABBLE, 1)
    session.save()
    assert "grab-rail" in {r.part for r in session.report.findings}
    assert (folder / "lexicon" / "parts.toml").read_text(encoding="utf-8").count("grabble") == 1
    assert read_heard(folder).lexicon == "lexicon"
    assert [e.action for e in read_log(folder).entries] == ["dismiss", "teach"]
    stored = read_report(folder / "report.json")
    assert rebuild(folder).report == stored
    assert verify(folder).changed == []
    assert len(stored.dismissed) == 1


def test_a_dealers_file_keeps_its_comments_and_words(tmp_path: Path) -> None:
    own = tmp_path / "parts.toml"
    own.write_text('# ours\n[grab-rail]\nforms = ["sissy hoop"] # local\n\n[horn]\nname = "Hooter"\n', encoding="utf-8")
    text = text_with(own, Lesson("part", "grab-rail", 'grab "it" <b>'))
    assert text.startswith("# ours\n")
    assert "# local" in text
    made = lexicon_with(tmp_path, Lesson("part", "grab-rail", 'grab "it" <b>'))
    assert {"sissy hoop", 'grab "it" <b>'} <= set(made.parts["grab-rail"].forms)
    assert made.parts["horn"].name == "Hooter"
    assert own.read_text(encoding="utf-8").count("grab ") == 0, "it was tried on a copy"


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"kind": "part", "id": "wing", "form": "x"}, "Choose the part"),
        ({"kind": "tyre", "id": "horn", "form": "x"}, "Choose the part"),
        ({"kind": "part", "id": ["horn"], "form": "x"}, "Choose the part"),
        ({"kind": "part", "id": "horn", "form": " "}, "Write the word"),
        ({"kind": "part", "id": "horn", "form": "x" * 81}, "Write the word"),
        ({"kind": "part", "id": "horn", "form": "a\nb"}, "Write the word"),
        ({"kind": "part", "id": "horn", "form": "…"}, "no word"),
        ({}, "Choose the part"),
    ],
)
def test_what_cannot_be_taught_is_told(asked: dict[str, object], says: str) -> None:
    with pytest.raises(InputError, match=says):
        lesson_from(asked, lexicon())


def test_a_word_that_means_something_else_already_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LexiconError, match=r"^parts.toml line \d+: 'chain' is given to") as told:
        lexicon_with(tmp_path, Lesson("part", "horn", "chain"))
    assert "tmp" not in str(told.value)
