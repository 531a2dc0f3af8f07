"""What the films do not give: sides, states, figures, facts, and that more words never uncover anything."""

import generator
import pytest
from generator import Told, narrations
from hypothesis import given, settings
from talks import heard, lacks, lines, reader, record, uncovered

from walkround.checklist.cover import cover
from walkround.checklist.items import checklist_of
from walkround.report.record import Report

#: The same narrations each time, and few of them: each is read twice.
STEADY = settings(max_examples=120, derandomize=True, deadline=None)


@pytest.mark.parametrize(
    ("talk", "part", "missing"),
    [
        # named is not enough where a state is due
        ("The frame is spotless.", "frame", {}),
        ("There's a crack in the frame.", "frame", {}),
        ("This is the frame.", "frame", {None: ["verdict"]}),
        ("Nice bike.", "frame", {None: ["mention"]}),
        ("There might be a crack in the frame.", "frame", {}),
        # named is enough where only a word is due
        ("Here are the keys.", "keys", {}),
        ("The handbook's there.", "handbook", {}),
        # a figure is due for tyres and pads; a state without it is not enough, nor is the one figure for the other
        ("The front tyre is good.", "front-tyre", {None: ["tread-depth", "date-code"]}),
        ("The front tyre has got four millimetres of tread.", "front-tyre", {None: ["date-code"]}),
        ("The front tyre, date code twenty three twenty two.", "front-tyre", {None: ["tread-depth"]}),
        ("The front tyre has four millimetres of tread, date code twenty three twenty two.", "front-tyre", {}),
        ("The front tyre is three years old with four mil of tread.", "front-tyre", {}),
        ("The rear tyre is brand new.", "rear-tyre", {None: ["date-code"]}),
        ("We'll fit it next week. The rear tyre has two mil.", "rear-tyre", {None: ["date-code"]}),
        ("The rear brake pads are good.", "rear-brake-pads", {None: ["pad-thickness"]}),
        ("The rear brake pads have three millimetres left.", "rear-brake-pads", {}),
        ("The front tyre has four mil of tread.", "rear-tyre", {None: ["mention"]}),
        # each side counts
        ("The left fork seal is dry.", "fork-seal", {"right": ["side"]}),
        ("The right fork seal is leaking.", "fork-seal", {"left": ["side"]}),
        ("Both fork seals are dry.", "fork-seal", {}),
        ("The fork seals are dry.", "fork-seal", {}),
        ("The left mirror is scratched. The right mirror is fine.", "mirror", {}),
        ("The front disc is good.", "front-brake-disc", {"both": ["which-side"]}),
        ("Nice bike.", "fork-seal", {"both": ["mention"]}),
        # what was put right has been spoken of
        ("The right fork seal was leaking and we've replaced it. The left fork seal is dry.", "fork-seal", {}),
        # one side is enough where a bike has one, or where both are seen at once
        ("The silencer is scratched on the right.", "exhaust-silencer", {}),
        ("The rear indicators are fine.", "rear-indicator", {}),
    ],
)
def test_what_is_missing_of_a_part(talk: str, part: str, missing: dict[str | None, list[str]]) -> None:
    assert lacks(record(talk), part) == missing


def test_mileage_wants_a_number_and_the_age_either_of_two() -> None:
    bare = lines(record("The seat is fine."))
    assert bare["mileage", None, ()] == ("mention",)
    assert bare["age", None, ()] == ("mention",)
    told = lines(record("It's on a 68 plate with twelve thousand miles on it, two owners."))
    assert not {item for item, _, _ in told} & {"mileage", "age", "owners"}


def test_a_gap_says_what_to_do_and_why() -> None:
    gaps = {(gap.item, gap.side): gap for gap in record("The left fork leg is fine. The left fork seal is dry.").gaps}
    fork = gaps["fork", "right"]
    assert fork.say == "Right-hand fork leg and fork seal: show and say if it is free of marks, straight and dry."
    assert fork.essential
    assert fork.why.endswith(".")
    tyre = {g.item: g for g in record("The front tyre is good.").gaps}["front-tyre"]
    assert "tread depth in millimetres" in tyre.say
    assert "date code" in tyre.say
    assert tyre.start is not None


def test_essentials_come_first_and_each_gap_stands_once() -> None:
    gaps = record("Nice bike.").gaps
    essential = [gap.essential for gap in gaps]
    assert essential == sorted(essential, reverse=True)
    assert len({(gap.item, gap.side, tuple(gap.parts)) for gap in gaps}) == len(gaps)


def test_said_without_its_side_is_asked_but_not_essential() -> None:
    (gap,) = [g for g in record("The front disc is good.").gaps if g.item == "front-brake-disc"]
    assert not gap.essential
    assert "which side" in gap.say


def test_said_but_not_shown_is_asked_for_again() -> None:
    talk = "The frame is spotless."
    seen = record(talk)
    rows = [
        row.model_copy(update={"not_shown": "the view is black"}) if row.part == "frame" else row
        for row in seen.checklist
    ]
    dark = cover(seen.model_copy(update={"checklist": rows}), reader().lexicon, heard(talk))
    (gap,) = [g for g in dark.gaps if g.item == "frame"]
    assert gap.lacks == ["view"]
    assert not gap.essential
    assert "not clearly shown" in gap.say


def test_covering_twice_gives_the_same() -> None:
    talk = "It's a shaft drive tourer on a 68 plate. The left mirror is fine."
    once = record(talk)
    assert cover(once, reader().lexicon, heard(talk)) == once


@pytest.mark.parametrize(
    ("talk", "kind", "part", "reason"),
    [
        ("It's shaft drive.", None, "chain", "shaft drive"),
        ("It's not shaft drive.", None, "chain", None),
        ("Unlike the shaft drive one.", None, "chain", None),
        ("It's air cooled.", None, "radiator", "air cooled"),
        ("Drum brake at the back.", None, "rear-brake-disc", "Drum"),
        ("Drum brake at the back.", None, "front-brake-disc", None),
        ("Nice bike.", "naked", "side-fairing", "naked"),
        ("Nice bike.", "faired", "side-fairing", None),
        ("Nice bike.", "electric", "exhaust-silencer", "electric"),
        ("Nice bike.", "faired, electric", "exhaust-silencer", "electric"),
        ("It's a scooter.", None, "chain", "scooter"),
        ("It's not a scooter.", None, "chain", None),
        ("It's got electric start.", None, "exhaust-silencer", None),
        ("It's an electric motorcycle.", None, "exhaust-silencer", "electric"),
        ("It's a naked bike.", "faired", "side-fairing", None),  # a person's word goes before the narration's
    ],
)
def test_what_the_bike_does_not_have_is_not_asked_for(
    talk: str, kind: str | None, part: str, reason: str | None
) -> None:
    report = record(talk, kind=kind)
    rows = [row for row in report.checklist if row.part == part]
    asked = [gap for gap in report.gaps if part in gap.parts]
    assert {row.state for row in rows} == {"not-mentioned"}
    if reason is None:
        assert all(row.not_fitted is None for row in rows)
        assert asked
    else:
        assert all(reason in (row.not_fitted or "") for row in rows)
        assert not asked


def test_by_hand_goes_first_and_is_kept_as_the_reason() -> None:
    report = record("It's shaft drive.", not_fitted={"chain": "entered by hand", "horn": "entered by hand"})
    reasons = {row.part: row.not_fitted for row in report.checklist if row.not_fitted}
    assert reasons["chain"] == "entered by hand"
    assert reasons["horn"] == "entered by hand"
    assert "shaft drive" in reasons["sprockets"]


def test_a_part_that_was_spoken_of_is_never_called_not_fitted() -> None:
    report = record("There's a scratch on the left side fairing.", kind="naked")
    rows = [row for row in report.checklist if row.part == "side-fairing"]
    assert {row.not_fitted for row in rows} == {None}
    assert lacks(report, "side-fairing") == {"right": ["side"]}


def test_the_words_that_say_so_do_not_count_as_speaking_of_the_part() -> None:
    report = record("It's shaft drive so there isn't a chain.")
    (row,) = [row for row in report.checklist if row.part == "chain"]
    assert row.not_fitted
    assert lacks(report, "chain") == {}


def test_one_disc_needs_one_word() -> None:
    assert lacks(record("It has a single disc. The front disc is good."), "front-brake-disc") == {}
    assert lacks(record("The left front disc is good.", kind="scooter"), "front-brake-disc") == {}


def test_the_kind_that_was_heard_stands_among_the_facts() -> None:
    fact = record("So this one is a big adventure bike, lovely thing.").bike["kind"]
    assert (fact.value, fact.given) == ("adventure", False)
    assert "adventure bike" in (fact.quote or "")
    assert record("It's a scooter.", kind="naked").bike["kind"].given


def covered_by(report: Report) -> set[tuple[str, str, str]]:
    return uncovered([gap for gap in report.gaps if gap.lacks[0] not in ("which-side", "view")])


def due(report: Report) -> set[tuple[str, str]]:
    """(part, side) that is not covered, whatever it lacks."""
    return {(part, side) for part, side, _ in covered_by(report)}


@STEADY
@given(narrations(most=4), narrations(most=3))
def test_adding_narration_never_uncovers_an_item(first: Told, more: Told) -> None:
    """What was covered stays so; and nothing falls back from "named" to "not spoken of"."""
    before, after = record(first.text), record(f"{first.text} {more.text}")
    assert due(after) <= due(before)
    silent = {(part, side) for part, side, lack in covered_by(after) if lack == "mention"}
    assert silent <= {(part, side) for part, side, lack in covered_by(before) if lack == "mention"}


@STEADY
@given(narrations(most=4), narrations(most=3))
def test_a_second_film_never_uncovers_an_item(first: Told, more: Told) -> None:
    assert due(record(first.text, more.text)) <= due(record(first.text))


def of_side(side: str, told: Told) -> Told:
    return Told(tuple(fact for fact in told.facts if fact.side == side))


@STEADY
@given(narrations(most=4), narrations(most=6))
def test_words_of_one_side_never_cover_the_other(first: Told, more: Told) -> None:
    for side, other in (("left", "right"), ("right", "left")):
        added = of_side(side, more)
        if not added.facts:
            continue
        before, after = record(first.text), record(f"{first.text} {added.text}")
        assert {key for key in due(before) if key[1] == other} == {key for key in due(after) if key[1] == other}


@STEADY
@given(narrations("stated", "praised", most=5))
def test_what_is_said_is_covered_and_nothing_else_is(told: Told) -> None:
    """Every part spoken of with a state is covered on its side, unless a figure is due; others are not."""
    missing = covered_by(record(told.text))
    asked = {part for entry in checklist_of(generator.lexicon()).entries.values() for part in entry.parts}
    for fact in told.facts:
        assert not {lack for part, side, lack in missing if part == fact.part and side in ("", fact.side or "")} & {
            "mention", "side", "verdict",
        }  # fmt: skip
        if fact.side:
            other = {"left": "right", "right": "left"}[fact.side]
            assert all(lack == "side" for part, side, lack in missing if part == fact.part and side == other)
    spoken = {fact.part for fact in told.facts}
    silent = {part for part, _, lack in missing if lack == "mention"}
    assert silent.isdisjoint(spoken)
    assert len(silent) > len(asked) / 2


def test_the_kind_is_read_from_the_words_as_they_were_put_right() -> None:
    misheard, meant = "It is a scatter. The mirrors are fine.", "It is a scooter. The mirrors are fine."
    put_right = record(meant)
    assert cover(put_right, reader().lexicon, heard(misheard)).bike["kind"].value == "scooter"
