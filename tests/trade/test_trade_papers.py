"""Days said of the papers: a test to come is no fault, one past is a question; and figures said in pairs."""

import pytest
from made_records import Make

from walkround.report.record import Report


def asked(report: Report) -> str:
    return " ".join(f"{q.about}: {q.text}" for q in report.questions)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The MOT runs out in June twenty twenty-seven.", False), ("The MOT will run out in March.", False),
        ("It needs a service in two thousand miles.", True), ("The MOT has run out.", True),
        ("The MOT ran out in June.", True), ("It needs a service.", True),
    ],
)  # fmt: skip
def test_a_certificate_that_runs_out_later_is_no_fault(make: Make, text: str, fault: bool) -> None:
    report = make(text)
    assert any(f.defect == "out-of-date" for f in report.findings) is fault
    assert report.unplaced == []


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("The MOT runs until March twenty twenty-six.", "later one"),
        ("The MOT runs until October twenty twenty-seven.", None), ("The MOT runs until March.", None),
        ("Next service is due at twelve thousand miles. It's done fourteen thousand miles.", "Has it been done?"),
        ("Next service is due at sixteen thousand miles. It's done fourteen thousand miles.", None),
    ],
)  # fmt: skip
def test_what_is_past_is_asked_about(make: Make, text: str, says: str | None) -> None:
    found = asked(make(text))
    assert (says or "") in found
    assert bool(found) == bool(says)


def test_slack_that_was_measured_and_slack_that_is_a_fault(make: Make) -> None:
    assert make("There's two inches of slack in the chain.").findings == []
    (found,) = make("The chain is slack, there's two inches of slack in it.").findings
    assert (found.part, found.defect) == ("chain", "loose")
    (play,) = make("There's two mil of play in the rear wheel bearing.").findings
    assert play.part == "rear-wheel"


def test_figures_said_in_pairs_are_put_to_a_person_where_the_order_was_not_said(make: Make) -> None:
    front, rear = make("Tyre pressures, thirty-two and thirty-six psi.").measurements
    assert (front.part, front.value, rear.part, rear.value) == ("front-tyre", 32, "rear-tyre", 36)
    assert "only assumed" in (front.review or "")
    assert "only assumed" in (rear.review or "")
    front, rear = make("Four and five mil on the tyres, front and rear.").measurements
    assert (front.review, rear.review) == (None, None)
    rear, front = make("Four and five mil on the tyres, rear and front.").measurements
    assert (front.part, front.value, rear.value) == ("front-tyre", 5, 4)


def test_a_meter_reading_without_point_says_how_it_was_taken(make: Make) -> None:
    (row,) = make("The battery's at twelve seven volts.").measurements
    assert (row.part, row.value, row.unit) == ("battery", 12.7, "V")
    assert "is taken for 12.7" in (row.review or "")


def test_the_first_words_of_the_plan(make: Make) -> None:
    report = make("About four mil on the front, and they're a twenty-three date code.")
    rows = [(m.part, m.quantity, m.value, m.approximate) for m in report.measurements]
    assert rows == [
        ("front-tyre", "tread depth", 4, True), ("front-tyre", "date code", "23", False),
        ("rear-tyre", "date code", "23", False),
    ]  # fmt: skip
    assert "above the legal minimum" in (report.measurements[0].checked_against or "")
    assert report.measurements[1].review


@pytest.mark.parametrize(
    ("text", "says"),
    [("The front disc is four point eight mil.", "stamped on the disc"), ("The rear pads have three mil.", "maker's")],
)
def test_pads_and_discs_have_their_makers_limit(make: Make, text: str, says: str) -> None:
    (row,) = make(text).measurements
    assert (row.checked_against or "").startswith("nothing here")
    assert says in (row.checked_against or "")
    assert "nobody measured it here" in (row.checked_against or "")
    assert row.severity is None


@pytest.mark.parametrize("country", ["ZZ", "Atlantis", "??"])
def test_an_unknown_country_is_asked_about_and_nothing_is_compared(make: Make, country: str) -> None:
    report = make("The rear tyre has half a mil.", country=country)
    assert report.measurements[0].checked_against is None
    assert "no country that is known here" in asked(report)


@pytest.mark.parametrize(("country", "where"), [("Ireland", "Ireland"), ("IT", "Italy"), ("Britain", "Great Britain")])
def test_countries_by_name(make: Make, country: str, where: str) -> None:
    row = make("The rear tyre has four mil.", country=country).measurements[0]
    assert f"in {where}" in (row.checked_against or "")
