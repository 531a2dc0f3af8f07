"""Said, denied, doubted, wished, or said of another bike. Each row is a sentence and its findings."""

import pytest
from rows import Find, Read, found, good


@pytest.mark.parametrize(
    "text",
    [
        "The headlight has no cracks in it.",
        "There are no dents, scratches or scuffs on the tank.",
        "I couldn't find a dent on the tank.",
        "The tank has neither dents nor scratches.",
        "Without a single chip, the front mudguard.",
        "The radiator is not leaking.",
        "Never a leak from the left fork seal.",
        "The tank has never been dented.",
        "I have not seen any rust on the exhaust.",
        "Neither mirror is cracked.",
        "The front wheel is free from dents.",
        "Dents in the tank, none.",
        "Any rust on the frame? None that I can see.",
        "Any leaks from the fork seals? No.",
        "Rust on the rack? Nope.",
        "You won't find a dent in that tank.",
        "I'm not saying there's a dent in the tank.",
        "Not a scratch on the wee screen, none at all.",
        "There isnae a dent in the tank.",
        "The panniers havenae got a mark on them.",
    ],
)
def test_a_denied_fault_is_no_finding(find: Find, text: str) -> None:
    assert find(text) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("No rust on the frame, but the swingarm has a scuff.", "swingarm/-/scuff"),
        ("The screen isn't cracked but it is scratched.", "windscreen/-/scratch"),
        ("The left mirror isn't loose, it's bent.", "mirror/left/bent"),
        ("Not a mark on the seat except a small tear at the back.", "rider-seat/-/tear"),
        ("The chain isn't rusty, only a bit slack.", "chain/-/loose"),
        ("No dents in the tank, and there's a chip on the front mudguard.", "front-mudguard/-/paint-chip"),
        ("It's not dented, the tank, but the paint is faded.", "fuel-tank/-/fading"),
        ("The seat isn't ripped. It's stained.", "rider-seat/-/stain"),
        ("The tank has no dents. The tail unit is scratched.", "tail-unit/-/scratch"),
        ("Nothing on the tank but a small dent.", "fuel-tank/-/dent"),
        ("No rust, just a bit of pitting on the frame.", "frame/-/pitting"),
        ("Front wheel: no buckles, no dents, one scrape on the rim.", "front-wheel/-/scuff"),
        ("Not a scratch, more of a scuff, on the left fairing.", "side-fairing/left/scuff"),
        ("No, there's a scratch on the screen.", "windscreen/-/scratch"),
    ],
)
def test_a_denial_ends_where_something_else_is_said(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("I can't say there isn't a dent in the tank.", "fuel-tank/-/dent"),
        ("I'm not going to tell you there's no scratch on the screen.", "windscreen/-/scratch"),
        ("It's not that there isn't rust on the frame.", "frame/-/corrosion"),
        ("I wouldn't say there's no rust on the frame.", "frame/-/corrosion"),
        ("The tank's not without a dent.", "fuel-tank/-/dent"),
    ],
)
def test_two_denials_say_that_it_is_there(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("There's no getting away from it, the seat's torn.", "rider-seat/-/tear"),
        ("No doubt about it, the mirror's cracked.", "mirror/-/crack"),
        ("There's no hiding the dent in the tank.", "fuel-tank/-/dent"),
        ("I won't lie, the exhaust is dented.", "exhaust-silencer/-/dent"),
        ("The scratch on the tank won't polish out.", "fuel-tank/-/scratch"),
        ("The dent on the tank doesn't show in the film.", "fuel-tank/-/dent"),
        ("There's a mark on the tank, not sure how it got there.", "fuel-tank/-/mark"),
    ],
)
def test_what_looks_like_a_denial_may_be_none(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("There may be a small dent in the tank.", "fuel-tank/-/dent?"),
        ("I can't rule out a leak from the sump.", "sump/-/leak?"),
        ("Not sure if that's a crack in the headlight.", "headlight/-/crack?"),
        ("It could be a scratch on the windscreen.", "windscreen/-/scratch?"),
        ("Possibly a dent in the exhaust.", "exhaust-silencer/-/dent?"),
        ("The rear wheel might be buckled, I can't be sure.", "rear-wheel/-/bent?"),
        ("There's a scratch on the screen, or it might be a hair.", "windscreen/-/scratch?"),
        ("I don't know whether the frame is bent.", "frame/-/bent?"),
        ("Not sure there isn't a crack in the screen.", "windscreen/-/crack?"),
    ],
)
def test_doubt_is_looked_for_before_denial(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    "text",
    [
        "You'd expect rust on the exhaust.",
        "These usually leak at the sump.",
        "If there was a crack in the frame I'd tell you.",
        "People always ask about rust on the swingarm.",
        "I was looking for dents in the tank.",
        "They tend to rust round the exhaust.",
        "Watch out for cracks in the fairing on these.",
        "Has it got a dent in the tank? No.",
        "These rust at the collector.",
        "Are there any scratches on the tank?",
    ],
)
def test_wished_usual_or_asked_is_no_finding(find: Find, text: str) -> None:
    assert find(text) == []


def test_a_condition_met_before_the_eyes_is_a_finding(find: Find) -> None:
    assert find("If I turn the bars, there's a notch in the steering.") == ["steering-head/-/wear"]


@pytest.mark.parametrize(
    "text",
    [
        "My mate's has a dent in the tank.",
        "The last one we had was leaking at the fork seals.",
        "The one in the showroom has a cracked screen, not this one.",
        "I had one of these with a bent front wheel.",
    ],
)
def test_another_bikes_fault_is_no_finding(find: Find, text: str) -> None:
    assert find(text) == []


def test_another_bike_ends_with_its_sentence(find: Find) -> None:
    assert find("My uncle's had a scratched tank. This one has a dent in the tank.") == ["fuel-tank/-/dent"]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("The headlight is in good order.", ["headlight/-"]),
        ("Both wheels are straight.", ["front-wheel/-", "rear-wheel/-"]),
        ("No dents in the tank.", ["fuel-tank/-"]),
        ("Engine's lovely.", ["engine-running/-"]),
        ("The horn works.", ["horn/-"]),
        ("The seat's lovely and the tank's clean.", ["fuel-tank/-", "rider-seat/-"]),
        ("Left mirror, nothing. Right mirror, no.", ["mirror/left", "mirror/right"]),
        ("The panniers are unmarked, both of them.", ["pannier/both"]),
        ("The battery is new.", ["battery/-"]),
    ],
)
def test_good_words_are_kept_with_their_part(read: Read, text: str, parts: list[str]) -> None:
    assert good(read(text)) == parts


@pytest.mark.parametrize(
    "text",
    [
        "The mirror might be fine.",
        "The tank has fine scratches.",
        "It's a good honest bike.",
        "The tail light will be fine.",
        "The mirrors aren't straight.",
        "The alarm is fine.",
        "I'd say it's a tidy bike.",
        "The clear screen.",
        "The left mirror, no, two of them.",
    ],
)
def test_not_every_good_word_is_a_verdict(read: Read, text: str) -> None:
    assert good(read(text)) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The horn doesn't work.", "horn/-/not-working"),
        ("The forks aren't straight.", "fork-leg/both/bent"),
        ("The rack isn't secure.", "luggage-rack/-/loose"),
    ],
)
def test_a_good_word_denied_is_a_fault(read: Read, text: str, fault: str) -> None:
    assert found(read(text)) == [fault]
