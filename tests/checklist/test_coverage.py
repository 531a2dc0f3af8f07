"""What the checklist may never do, for any rows that a reading can hold."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from walkround.checklist.coverage import Item, checklist
from walkround.narration.lexicon import Lexicon, Part
from walkround.narration.model import DefectRow, Reading, Row, TakenBack, Verdict

SIDED, PLAIN = "mirror", "seat"
TABLES = ("findings", "verdicts", "named", "repaired", "withdrawn")
Entry = tuple[str, str, str | None, bool]  #: table, part, side, tentative


class Small(Lexicon):
    """A lexicon of two parts, one on each side and one in the middle."""

    parts = {  # type: ignore[assignment]  # noqa: RUF012
        SIDED: Part(SIDED, "Mirror", "controls", sided=True),
        PLAIN: Part(PLAIN, "Seat", "tank-and-seat"),
    }


#: The same rows each time, so that a fault is not there today and gone tomorrow.
STEADY = settings(max_examples=300, derandomize=True, deadline=None)
LEXICON = Small({}, "")


def entries(**fixed: Any) -> st.SearchStrategy[Entry]:
    """Rows as a reading may hold them: a side only where the part has sides."""
    sided = st.tuples(
        fixed.get("table", st.sampled_from(TABLES)),
        st.just(SIDED),
        fixed.get("side", st.sampled_from([None, "left", "right", "both"])),
        st.booleans(),
    )
    plain = st.tuples(fixed.get("table", st.sampled_from(TABLES)), st.just(PLAIN), st.none(), st.booleans())
    return sided if "side" in fixed else sided | plain


def reading(rows: list[Entry]) -> Reading:
    """A reading with these rows, each with words and a moment of its own."""
    made = Reading()
    for number, (table, part, side, tentative) in enumerate(rows):
        kind: Callable[..., Row] = {
            "findings": DefectRow, "verdicts": Verdict, "named": Row, "repaired": DefectRow,
            "withdrawn": TakenBack,
        }[table]  # fmt: skip
        row = kind(f"words {number} of {table}", float(number), number + 0.5, part, side)
        if isinstance(row, DefectRow):
            row.tentative = tentative
        getattr(made, table).append(row)
    return made


def items(rows: list[Entry], part: str = SIDED) -> list[Item]:
    return [item for item in checklist(LEXICON, reading(rows)) if item.part == part]


def state(rows: list[Entry], side: str) -> str | None:
    """What the checklist says of one side: its own row, that of both, or that without a side."""
    found = {item.side: item.state for item in items(rows)}
    return found.get(side) or found.get("both") or found.get(None)


def spoken(rows: list[Entry], part: str) -> bool:
    return any(item.state != "not-mentioned" for item in items(rows, part))


@STEADY
@given(st.lists(entries()))
def test_a_side_with_a_finding_is_never_clear(rows: list[Entry]) -> None:
    for part in (SIDED, PLAIN):
        marked = {side for table, p, side, _ in rows if p == part and table == "findings"}
        for item in items(rows, part):
            meets = {item.side, "both", None} & marked if item.side in ("left", "right") else marked
            assert not (meets and item.state == "clear"), item


@STEADY
@given(st.lists(entries()))
def test_a_part_with_a_finding_shows_it(rows: list[Entry]) -> None:
    for part in (SIDED, PLAIN):
        for table, p, side, _ in rows:
            if table == "findings" and p == part:
                sides = {side, "both"} | ({"left", "right"} if side == "both" else set())
                assert any(i.state == "finding" and i.side in sides for i in items(rows, part))


@STEADY
@given(st.lists(entries()))
def test_clear_rests_on_a_good_word_for_that_side(rows: list[Entry]) -> None:
    for part in (SIDED, PLAIN):
        good = {side for table, p, side, _ in rows if p == part and table == "verdicts"}
        for item in items(rows, part):
            if item.state == "clear":
                assert good & ({item.side, "both"} if item.side in ("left", "right") else {item.side, "left"})


@STEADY
@given(st.lists(entries()), st.lists(entries()))
def test_more_words_never_uncover_a_part(rows: list[Entry], more: list[Entry]) -> None:
    for part in (SIDED, PLAIN):
        assert spoken(rows + more, part) or not spoken(rows, part)


@STEADY
@given(st.lists(entries(side=st.sampled_from(["right", "both"]))), st.lists(entries(side=st.just("left"))))
def test_words_of_the_left_never_change_the_right(rows: list[Entry], left: list[Entry]) -> None:
    assert state(rows + left, "right") == state(rows, "right")


@STEADY
@given(st.lists(entries(side=st.sampled_from(["left", "both"]))), st.lists(entries(side=st.just("right"))))
def test_words_of_the_right_never_change_the_left(rows: list[Entry], right: list[Entry]) -> None:
    assert state(rows + right, "left") == state(rows, "left")


@STEADY
@given(st.lists(entries()), st.lists(entries(side=st.just("left"))))
def test_words_of_the_left_never_praise_the_right_nor_hide_its_fault(rows: list[Entry], left: list[Entry]) -> None:
    """With rows that name no side among them, for which left words may say which side was meant."""
    before, after = state(rows, "right"), state(rows + left, "right")
    assert after != "clear" or before == "clear"
    assert before != "finding" or any(i.state == "finding" for i in items(rows + left))


@STEADY
@given(st.lists(entries()))
@example([("findings", SIDED, "left", False), ("verdicts", SIDED, None, False), ("named", SIDED, "right", False)])
@example([("verdicts", SIDED, "left", False), ("named", SIDED, None, False), ("named", SIDED, "right", False)])
def test_each_side_has_its_say_exactly_once(rows: list[Entry]) -> None:
    """A side that was spoken of by name stands in the list as spoken of, with words to show for it."""
    found = items(rows)
    assert len({item.side for item in found}) == len(found)
    for side in ("left", "right"):
        told = [i for i in found if i.side in (side, "both")] or [i for i in found if i.side is None]
        assert len(told) == 1
        if any(s in (side, "both") for _, p, s, _ in rows if p == SIDED):
            assert told[0].state != "not-mentioned"
            assert told[0].evidence


@STEADY
@given(st.lists(entries()))
def test_a_part_without_sides_has_one_row(rows: list[Entry]) -> None:
    (item,) = items(rows, PLAIN)
    assert item.side is None


@STEADY
@given(st.lists(entries()))
def test_evidence_is_there_where_something_was_said_and_only_there(rows: list[Entry]) -> None:
    for part in (SIDED, PLAIN):
        for item in items(rows, part):
            assert bool(item.evidence) == (item.state != "not-mentioned")
            assert all(row.part == part for row in item.evidence)
            if item.side in ("left", "right"):
                assert all(row.side in (item.side, "both") for row in item.evidence)


def test_nothing_said_is_nothing_mentioned() -> None:
    assert [(i.part, i.side, i.state) for i in checklist(LEXICON, Reading())] == [
        (SIDED, "both", "not-mentioned"),
        (PLAIN, None, "not-mentioned"),
    ]


@pytest.mark.parametrize(
    ("rows", "part"),
    [
        ([("findings", SIDED, "left", False), ("verdicts", SIDED, None, False)], SIDED),
        ([("findings", SIDED, None, False), ("verdicts", SIDED, "left", False)], SIDED),
        ([("findings", SIDED, "left", False), ("verdicts", SIDED, "left", False)], SIDED),
        ([("findings", SIDED, "left", False), ("verdicts", SIDED, "both", False)], SIDED),
        ([("findings", PLAIN, None, False), ("verdicts", PLAIN, None, False)], PLAIN),
    ],
)
def test_praise_and_fault_of_one_part_are_brought_to_a_person(rows: list[Entry], part: str) -> None:
    """Praise ("the mirrors are good") and a fault ("the left one is scratched") cannot stand unremarked."""
    assert any(item.review for item in items(rows, part))
