"""Sentences that were once read wrongly: a fault lost, a part called clear, a wrong side, more than was said."""

import pytest
from rows import Read, found, good

from walkround.narration.reader import Reader


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("I'm not certain there isn't a crack in the screen.", ["windscreen/-/crack?"]),
        ("I can't be sure there isn't rust inside the tank.", ["fuel-tank/-/corrosion?"]),
        ("I couldn't swear there isn't a leak at the sump.", ["sump/-/leak?"]),
        ("I can't promise there's no rust in the tank.", ["fuel-tank/-/corrosion?"]),
        ("No dents on the tank except one here by the filler.", ["fuel-tank/-/dent"]),
        ("A dent on the tank and another on the silencer.", ["fuel-tank/-/dent", "exhaust-silencer/-/dent"]),
        ("A scratch on the tank and one on the tail light.", ["fuel-tank/-/scratch", "tail-light/-/scratch"]),
        ("You can see a crack on the screen.", ["windscreen/-/crack"]),
        ("The horn is dead on this one.", ["horn/-/not-working"]),
        ("My mate polished it up but the seat's torn.", ["rider-seat/-/tear"]),
        ("My brother says the seat is torn.", ["rider-seat/-/tear"]),
        ("There's a dent in the frame.", ["frame/-/dent"]),
        ("The engine has got a knock.", ["engine-running/-/noise"]),
        ("The tank has got a knock.", ["fuel-tank/-/dent"]),
        ("The swingarm took a bump.", ["swingarm/-/dent"]),
        ("The horn is now stuck.", ["horn/-/not-working"]),
        ("The left bar tip is missing.", ["bar-end/left/missing"]),
        (
            "a scratch on the half fairing i can't rule out a scratch on the headlight adjuster",
            ["headlight/-/scratch?", "nose-fairing/-/scratch"],
        ),
    ],
)
def test_a_fault_once_lost_is_found(read: Read, text: str, faults: list[str]) -> None:
    assert sorted(found(read(text))) == sorted(faults)


def test_doubt_of_an_absence_is_doubt(read: Read) -> None:
    assert [row.tentative for row in read("I can't be sure there isn't rust in the tank.").findings] == [True]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        (
            "The left mirror, bar end and grip are scuffed.",
            ["mirror/left/scuff", "bar-end/left/scuff", "handlebar-grip/left/scuff"],
        ),
        ("The left bar end's scuffed, right one the same.", ["bar-end/both/scuff"]),
        ("The left fairing's fine. On the other side the fairing is scuffed.", ["side-fairing/right/scuff"]),
        ("A small dent just above the left footrest, on the engine casing.", ["engine-casing/-/dent"]),
        ("At the back, the indicators are both broken.", ["rear-indicator/both/broken"]),
        ("One of the panniers is missing.", ["pannier/-/missing"]),
        ("The belt guard is cracked.", ["chain-guard/-/crack"]),
    ],
)
def test_a_fault_goes_to_its_part_and_side(read: Read, text: str, faults: list[str]) -> None:
    assert sorted(found(read(text))) == sorted(faults)


@pytest.mark.parametrize(
    "text", ["The horn is not stuck.", "The rear tyre is six years old.", "It's a nice bike, the old girl."]
)
def test_no_more_than_was_said(read: Read, text: str) -> None:
    assert found(read(text)) == []


def test_a_service_to_come_is_no_mileage(read: Read) -> None:
    assert "mileage" not in read("It needs a service in 2,000 miles.").facts


def test_hardly_a_mark_clears_nothing(read: Read) -> None:
    assert good(read("Hardly a mark on the tank.")) == []


def test_words_that_end_in_a_couple_of_are_read(reader: Reader, read: Read) -> None:
    assert read("On the tank there are a couple of").findings == []


def test_a_denied_reserve_is_no_reserve(read: Read) -> None:
    reading = read("The horn isn't intermittent.")
    assert good(reading) == ["horn/-"]
    assert not reading.doubted


def test_a_good_phrase_leaves_the_name_it_overlaps_whole(read: Read) -> None:
    text = "The headlight adjuster is spot on. The hydraulic clutch is spot on."
    assert good(read(text)) == ["clutch-lever/-", "headlight/-"]


def test_spot_on_is_praise_where_the_next_words_begin_with_the_drive(read: Read) -> None:
    reading = read("the headlight adjuster is spot on the drive chain is spot on")
    assert found(reading) == []
    assert found(read("There's a spot on the drive under the sump.")) == ["sump/-/leak"]


def test_a_fault_told_twice_is_quoted_with_all_that_lies_between(read: Read) -> None:
    assert [row.quote for row in read("growl. 'd. 'd; 'd growl").findings] == ["growl. 'd. 'd; 'd growl"]


@pytest.mark.parametrize(
    ("text", "faults", "fine"),
    [
        ("Battery was flat when we had it, so that's a new one.", [], ["battery/-"]),
        ("The clutch lever got snapped in the spring, and that's a new folding one.", [], ["clutch-lever/-"]),
        ("The top box was red once, and it's faded, but it locks.", ["top-box/-/fading"], ["top-box/-"]),
        ("The clutch lever was bent when it came, but it works.", ["clutch-lever/-/bent"], ["clutch-lever/-"]),
        ("There's a crack in the screen. No. No, that's a bit of seaweed, there, gone.", [], ["windscreen/-"]),
        ("A dent in the tank. No, that's a scuff.", ["fuel-tank/-/dent", "fuel-tank/-/scuff"], []),
        ("Horn! Nothing. Right, that worked this morning.", [], []),
        ("Left mirror. Nothing.", [], ["mirror/left"]),
        ("Battery's new. Hear that rattle? That's the bash plate.", ["belly-pan/-/noise"], ["battery/-"]),
        (
            "Right fairing. One's a scratch, low down. The other's a crack.",
            ["side-fairing/right/crack", "side-fairing/right/scratch"],
            [],
        ),
    ],
)
def test_what_was_put_right_looked_at_again_or_heard(read: Read, text: str, faults: list[str], fine: list[str]) -> None:
    reading = read(text)
    assert sorted(found(reading)) == sorted(faults)
    assert good(reading) == fine


def test_a_horn_that_says_nothing_is_asked_about(read: Read) -> None:
    assert [row.defect for row in read("Horn! Nothing.").unplaced] == ["not-working"]


@pytest.mark.parametrize(
    ("text", "faults", "fine"),
    [
        ("There's coolant leaking from the hose.", ["coolant-hose/-/leak"], []),
        ("The rack's loose and the top box isn't included.", ["luggage-rack/-/loose"], []),
        ("My daughter's scratched the tank.", ["fuel-tank/-/scratch"], []),
        ("The chain's right slack.", ["chain/-/loose"], []),
        ("There's a leak at the sump. Oh no, that's a big one.", ["sump/-/leak"], []),
        ("The tank had a dent, you'd never find it unless you looked, but it's there.", ["fuel-tank/-/dent"], []),
        ("Mirrors, both there.", [], []),
        ("Front pads are about half.", [], []),
        ("The rear pedal goes down further than I'd like.", ["rear-brake-pedal/-/not-working"], []),
        (
            "The tank, beautiful paint, only there's a ding just under the filler cap.",
            ["fuel-tank/-/dent"],
            ["fuel-tank/-"],
        ),
        ("No rust on the frame. On the swingarm there's plenty.", ["swingarm/-/corrosion"], ["frame/-", "swingarm/-"]),
        ("There's some kerb rash on the paddock stand bobbin.", ["swingarm/-/scuff"], []),
        ("There's a graze on the right metal box.", ["pannier/right/scuff"], []),
        ("The clutch. You pull it in and there's nothing.", [], ["clutch-lever/-"]),
    ],
)
def test_what_a_sceptic_found(read: Read, text: str, faults: list[str], fine: list[str]) -> None:
    """A part with a finding, or with a doubt, is not called clear whatever else was said of it."""
    reading = read(text)
    assert sorted(found(reading)) == sorted(faults)
    assert set(good(reading)) <= set(fine)


def test_no_leaks_do_not_say_that_the_brakes_work(read: Read) -> None:
    assert "brakes-working/-" not in good(read("No leaks anywhere on the brakes, though the rear pedal is soft."))
