"""Sizes, what is said of the whole bike, promises, guesses, and what comes with it."""

import pytest
from rows import Read, found, short


def sizes(read: Read, text: str) -> list[tuple[str, str, float | str, str | None]]:
    return [(short(m), m.quantity, m.value, m.unit) for m in read(text).measurements]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("Front tyre, four mil.", ("front-tyre/-", "tread depth", 4, "mm")),
        ("The rear tyre has four and a half mil on it.", ("rear-tyre/-", "tread depth", 4.5, "mm")),
        ("Two mil on the front pads.", ("front-brake-pads/-", "pad thickness", 2, "mm")),
        ("The front tyre is a one twenty seventy seventeen.", ("front-tyre/-", "tyre size", "120/70-17", None)),
        ("There's a two inch scratch on the tank.", ("fuel-tank/-", "length", 2, "in")),
        ("The battery shows twelve point six volts.", ("battery/-", "voltage", 12.6, "V")),
        ("Thirty-six psi in the front tyre.", ("front-tyre/-", "pressure", 36, "psi")),
        ("The front tyre's got six thirty-seconds.", ("front-tyre/-", "tread depth", 6, "1/32 in")),
        ("Thirty mil of slack in the chain.", ("chain/-", "chain slack", 30, "mm")),
        ("Rear disc is four point five mil.", ("rear-brake-disc/-", "disc thickness", 4.5, "mm")),
        ("The rear tyre's at 5 millimetres.", ("rear-tyre/-", "tread depth", 5, "mm")),
        ("The front tire's got five millimeters.", ("front-tyre/-", "tread depth", 5, "mm")),
    ],
)
def test_a_size_with_its_part_and_unit(read: Read, text: str, size: tuple[str, str, float | str, str | None]) -> None:
    assert sizes(read, text) == [size]


def test_one_size_for_both(read: Read) -> None:
    assert [(p, v) for p, _, v, _ in sizes(read, "The tyres have got five mil each.")] == [
        ("front-tyre/-", 5),
        ("rear-tyre/-", 5),
    ]


def test_a_limit_that_is_only_recited_is_no_size(read: Read) -> None:
    assert [v for *_, v, _ in sizes(read, "The legal limit is one mil, and the rear tyre has five mil.")] == [5]


def test_a_guessed_size_is_marked(read: Read) -> None:
    assert [m.approximate for m in read("About three mil left on the rear pads.").measurements] == [True]


def test_a_corrected_size_is_the_last(read: Read) -> None:
    assert [v for *_, v, _ in sizes(read, "Front tyre's got three, sorry, four mil.")] == [4]


def test_slack_that_was_measured_is_no_fault(read: Read) -> None:
    assert found(read("Thirty mil of slack in the chain.")) == []


def test_a_mark_keeps_its_length(read: Read) -> None:
    assert read("There's a two inch scratch on the tank.").findings[0].extent == "2 in"


def test_a_mark_keeps_its_size_as_said(read: Read) -> None:
    extent = read("There's a dent in the tank about the length of a match.").findings[0].extent
    assert extent == "about the length of a match."


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("Five mil on the front and six on the back tyre.", [("front-tyre/-", 5.0), ("rear-tyre/-", 6.0)]),
        ("Tyres, five mil front, four and a half back.", [("front-tyre/-", 5.0), ("rear-tyre/-", 4.5)]),
        ("Front tyre has five mil, the back has three.", [("front-tyre/-", 5.0), ("rear-tyre/-", 3.0)]),
        ("Rear pads, one and a half.", [("rear-brake-pads/-", 1.5)]),
        ("Pads, five mil front, four rear.", [("front-brake-pads/-", 5.0), ("rear-brake-pads/-", 4.0)]),
        ("The tyres, thirty-six psi front and forty-two back.", [("front-tyre/-", 36.0), ("rear-tyre/-", 42.0)]),
        ("Rear tyre, five millimetres, I did that with the gauge.", [("rear-tyre/-", 5.0)]),
        ("Front disc. The limit's four and I make this three point four.", [("front-brake-disc/-", 3.4)]),
        ("Battery's six volt, and it's reading five point one.", [("battery/-", 5.1)]),
        ("The fuel gauge only shows four bars out of five.", []),
        ("It's the 1600 V-twin.", []),
    ],
)
def test_which_part_a_size_is_of(read: Read, text: str, rows: list[tuple[str, float]]) -> None:
    assert [(part, value) for part, _, value, _ in sizes(read, text)] == rows


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("DOT on the front tyre is 1522 and the rear is 3020.", [("front-tyre/-", "1522"), ("rear-tyre/-", "3020")]),
        (
            "Tyre date codes are twelve twenty-one front and thirty-three nineteen rear.",
            [("front-tyre/-", "1221"), ("rear-tyre/-", "3319")],
        ),
        ("The tyres are dated week ten of 2021.", [("front-tyre/-", "1021"), ("rear-tyre/-", "1021")]),
        ("The code on the key tag is 1522.", []),
        ("The front tyre is from week 0-2 of 16.", [("front-tyre/-", "0216")]),
        ("Rear tyre, week five of twenty twenty-one.", [("rear-tyre/-", "0521")]),
    ],
)
def test_date_codes(read: Read, text: str, codes: list[tuple[str, str]]) -> None:
    reading = read(text)
    assert [(short(m), m.value) for m in reading.measurements if m.quantity == "date code"] == codes
    assert "year" not in reading.facts


@pytest.mark.parametrize("text", ["It cost me three hundred pounds.", "It had its sixteen thousand mile service."])
def test_money_and_services_are_no_sizes_and_no_mileage(read: Read, text: str) -> None:
    reading = read(text)
    assert (reading.measurements, "mileage" in reading.facts) == ([], False)


@pytest.mark.parametrize(
    ("text", "low", "high", "about"),
    [
        ("Rear tyre's got three to four mil.", 3, 4, False),
        ("Rear tyre's got 3-4 mil.", 3, 4, False),
        ("Rear tyre's got three mil, maybe four mil.", 3, 4, False),
        ("There's between about three and four mil on the rear tyre.", 3, 4, True),
        ("About three mil on the rear tyre.", 3, None, True),
        ("Rear tyre, three mil or so.", 3, None, True),
        ("Rear tyre's got a mil or two.", 1, 2, False),
        ("Rear tyre's got three, sorry, four mil.", 4, None, False),
    ],
)
def test_ranges_and_rough_sizes_are_kept(read: Read, text: str, low: float, high: float | None, about: bool) -> None:
    (row,) = read(text).measurements
    assert (row.value, row.upper, row.approximate) == (low, high, about)


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("It needs a service in 2,000 miles.", {"service_due_in": 2000, "service_due_in_unit": "miles"}),
        ("No keys with it.", {"keys": 0}),
        ("There should be two keys.", {}),
        ("One lady owner.", {"owners": 1}),
        ("The MOT went in June.", {}),
        ("MOT, October.", {"test_expiry": "October"}),
        ("We'll put twelve months' MOT on it.", {}),
        ("A year's MOT.", {"test_months": 12}),
        ("Five hundred cubic centimetres.", {"engine_size": 500, "engine_size_unit": "cc"}),
        ("She's a 181.", {"plate_age": "181"}),
        ("The plate is sixty-nine.", {"plate_age": "69"}),
        ("The reg is AB19 CDE.", {"registration": "AB19 CDE"}),
    ],
)
def test_what_the_papers_say(read: Read, text: str, facts: dict[str, int | str]) -> None:
    assert {name: fact.value for name, fact in read(text).facts.items()} == facts


def test_an_age_alone_is_no_fault(read: Read) -> None:
    assert found(read("The rear tyre is six years old.")) == []


def test_an_old_tyre_is_a_fault_where_it_is_held_against_it(read: Read) -> None:
    assert found(read("The rear tyre is seven years old, so it wants a change.")) == ["rear-tyre/-/out-of-date"]


def test_a_young_tyre_is_none(read: Read) -> None:
    assert found(read("The rear tyre is two years old.")) == []


# --- the whole bike --------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("It's a twenty nineteen bike.", {"year": 2019}),
        ("It's a 2021 with 8,412 miles.", {"year": 2021, "mileage": 8412, "mileage_unit": "miles"}),
        ("It's on a sixty-seven plate.", {"plate_age": "67"}),
        ("The mileage is eleven thousand two hundred and six.", {"mileage": 11206, "mileage_unit": "miles"}),
        ("It's done eleven two oh six miles.", {"mileage": 11206, "mileage_unit": "miles"}),
        ("It's showing fourteen thousand kilometres.", {"mileage": 14000, "mileage_unit": "km"}),
        ("Nineteen ninety eight, on an S plate.", {"year": 1998, "plate_age": "S"}),
        ("It's got nine and a half thousand miles on it.", {"mileage": 9500, "mileage_unit": "miles"}),
        ("Two thousand and nine, fifty-nine plate.", {"year": 2009, "plate_age": "59"}),
        ("A twenty-two plate, sorry, seventy-two.", {"plate_age": "72"}),
        ("It has 12,000 miles on a 19 reg.", {"mileage": 12000, "mileage_unit": "miles", "plate_age": "19"}),
        ("It's a lovely thing to ride.", {}),
    ],
)
def test_facts_of_the_whole_bike(read: Read, text: str, facts: dict[str, int | str]) -> None:
    assert {name: fact.value for name, fact in read(text).facts.items()} == facts


# --- promises, guesses, what comes with it -----------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("We'll fit a new screen before it goes.", ["promises"]),
        ("We'll replace the chain.", ["promises"]),
        ("The fork seals are getting done at the service.", ["promises"]),
        ("I'd guess that's from a boot.", ["guesses"]),
        ("That'll be off a kerb.", ["guesses"]),
        ("That'll be a jacket zip.", ["guesses"]),
        ("The top box isn't included.", ["excluded"]),
        ("The panniers are not part of the deal.", ["excluded"]),
        ("The rack comes with the bike.", ["included"]),
        ("The bike comes with a spare key.", ["included"]),
        ("I'll show you the other side.", []),
        ("We'll come back to that.", []),
    ],
)
def test_what_kind_of_remark_it_is(read: Read, text: str, kinds: list[str]) -> None:
    reading = read(text)
    assert [k for k in ("promises", "guesses", "included", "excluded") if getattr(reading, k)] == kinds


def test_a_guess_at_the_cause_goes_with_its_fault(read: Read) -> None:
    row = read("There's a scuff on the left fairing. I'd guess that's from a boot.").findings[0]
    assert row.cause_guess == "I'd guess that's from a boot."


def test_a_promise_does_not_take_the_fault_away(read: Read) -> None:
    assert found(read("The left mirror is cracked, we'll fit a new one.")) == ["mirror/left/crack"]


# --- severity --------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "severity"),
    [
        ("The left mirror is scratched.", "minor"),
        ("There's a dent in the tank.", "moderate"),
        ("There's a dent in the silencer.", "minor"),
        ("There's a big dent in the silencer.", "moderate"),
        ("The left fork seal is leaking.", "moderate"),
        ("The frame is cracked.", "serious"),
        ("The number plate is cracked.", "minor"),
        ("The brake lever is bent.", "moderate"),
        ("The mirror's bent.", "minor"),
        ("The rear tyre is worn.", "moderate"),
        ("The rear tyre is worn, it's not legal.", "serious"),
        ("The horn is seized.", "moderate"),
    ],
)
def test_how_bad_it_is(read: Read, text: str, severity: str) -> None:
    assert [row.severity for row in read(text).findings] == [severity]


# --- leftovers -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "text",
    [
        "The seat has a wibble in it.",
        "The fairing has started to frumple.",
        "The tank is a touch gribbled.",
        "Sadly the rack isn't what it was.",
        "We'll get the left switch seen to before it goes.",
        "Something's not right with the clutch.",
        "There's a dent.",
        "The toggle doesn't snerk any more.",
    ],
)
def test_what_may_be_a_fault_in_unknown_words_is_shown_to_a_person(read: Read, text: str) -> None:
    reading = read(text)
    assert (found(reading), [bool(row.review) for row in reading.unplaced]) == ([], [True])


@pytest.mark.parametrize(
    "text",
    ["The seat has a cover.", "The tank has been painted.", "The rack is bolted on.", "I had my lunch in the van."],
)
def test_ordinary_words_are_not(read: Read, text: str) -> None:
    assert read(text).unplaced == []


def test_a_good_word_beside_unknown_words_clears_nothing(read: Read) -> None:
    assert read("The fairing has no scratches but has started to frumple.").verdicts == []


# --- certainty -------------------------------------------------------------------------------------
def test_a_row_of_little_certainty_gives_its_reason(read: Read) -> None:
    for text in (
        "The alarm's fine. The doodad's loose.",
        "There's a dent.",
        "There's a scratch just below the fuel cap.",
    ):
        reading = read(text)
        for row in (*reading.findings, *reading.unplaced):
            assert row.confidence >= 0.75 or row.review, text


def test_the_steps_of_a_row_name_its_words(read: Read) -> None:
    row = read("The left mirror is cracked.").findings[0]
    assert [(step.step, step.words.strip(".")) for step in row.trace] == [
        ("defect", "cracked"),
        ("part (subject)", "mirror"),
    ]


def test_a_denial_is_kept_with_the_words_that_made_it(read: Read) -> None:
    assert [p.reason for p in read("There's no rust on the frame.").passed] == ["denied: “no”"]
