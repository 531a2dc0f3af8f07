"""Several films of one walk-round: what is kept, what a later film puts right, and what is asked."""

import pytest
from talks import record, timed

from walkround.report.record import Finding, Report

SCRATCHED = timed([(3.0, "The left mirror has a scratch on it."), (20.0, "The chain is worn.")])


def faults(report: Report) -> list[tuple[str, str | None, str | None, str, int]]:
    return [(f.id, f.part, f.side, f.defect, f.source) for f in report.findings]


def test_rows_know_their_film_and_keep_its_times() -> None:
    report = record(SCRATCHED, timed([(1.0, "The right fork seal is leaking.")]))
    assert faults(report) == [
        ("f1", "mirror", "left", "scratch", 0),
        ("f2", "chain", None, "wear", 0),
        ("f3", "fork-seal", "right", "leak", 1),
    ]
    assert [f.start for f in report.findings] == [3.0, 20.0, 1.0]
    evidence = {e.source for row in report.checklist if row.part == "fork-seal" for e in row.evidence}
    assert evidence == {1}
    assert len(report.added) == len(report.added_transcripts) == 1


def test_chapters_say_which_film() -> None:
    first = timed([(0.0, "The headlight is fine."), (30.0, "The seat is fine."), (60.0, "The chain is fine.")])
    second = timed([(0.0, "Here are the keys."), (30.0, "The engine runs well.")])
    chapters = record(first, second).chapters
    assert [c.source for c in chapters] == sorted(c.source for c in chapters)
    assert {c.source for c in chapters} == {0, 1}
    assert next(c.start for c in chapters if c.source == 1) == 0.0
    assert [c.group for c in chapters if c.source == 0] == [c.group for c in record(first).chapters]


@pytest.mark.parametrize(
    "clip",
    [
        "The chain is lovely.",
        "We've cleaned the chain and it looks lovely since the last film.",
        "I was wrong about the mirror. The chain is fine, I think.",
        "We've since replaced the rear tyre. The chain is fine.",
        "I said earlier the chain was worn, and it is.",
    ],
)
def test_a_fault_stays_unless_the_later_film_says_that_it_is_gone(clip: str) -> None:
    report = record(SCRATCHED, timed([(2.0, clip)], each=6.0))
    assert ("f2", "chain", None, "wear", 0) in faults(report)
    assert {row.state for row in report.checklist if row.part == "chain"} == {"finding"}


@pytest.mark.parametrize(
    "clip",
    [
        "The stand bracket on the frame has now been replaced.",
        "The frame bolts have now been replaced.",
        "We've since replaced the frame plugs.",
        "I said before that the frame is fine.",
        "I said earlier the frame is fine, and it's lovely.",
        "I was wrong, the bracket on the frame is fine.",
        "We haven't replaced the frame since the last film.",
        "The frame will now be replaced.",
        "The bolt holding the frame has now been replaced.",
        "The frame has since been cleaned.",
    ],
)
def test_work_on_something_of_a_part_does_not_mend_the_part(clip: str) -> None:
    report = record(timed([(3.0, "There's a crack in the frame.")]), timed([(2.0, clip)], each=6.0))
    assert [(f.part, f.defect) for f in report.findings if f.source == 0] == [("frame", "crack")]
    assert {row.state for row in report.checklist if row.part == "frame"} == {"finding"}
    assert [r for r in report.repaired if r.source == 0] == []
    assert report.withdrawn == []


@pytest.mark.parametrize(
    ("first", "clip"),
    [
        ("The front brake pads are low.", "The pins on the front brake pads have now been replaced."),
        ("The left mirror is cracked.", "The left mirror glass has now been replaced."),
        ("The left mirror is cracked.", "The left mirror's stem has now been replaced."),
        ("There's a crack in the frame.", "The frame and swingarm bolts have now been replaced."),
        ("There's a dent in the fuel tank.", "The cap for the fuel tank has now been replaced."),
        ("There's a dent in the fuel tank.", "Correction, the tank has no scratches."),
        ("The chain is worn.", "The chain was replaced last year."),
    ],
)
def test_a_piece_of_a_part_is_not_the_part(first: str, clip: str) -> None:
    report = record(timed([(3.0, first)]), timed([(2.0, clip)], each=6.0))
    (finding,) = [f for f in report.findings if f.source == 0]
    assert clip in (finding.review or "")


def test_a_fault_is_taken_back_by_i_was_wrong_and_praise_of_the_part() -> None:
    clip = timed([(2.0, "I was wrong, the fuel tank is perfect.")], each=6.0)
    report = record(timed([(3.0, "There's a dent in the fuel tank.")]), clip)
    assert [(w.part, w.defect) for w in report.withdrawn] == [("fuel-tank", "dent")]
    assert len(report.questions) == 1


@pytest.mark.parametrize(
    "clip",
    ["The stand bracket on the frame has now been replaced.", "I said before that the frame is fine."],
)
def test_words_that_may_put_a_fault_right_are_put_to_a_person(clip: str) -> None:
    report = record(timed([(3.0, "There's a crack in the frame.")]), timed([(2.0, clip)], each=6.0))
    (finding,) = [f for f in report.findings if f.source == 0]
    assert finding.review
    assert f"a later film says “{clip}”" in finding.review


@pytest.mark.parametrize(
    ("first", "clip"),
    [
        ("There's a crack in the frame.", "The frame has been replaced."),
        ("There's a crack in the frame.", "We've had the frame replaced since the last film."),
        ("The left mirror has a scratch on it.", "The left mirror had a scratch, but that's been sorted now."),
        ("The left mirror is cracked.", "We've now fitted a new left mirror."),
        ("The chain is worn.", "The chain and sprockets have now been replaced."),
        ("There's a dent in the fuel tank.", "The petrol tank has now been replaced."),
        ("The rear tyre is worn.", "We've put a new rear tyre on since the last film."),
        ("The rear tyre is worn.", "A new rear tyre has now been fitted."),
        ("The front brake pads are low.", "The front brake pads have now been replaced."),
    ],
)
def test_a_fault_is_mended_where_it_or_the_whole_part_is_said_to_be(first: str, clip: str) -> None:
    report = record(timed([(3.0, first)]), timed([(2.0, clip)], each=6.0))
    assert report.findings == []
    assert [r.source for r in report.repaired if r.source == 0] == [0]


@pytest.mark.parametrize(
    "clip",
    [
        "Since the last film the chain has been replaced.",
        "We've since replaced the chain.",
        "The chain has now been replaced.",
    ],
)
def test_a_fault_that_has_been_put_right_since_moves_to_repaired(clip: str) -> None:
    report = record(SCRATCHED, timed([(2.0, clip)], each=6.0))
    assert faults(report) == [("f1", "mirror", "left", "scratch", 0)]
    assert [(r.part, r.defect, r.source) for r in report.repaired] == [("chain", "wear", 0)]
    (question,) = report.questions
    assert [(e.source, e.quote) for e in question.evidence] == [(0, "The chain is worn."), (1, clip)]


def test_a_fault_that_was_said_by_mistake_moves_to_withdrawn_and_ids_stay() -> None:
    clip = timed([(2.0, "I was wrong, the left mirror is perfect, no scratches.")], each=6.0)
    report = record(SCRATCHED, clip)
    assert faults(report) == [("f2", "chain", None, "wear", 0)]
    (row,) = report.withdrawn
    assert (row.part, row.side, row.source, row.taken_back_source) == ("mirror", "left", 0, 1)
    assert row.taken_back_at == pytest.approx(2.0, abs=3.0)
    assert len(report.questions) == 1


def test_the_other_side_is_not_put_right() -> None:
    clip = timed([(2.0, "I was wrong, the right mirror is perfect, no scratches.")], each=6.0)
    assert ("f1", "mirror", "left", "scratch", 0) in faults(record(SCRATCHED, clip))


def test_a_denial_of_another_fault_takes_nothing_back() -> None:
    clip = timed([(2.0, "I was wrong, the left mirror has no cracks.")], each=6.0)
    assert ("f1", "mirror", "left", "scratch", 0) in faults(record(SCRATCHED, clip))


def test_facts_of_the_first_film_stay_and_a_difference_is_asked() -> None:
    first = timed([(1.0, "It's a 2018 on a 68 plate with 12,450 miles on it.")], each=6.0)
    second = timed([(2.0, "It's on a 19 plate with 9,742 miles on it.")], each=6.0)
    report = record(first, second)
    assert report.bike["mileage"].value == 12450
    assert report.bike["plate_age"].value == "68"
    asked = {q.about: [e.source for e in q.evidence] for q in report.questions}
    assert asked == {"mileage": [0, 1], "age of the plate": [0, 1]}


def test_a_few_miles_more_are_the_same_bike() -> None:
    first = timed([(1.0, "It's on a 68 plate with 12,450 miles on it.")], each=6.0)
    second = timed([(2.0, "It's got 12,461 miles on it now.")], each=6.0)
    assert record(first, second).questions == []


def test_two_figures_of_two_films_are_asked_and_two_of_one_film_are_not() -> None:
    one, two = "The rear tyre has four millimetres of tread.", "The rear tyre has two millimetres of tread."
    (question,) = record(timed([(1.0, one)]), timed([(2.0, two)])).questions
    assert question.about == "Rear tyre, tread depth"
    assert record(timed([(1.0, one), (60.0, two)])).questions == []


def test_three_films() -> None:
    report = record(SCRATCHED, timed([(1.0, "The seat is torn.")]), timed([(2.0, "The left fork seal is leaking.")]))
    assert [f.source for f in report.findings] == [0, 0, 1, 2]
    assert [f.id for f in report.findings] == ["f1", "f2", "f3", "f4"]
    assert all(isinstance(f, Finding) for f in report.findings)
