"""Laying edits over a reading: each does what it says, none loses a line, and a new reading loses none of them."""

import json
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from desk import TALK, heard_of, lexicon, read, reader, transcript
from hypothesis import given, settings
from hypothesis import strategies as st

from walkround.errors import InputError
from walkround.narration.model import Row
from walkround.pipeline import assemble
from walkround.report.heard import Heard
from walkround.report.record import Finding, Report, Still
from walkround.review.acts import ACTS, Desk
from walkround.review.apply import GONE, Applied, applied, apply
from walkround.review.carry import carried, with_chosen
from walkround.review.checks import FITTED
from walkround.review.log import Entry, Log, effective, new_entry
from walkround.review.signing import open_rows
from walkround.review.targets import key_of_question
from walkround.review.view import key_of, state
from walkround.review.words import put_right

TIME = "2026-05-14T09:12:00+00:00"


class Bench:
    """A log that grows by acts, and the record as it is after them."""

    def __init__(self) -> None:
        self.base, self.reading = read()
        self.log = Log(path=None)  # type: ignore[arg-type]

    @property
    def now(self) -> Applied:
        return applied(self.base, effective(self.log.entries)[0], lexicon(), self.reading)

    @property
    def report(self) -> Report:
        return self.now.report

    def act(self, action: str, **asked: Any) -> Entry:
        fields = ACTS[action](Desk(self.now, lexicon(), self.log), asked)
        entry = new_entry(self.log.entries, "A. Tester", action, time=TIME, **fields)  # type: ignore[arg-type]
        self.log.entries.append(Entry.model_validate_json(entry.line()))  # as it comes back from the disk
        return entry

    def read_again(self, talk: Iterable[tuple[str, float]] | None = None) -> None:
        """The same talk read anew: with other words, and with the log's corrections."""
        heard = heard_of(transcript(tuple(talk) if talk else TALK))
        corrected, _ = put_right(heard, effective(self.log.entries)[0])
        self.base, self.reading = assemble(corrected, lexicon(), reader())

    def row(self, part: str | None, defect: str, side: str | None = None) -> Finding:
        rows = [*self.report.findings, *self.report.unplaced]
        (found,) = [r for r in rows if (r.part, r.defect) == (part, defect) and (side is None or r.side == side)]
        return found

    def state(self, part: str) -> set[str]:
        return {row.state for row in self.report.checklist if row.part == part}


@pytest.fixture
def bench() -> Bench:
    return Bench()


def said(rows: Iterable[Finding]) -> list[tuple[str | None, str | None, str]]:
    return sorted(((r.part, r.side, r.defect) for r in rows), key=str)


def test_without_edits_the_record_is_the_one_that_was_read(bench: Bench) -> None:
    assert bench.report == bench.base


def test_confirming_settles_and_changes_nothing_else(bench: Bench) -> None:
    row = bench.row("rear-tyre", "wear")
    assert row.review
    bench.act("confirm", row=row.id)
    now = bench.row("rear-tyre", "wear")
    assert now.review is None
    assert now.settled
    assert (now.settled.how, now.settled.who, now.settled.at, now.settled.was) == ("confirmed", "A. Tester", TIME, {})
    assert now.model_copy(update={"review": row.review, "settled": None}) == row


def test_a_changed_part_changes_the_checklist_too(bench: Bench) -> None:
    bench.act("change", row=bench.row("fuel-tank", "scuff").id, fields={"part": "tail-unit", "severity": "moderate"})
    row = bench.row("tail-unit", "scuff")
    assert row.settled
    assert row.settled.was == {"part": "fuel-tank", "severity": "minor"}
    assert bench.state("tail-unit") == {"finding"}
    assert bench.state("fuel-tank") == {"finding"}, "the dent is there still"
    bench.act("change", row=bench.row("fuel-tank", "dent").id, fields={"part": "side-panel", "side": "left"})
    assert bench.state("fuel-tank") == {"named"}, "spoken of, but with no fault now, and nothing good either"


def test_what_was_read_is_kept_over_several_changes(bench: Bench) -> None:
    for severity in ("serious", "minor", "moderate"):
        bench.act("change", row=bench.row("fuel-tank", "scuff").id, fields={"severity": severity})
    settled = bench.row("fuel-tank", "scuff").settled
    assert settled
    assert settled.was == {"severity": "minor"}
    bench.act("change", row=bench.row("fuel-tank", "scuff").id, fields={"severity": "minor"})
    settled = bench.row("fuel-tank", "scuff").settled
    assert settled
    assert settled.was == {}


def test_an_unplaced_line_gets_its_part(bench: Bench) -> None:
    bench.act("change", row=bench.row(None, "scratch").id, fields={"part": "windscreen"})
    row = bench.row("windscreen", "scratch")
    assert row.settled
    assert row.settled.how == "placed"
    assert bench.report.unplaced == []
    assert bench.state("windscreen") == {"finding"}


def test_a_line_set_aside_stays_in_the_record_with_its_reason(bench: Bench) -> None:
    bench.act("dismiss", row=bench.row("radiator", "bent").id, reason="  it was <b>another</b> bike ")
    (row,) = bench.report.dismissed
    assert (row.part, row.defect, row.reason) == ("radiator", "bent", "it was <b>another</b> bike")
    assert bench.state("radiator") == {"named"}
    assert "radiator" not in {r.part for r in bench.report.findings}


def test_a_line_is_added_by_hand_and_says_so(bench: Bench) -> None:
    fields = {"start": 12.5, "end": 15, "part": "horn", "defect": "crack", "quote": "the horn is cracked"}
    bench.act("add", fields=fields)
    row = bench.row("horn", "crack")
    assert row.settled
    assert (row.settled.how, row.start, row.review) == ("added", 12.5, None)
    assert bench.state("horn") == {"finding"}
    bench.act("change", row=row.id, fields={"severity": "serious"})
    assert bench.row("horn", "crack").settled.how == "added"  # type: ignore[union-attr]


def test_a_line_is_split_in_two(bench: Bench) -> None:
    row = bench.row("fuel-tank", "scuff")
    bench.act("split", row=row.id, rows=[{"side": None}, {"part": "tail-unit", "defect": "scratch"}])
    assert bench.row("fuel-tank", "scuff").settled
    two = bench.row("tail-unit", "scratch")
    assert two.quote == row.quote
    bench.act("change", row=two.id, fields={"severity": "serious"})
    assert bench.row("tail-unit", "scratch").severity == "serious"


def test_two_lines_are_joined_and_neither_is_lost(bench: Bench) -> None:
    first, second = bench.row("rear-tyre", "wear"), bench.row("rear-tyre", "mark")
    bench.act("join", row=first.id, other=second.id)
    row = bench.row("rear-tyre", "wear")
    assert (row.start, row.end, row.review) == (first.start, second.end, None)
    assert [(r.defect, r.reason) for r in bench.report.dismissed] == [("mark", "says again what another line says")]


def test_a_checklist_line_is_settled_until_there_is_another_reason(bench: Bench) -> None:
    (row,) = [c for c in bench.report.checklist if c.part == "chain"]
    assert row.review
    bench.act("confirm", part="chain", side=None)
    (now,) = [c for c in bench.report.checklist if c.part == "chain"]
    assert now.review is None
    assert now.settled
    changed = bench.base.model_copy(
        update={
            "checklist": [c.model_copy(update={"review": "other"}) if c.review else c for c in bench.base.checklist]
        }
    )
    (again,) = [c for c in apply(changed, bench.log.entries, lexicon(), bench.reading).checklist if c.part == "chain"]
    assert again.review == "other"


def test_a_part_is_marked_not_fitted_but_never_one_with_a_fault(bench: Bench) -> None:
    bench.act("not-fitted", part="centre-stand", side=None, why="it has none")
    (row,) = [c for c in bench.report.checklist if c.part == "centre-stand"]
    assert row.not_fitted == "it has none"
    with pytest.raises(InputError, match="is fitted"):
        bench.act("not-fitted", part="radiator", side=None)
    bench.act("add", fields={"start": 1, "end": 2, "part": "centre-stand", "defect": "bent", "quote": "stand bent"})
    (row,) = [c for c in bench.report.checklist if c.part == "centre-stand"]
    assert (row.state, row.not_fitted) == ("finding", None)
    assert row.review


def test_another_picture_is_chosen_and_kept_over_a_new_look_at_the_film(bench: Bench) -> None:
    stills = [Still(file=f"stills/{n}.jpg", time=n) for n in (20, 21, 22)]

    def with_stills(report: Report) -> Report:
        """What a look at the film puts into a row, whatever a person chose."""
        new = {"still": stills[0].file, "still_at": 20.0, "other_stills": stills[1:]}
        rows = [f.model_copy(update=new) if f.part == "radiator" else f for f in report.findings]
        return report.model_copy(update={"findings": rows})

    bench.base = with_stills(bench.base)
    row = bench.row("radiator", "bent")
    bench.act("picture", row=row.id, still="stills/22.jpg")
    now = bench.now
    report = with_chosen(with_stills(now.report), now.pictures)
    (row,) = [f for f in report.findings if f.part == "radiator"]
    assert (row.still, row.still_at) == ("stills/22.jpg", 22)
    assert [s.file for s in row.other_stills] == ["stills/20.jpg", "stills/21.jpg"]
    assert carried(now.report, report).findings == report.findings


def test_undo_and_redo(bench: Bench) -> None:
    bench.act("dismiss", row=bench.row("radiator", "bent").id, reason="no")
    after = bench.report
    bench.act("undo")
    assert bench.report == bench.base
    bench.act("redo")
    assert bench.report == after
    with pytest.raises(InputError, match="nothing to do again"):
        bench.act("redo")


# A new reading


def test_a_corrected_word_changes_the_reading_and_keeps_what_is_settled(bench: Bench) -> None:
    bench.act("change", row=bench.row("rear-tyre", "wear").id, fields={"severity": "serious"})
    bench.act("confirm", row=bench.row("chain", "corrosion").id)
    (word,) = [w for s in bench.report.transcript.segments for w in s.words if w.text == "grabble"]
    bench.act("correct", source=0, start=word.start, heard="grabble", put="grab rail")
    bench.read_again()
    assert bench.row("grab-rail", "loose").review is None
    assert bench.row("rear-tyre", "wear").severity == "serious"
    assert bench.row("chain", "corrosion").settled
    assert open_rows(bench.report) == open_rows(bench.base) - 2
    assert bench.base.transcript.segments[12].text == "The grab rail is loose when you give it a pull."


def test_a_settled_line_that_is_read_differently_is_kept_for_a_look(bench: Bench) -> None:
    row = bench.row("chain", "loose")
    bench.act("confirm", row=row.id)
    (word,) = [w for s in bench.report.transcript.segments for w in s.words if w.text == "grabble"]
    bench.act("correct", source=0, start=word.start, heard="grabble", put="grab rail")
    bench.read_again()
    kept = bench.row("chain", "loose")
    assert (kept.review, kept.quote) == (GONE, row.quote)
    assert bench.row("grab-rail", "loose")
    bench.act("dismiss", row=kept.id, reason="it is the grab rail")
    assert {r.part for r in bench.report.findings if r.defect == "loose"} == {"grab-rail"}
    assert [r.part for r in bench.report.dismissed] == ["chain"]


def test_a_line_put_right_by_hand_is_not_doubled_when_it_is_then_read_so(bench: Bench) -> None:
    bench.act("confirm", row=bench.row("chain", "loose").id)
    bench.act("change", row=bench.row("chain", "loose").id, fields={"part": "grab-rail", "severity": "serious"})
    (word,) = [w for s in bench.report.transcript.segments for w in s.words if w.text == "grabble"]
    bench.act("correct", source=0, start=word.start, heard="grabble", put="grab rail")
    bench.read_again()
    row = bench.row("grab-rail", "loose")
    assert (row.severity, row.review) == ("serious", None)
    assert [r for r in bench.report.findings if r.part == "chain" and r.defect == "loose"] == []


def test_a_kept_line_can_be_confirmed_again(bench: Bench) -> None:
    bench.act("confirm", row=bench.row("radiator", "bent").id)
    bench.read_again([(t, p) for t, p in TALK if "radiator" not in t])
    assert bench.row("radiator", "bent").review == GONE
    bench.act("confirm", row=bench.row("radiator", "bent").id)
    assert bench.row("radiator", "bent").review is None


def test_setting_aside_never_takes_another_line(bench: Bench) -> None:
    """Two faults of a kind on one part: one is set aside, a new reading has only the other."""
    two = [*TALK, ("There's a second dent, bigger, on the side of the fuel tank, and it's deep.", 0.95)]
    bench.read_again(two)
    dents = [r for r in bench.report.findings if (r.part, r.defect) == ("fuel-tank", "dent")]
    bench.act("dismiss", row=dents[0].id, reason="no")
    bench.read_again([(t, p) if "dent in the fuel tank" not in t else ("Nothing here.", p) for t, p in two])
    left = [r for r in bench.report.findings if (r.part, r.defect) == ("fuel-tank", "dent")]
    assert len(left) >= 1
    assert [r.reason for r in bench.report.dismissed] == ["no"]


@given(st.floats(-0.9, 0.9), st.sampled_from(["The", "A"]))
@settings(deadline=None, max_examples=15)
def test_times_that_move_a_little_keep_their_edits(by: float, word: str) -> None:
    bench = Bench()
    bench.act("change", row=bench.row("radiator", "bent").id, fields={"severity": "serious"})
    bench.act("dismiss", row=bench.row("brake-lever", "bent").id, reason="no")
    moved = [
        f.model_copy(update={"start": round(f.start + by, 3), "quote": f.quote.replace("The", word)})
        if f.start > 2 else f
        for f in bench.base.findings
    ]  # fmt: skip
    bench.base = bench.base.model_copy(update={"findings": moved})
    assert bench.row("radiator", "bent").severity == "serious"
    assert bench.row("radiator", "bent").review is None
    assert [r.part for r in bench.report.dismissed] == ["brake-lever"]
    assert "brake-lever" not in {r.part for r in bench.report.findings}


# Doubt, rows that are read alike, sides, several films


def doubted_seat(bench: Bench, *, twice: bool = False) -> None:
    """The bench with a fault that may be the seat's, which was praised: the line is unplaced, the words doubted."""
    loose = bench.row(None, "scratch")
    review = f"is it a fault of this part (rider-seat, {loose.defect})? the words are far apart"
    rows = [loose.model_copy(update={"review": review, "id": f"u{n}"}) for n in range(1, 3 if twice else 2)]
    bench.base = bench.base.model_copy(update={"unplaced": rows})
    bench.reading = replace(bench.reading, doubted=[Row(loose.quote, loose.start, loose.end, "rider-seat", None)])


@pytest.mark.parametrize("asked", [{}, {"fields": {"severity": "serious"}}])
def test_confirming_a_fault_without_a_part_makes_no_part_clear(bench: Bench, asked: dict[str, Any]) -> None:
    doubted_seat(bench)
    bench.act("change" if asked else "confirm", row=bench.report.unplaced[0].id, **asked)
    assert bench.state("rider-seat") == {"named"}
    assert len(bench.report.unplaced) == 1


@pytest.mark.parametrize(
    ("action", "asked", "state"),
    [
        ("change", {"fields": {"part": "windscreen"}}, "clear"),
        ("change", {"fields": {"part": "rider-seat"}}, "finding"),
        ("dismiss", {"reason": "it was my glove"}, "clear"),
    ],
)
def test_doubt_ends_when_the_fault_is_placed_or_set_aside(
    bench: Bench, action: str, asked: dict[str, Any], state: str
) -> None:
    doubted_seat(bench)
    bench.act(action, row=bench.report.unplaced[0].id, **asked)
    assert bench.state("rider-seat") == {state}


def test_doubt_stays_while_one_of_two_faults_of_the_same_words_is_open(bench: Bench) -> None:
    doubted_seat(bench, twice=True)
    bench.act("dismiss", row="u1", reason="said twice")
    assert bench.state("rider-seat") == {"named"}
    bench.act("dismiss", row="u1", reason="it was my glove")
    assert bench.state("rider-seat") == {"clear"}


def test_two_faults_of_the_same_words_are_two_lines(bench: Bench) -> None:
    bench.read_again([("There's a scratch there and a scratch there.", 0.95)])
    first, second = bench.report.unplaced
    assert (first.quote, first.start, first.defect) == (second.quote, second.start, second.defect)
    assert open_rows(bench.report) == 2
    bench.act("confirm", row=first.id)
    assert [bool(row.settled) for row in bench.report.unplaced] == [True, False]
    bench.act("confirm", row=second.id)
    assert open_rows(bench.report) == 0
    bench.act("change", row=second.id, fields={"part": "chain"})
    assert [row.part for row in (*bench.report.findings, *bench.report.unplaced)] == ["chain", None]
    assert len({key_of(bench.now, row) for row in (*bench.report.findings, *bench.report.unplaced)}) == 2


def test_not_fitted_reaches_the_side_that_was_not_spoken_of(bench: Bench) -> None:
    bench.act("not-fitted", part="pannier", side="both")
    bench.act("change", row=bench.row("radiator", "bent").id, fields={"part": "pannier", "side": "left"})
    rows = {row.side: row for row in bench.report.checklist if row.part == "pannier"}
    assert set(rows) == {"left", "right"}
    assert rows["right"].not_fitted
    assert (rows["left"].state, rows["left"].not_fitted, rows["left"].review) == ("finding", None, FITTED)


def test_what_a_later_film_mends_is_open_until_a_person_looked(bench: Bench) -> None:
    films = [transcript((("The chain is worn.", 0.95),)), transcript((("The chain has now been replaced.", 0.95),))]
    heard = Heard(films=[film for talk in films for film in heard_of(talk).films])
    bench.base, bench.reading = assemble(heard, lexicon(), reader())
    (question,) = bench.report.questions
    assert open_rows(bench.report) == 1
    assert [c["open"] for c in state(bench.report, bench.now, bench.log, lexicon())["checks"] if "question" in c] == [
        True
    ]
    bench.act("confirm", question=key_of_question(question))
    assert open_rows(bench.report) == 0
    (now,) = bench.report.questions
    assert now.settled
    assert now.settled.who == "A. Tester"
    assert now.model_copy(update={"settled": None}) == question


# Properties

PARTS = ["fuel-tank", "mirror", "chain", "tail-unit", None]


def some_act(bench: Bench, draw: st.DataObject) -> None:
    rows = [*bench.report.findings, *bench.report.unplaced]
    ids = [r.id for r in rows] or ["none"]
    action = draw.draw(st.sampled_from([*ACTS, "change", "confirm", "dismiss", "undo"]))
    part = draw.draw(st.sampled_from(PARTS))
    fields = {"part": part, "severity": draw.draw(st.sampled_from(["minor", "serious"]))}
    asked: dict[str, Any] = {
        "row": draw.draw(st.sampled_from(ids)), "other": draw.draw(st.sampled_from(ids)),
        "fields": fields, "reason": draw.draw(st.text(max_size=5)), "rows": [fields, {"defect": "dent"}],
    }  # fmt: skip
    if action == "add":
        asked["fields"] = {**fields, "start": 3, "end": 4, "defect": "scuff", "quote": "added"}
    if action == "not-fitted":
        asked = {"part": "centre-stand", "side": None}
    if action == "correct":
        word = draw.draw(st.sampled_from([w for s in bench.report.transcript.segments for w in s.words]))
        asked = {"source": 0, "start": word.start, "heard": word.text, "put": draw.draw(st.sampled_from(["", "chain"]))}
    try:
        bench.act(action, **asked)
    except InputError:
        return
    if action in ("correct", "undo", "redo"):
        bench.read_again()


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_whatever_is_done_no_line_is_lost_and_no_part_with_a_fault_is_clear(data: st.DataObject) -> None:
    bench = Bench()
    for _ in range(data.draw(st.integers(1, 8))):
        some_act(bench, data)
    report = bench.report
    assert Report.model_validate_json(report.to_json()) == report
    everywhere = [*report.findings, *report.unplaced, *report.dismissed]
    for row in (*bench.base.findings, *bench.base.unplaced):
        assert any(r.quote == row.quote and r.start <= row.start <= r.end for r in everywhere), row
    faults = {r.part for r in report.findings}
    for row in report.checklist:
        if row.state == "clear":
            of_part = [r.side for r in report.findings if r.part == row.part]
            assert not any(None in (s, row.side) or "both" in (s, row.side) or s == row.side for s in of_part)
    assert faults <= {row.part for row in report.checklist if row.state == "finding"}
    ids = [r.id for r in everywhere]
    assert len(ids) == len(set(ids))


@given(st.data())
@settings(deadline=None, max_examples=15)
def test_undoing_everything_gives_the_record_as_it_was_read(data: st.DataObject) -> None:
    bench = Bench()
    for _ in range(data.draw(st.integers(1, 6))):
        some_act(bench, data)
    while effective(bench.log.entries)[0]:
        bench.act("undo")
    bench.read_again()
    assert bench.report == read()[0]


@given(st.data())
@settings(deadline=None, max_examples=10)
def test_the_same_edits_give_the_same_bytes(data: st.DataObject) -> None:
    bench = Bench()
    for _ in range(data.draw(st.integers(1, 6))):
        some_act(bench, data)
    entries = [Entry.model_validate(json.loads(e.line())) for e in bench.log.entries]
    one = apply(bench.base, effective(entries)[0], lexicon(), bench.reading).to_json()
    assert one == bench.report.to_json()
    assert bench.base.to_json() == bench.base.model_copy(deep=True).to_json(), "what was read is not touched"


# What cannot be done is told


@pytest.mark.parametrize(
    ("action", "asked", "says"),
    [
        ("confirm", {"row": "f99"}, "no longer there"),
        ("confirm", {"part": "no such", "side": None}, "not on the checklist"),
        ("confirm", {"question": "no such"}, "no longer there"),
        ("confirm", {"part": "radiator", "side": None}, "nothing to settle"),
        ("dismiss", {"row": "f1", "reason": " "}, "Write a reason"),
        ("dismiss", {"row": "f1", "reason": 7}, "Write a reason"),
        ("dismiss", {"row": "f1", "reason": "x" * 2001}, "too long"),
        ("change", {"row": "f1", "fields": {"part": "wing"}}, "not a part"),
        ("change", {"row": "f1", "fields": {"part": ["wing"]}}, "not a part"),
        ("change", {"row": "f1", "fields": {"defect": "<b>"}}, "not a kind of fault"),
        ("change", {"row": "f1", "fields": {"defect": {}}}, "not a kind of fault"),
        ("change", {"row": "f1", "fields": {"severity": "red"}}, "minor, moderate"),
        ("change", {"row": "f1", "fields": {"side": "top"}}, "left, right"),
        ("change", {"row": "f3", "fields": {"side": "left"}}, "only one"),
        ("change", {"row": "f1", "fields": {"quote": ""}}, "the words"),
        ("change", {"row": "f1", "fields": {"start": -1}}, "number of seconds"),
        ("change", {"row": "f1", "fields": {"start": float("nan")}}, "number of seconds"),
        ("change", {"row": "f1", "fields": {"start": 40, "end": 30}}, "end after"),
        ("change", {"row": "f1", "fields": {"id": "f9"}}, "not the fields"),
        ("change", {"row": "f1", "fields": None}, "not the fields"),
        ("add", {"fields": {"part": "horn"}}, "needs what is wrong"),
        ("add", {"fields": {"source": 3}}, "no such film"),
        ("split", {"row": "f1", "rows": [{}]}, "two new lines"),
        ("join", {"row": "f1", "other": "f1"}, "Two lines"),
        ("picture", {"row": "f1", "still": "../../x.jpg"}, "no such picture"),
        ("correct", {"start": 0.0, "heard": "nothing", "put": "x"}, "no longer there"),
        ("correct", {"start": 0.0, "heard": "", "put": "x"}, "no longer there"),
        ("undo", {}, "nothing to undo"),
        ("undo", {"entry": 7}, "nothing to undo"),
        ("redo", {}, "nothing to do again"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_told_in_a_sentence(bench: Bench, action: str, asked: dict[str, Any], says: str) -> None:
    with pytest.raises(InputError, match=says):
        bench.act(action, **asked)
    assert bench.log.entries == []
