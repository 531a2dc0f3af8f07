"""The trade step on records made from words: what is compared, what is not, and what becomes a question."""

from datetime import date

import pytest
from made_records import Make

from walkround.narration.lexicon import Lexicon
from walkround.pipeline import page_of
from walkround.report.record import Measurement, Report
from walkround.trade.check import trade_checked
from walkround.trade.plausibility import signed_questions
from walkround.trade.wording import summary_lines


def tread(report: Report) -> Measurement:
    (row,) = [m for m in report.measurements if m.quantity == "tread depth"]
    return row


def asked(report: Report) -> str:
    return " ".join(f"{q.about}: {q.text}" for q in report.questions)


def test_a_figure_at_the_limit_is_serious_and_for_a_person(make: Make) -> None:
    row = tread(make("The rear tyre has one mil."))
    assert row.severity == "serious"
    assert row.review
    assert row.checked_against
    assert "at the legal minimum of 1.0 mm in Great Britain" in row.checked_against


def test_a_figure_above_it_is_compared_and_left_alone(make: Make) -> None:
    row = tread(make("The rear tyre has four mil."))
    assert (row.severity, row.review) == (None, None)
    assert row.checked_against


def test_wear_on_a_tyre_at_the_limit_becomes_serious(make: Make) -> None:
    (found,) = make("The rear tyre is worn, it's got about one mil on it.").findings
    assert (found.part, found.defect, found.severity) == ("rear-tyre", "wear", "serious")
    assert found.review
    assert "about one mil" in found.review


def test_another_tyre_and_another_fault_keep_their_severity(make: Make) -> None:
    report = make("The front tyre is worn. The rear tyre has one mil. There's a scuff on the rear tyre.")
    levels = {(f.part, f.defect): f.severity for f in report.findings}
    assert levels["front-tyre", "wear"] == "moderate"
    assert levels["rear-tyre", "scuff"] == "minor"


@pytest.mark.parametrize(
    ("country", "severity"),
    [("GB", None), ("DE", "serious"), ("AT", "serious"), ("de", "serious"), ("uk", None), ("Germany", "serious")],
)
def test_the_country_decides(make: Make, country: str, severity: str | None) -> None:
    assert tread(make("The rear tyre has one point five mil.", country=country)).severity == severity


@pytest.mark.parametrize(
    ("country", "says"), [("FR", "No published minimum"), ("XX", "no country that is known"), ("<b>", "no country")]
)
def test_an_unknown_country_is_a_question(make: Make, country: str, says: str) -> None:
    report = make("The rear tyre has half a mil.", country=country)
    assert tread(report).checked_against is None
    assert says in asked(report)


def test_no_unit_no_comparison(make: Make) -> None:
    row = tread(make("Rear tyre, down to one."))
    assert row.checked_against is None
    assert row.review
    assert "no unit was said" in row.review


def test_a_unit_said_before_serves_for_the_next(make: Make) -> None:
    report = make("The front tyre has five mil. The back one's got four.")
    assert [(m.part, m.value, bool(m.checked_against)) for m in report.measurements] == [
        ("front-tyre", 5, True), ("rear-tyre", 4, True),
    ]  # fmt: skip


def test_no_part_no_comparison(make: Make) -> None:
    (row,) = make("There's two mil on it.").measurements
    assert (row.part, row.checked_against) == (None, None)
    assert row.review


@pytest.mark.parametrize(
    "text",
    [
        "The rear tyre has ninety mil of tread.", "The front tyre is at three hundred psi.",
        "The battery shows two thousand volts.", "The front pads have sixty mil.",
        "The rear tyre's date code is fifty-four twenty.", "The front tyre's date code is zero zero twenty-two.",
    ],
)  # fmt: skip
def test_what_cannot_be_is_a_question_in_words(make: Make, text: str) -> None:
    report = make(text)
    (row,) = report.measurements
    assert row.review
    assert row.checked_against is None
    assert row.severity is None
    assert len(report.questions) == 1
    assert report.questions[0].evidence[0].quote == row.quote
    assert report.questions[0].text.endswith("?")


@pytest.mark.parametrize("vin", ["1M8GDM9AIKP042788", "1M8GDM9AOKP04278Q", "short", "17 chars but <b>!"])
def test_a_frame_number_that_cannot_be_is_a_question(make: Make, vin: str) -> None:
    assert "frame number" in asked(make("The mirror has a scratch.", vin=vin))


def test_a_frame_number_read_out_letter_by_letter(make: Make) -> None:
    report = make("The frame number is J H 2 R C 3 6 0 5 M M 1 0 1 5 8 1.")
    assert report.bike["vin"].value == "JH2RC3605MM101581"
    assert asked(report) == ""


def test_the_plate_says_when_it_may_have_been_registered(make: Make) -> None:
    meaning = make("It's on a sixty-nine plate.").bike["plate_age"].meaning
    assert meaning
    assert "1 September 2019 to 29 February 2020" in meaning


def test_a_year_that_the_plate_does_not_fit_is_a_question_and_no_accusation(make: Make) -> None:
    text = asked(make("It's a twenty fifteen on a sixty-nine plate."))
    assert "2015" in text
    assert "Which is right?" in text
    assert not any(word in text.lower() for word in ("false", "fake", "clocked", "fraud", "lie", "stolen", "wrong"))


def test_mileage_against_age_shows_its_sum(make: Make) -> None:
    """11,206 miles on a 19 plate filmed on 25 November 2026: 1,448 to 1,549 miles a year (worked by hand)."""
    report = make("It's on a nineteen plate with eleven thousand two hundred and six miles.")
    meaning = report.bike["mileage"].meaning
    assert meaning
    assert "1,448 to 1,549 miles a year" in meaning
    assert asked(report) == ""


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("It's on a twenty-five plate with ninety thousand miles.", "more than most"),
        ("It's on an oh nine plate with six hundred miles.", "very little"),
        ("It's on a sixty-seven plate with twenty thousand miles.", ""),
    ],
)
def test_unusual_mileage_is_asked_about(make: Make, text: str, asks: str) -> None:
    assert asks in asked(make(text))
    assert bool(asked(make(text))) == bool(asks)


def test_without_the_day_of_filming_no_age_is_worked_out(make: Make) -> None:
    report = make("It's on a nineteen plate with ninety thousand miles.", filmed=None)
    assert report.bike["mileage"].meaning is None
    assert asked(report) == ""


def test_a_film_dated_before_the_bike(make: Make) -> None:
    assert "camera's date" in asked(make("It's on a twenty-five plate.", filmed="2015-01-01T00:00:00"))


def test_full_history_without_stamps(make: Make) -> None:
    assert "full service history" in asked(make("It has a full service history.")).lower()
    assert asked(make("It has a full service history, seven stamps in the book.")) == ""
    assert asked(make("I wish it had a full service history.")) == ""


def test_keys_said_against_keys_left_out(make: Make) -> None:
    assert "keys" in asked(make("There are two keys. The spare key isn't included."))


def test_tyres_made_years_apart_are_asked_about(make: Make) -> None:
    text = "The front tyre's date code is twelve sixteen. The rear tyre's date code is thirty twenty-four."
    assert "Are they a pair?" in asked(make(text))
    assert "said to match" in asked(make(f"{text} The tyres are a matching pair."))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("The tyres are a matching pair.", "matching"), ("The tyres are two different makes.", "different make"),
        ("The tyres don't match.", "not matching"), ("The tyres are fine.", None),
        ("The left mirror doesn't match.", None),
    ],
)  # fmt: skip
def test_what_is_said_of_the_tyres_as_a_pair(make: Make, text: str, value: str | None) -> None:
    fact = make(text).bike.get("tyre_pair")
    assert (fact.value if fact else None) == value


def test_wear_bars_are_never_called_the_limit(make: Make) -> None:
    text = asked(make("The rear tyre is down to the wear bars."))
    assert "0.8 mm" in text
    assert "under" in text


def test_the_step_takes_nothing_away_and_changes_no_words(make: Make, lexicon: Lexicon) -> None:
    report = make(
        "The rear tyre is worn, one mil. About four mil on the front tyre. Two keys. The chain has 30 mil of slack."
    )
    again = trade_checked(report, lexicon)
    for before, after in zip(report.measurements, again.measurements, strict=True):
        assert (before.quote, before.value, before.unit) == (after.quote, after.value, after.unit)
    assert [f.quote for f in report.findings] == [f.quote for f in again.findings]
    assert all(m.quote for m in again.measurements)
    assert again.checklist == report.checklist


def test_a_figure_at_the_limit_stands_in_the_summaries(make: Make, lexicon: Lexicon) -> None:
    report = make("The rear tyre has one mil. The front tyre is at three hundred psi.")
    lines = "\n".join(summary_lines(report))
    assert "rear tyre: tread depth 1 mm" in lines
    assert "300 psi is outside" in lines
    page = page_of(report, lexicon, None)
    assert "At or under a published limit" in page
    assert "Said two ways, or to be asked" in page
    assert summary_lines(make("The mirror is scratched.")) == []


def test_what_is_spoken_and_given_stays_text_on_the_page(make: Make, lexicon: Lexicon) -> None:
    report = make(
        "The rear tyre has one mil.", vin="<script>alert(1)</script>", country="<b>GB</b>", registration="<i>"
    )
    page = page_of(report, lexicon, None)
    assert report.questions
    assert "<script>alert" not in page
    assert "<b>GB" not in page
    assert "<i>" not in page


@pytest.mark.parametrize(
    ("recorded", "signed", "says"),
    [
        (date(2026, 5, 1), date(2026, 5, 3), None), (date(2026, 5, 1), date(2026, 5, 1), None),
        (date(2026, 5, 3), date(2026, 5, 1), "2 days before it"),
        (date(2026, 1, 1), date(2026, 5, 1), "120 days later"),
        (None, date(2026, 5, 1), None), (date(2026, 5, 1), None, None),
    ],
)  # fmt: skip
def test_the_films_day_against_the_sign_off(recorded: date | None, signed: date | None, says: str | None) -> None:
    asked = signed_questions(recorded, signed)
    assert (says is None) == (asked == [])
    assert says is None or (says in asked[0].text and asked[0].text.endswith("?"))
