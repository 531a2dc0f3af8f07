"""Everyday shapes: what is fitted or new, plainer names, places told by a part, answers, faults of some parts only."""

import pytest
from rows import Read, found, good, short

FAULTS = [
    # what a bike "wears" is fitted; what wears thin is worn
    ("She's wearing a set of aftermarket levers.", []),
    ("It's wearing bar end mirrors in place of the standard ones.", []),
    ("It's wearing thin on the left grip.", ["handlebar-grip/left/wear"]),
    # what did it is no further fault
    ("Swingarm's scratched where the old chain was slapping off it.", ["swingarm/-/scratch"]),
    ("Frame, there's a chip in the paint where the stand was banging on it.", ["frame/-/paint-chip"]),
    # what it amounts to is no further fault
    ("Exhaust headers, they're pitted, the chrome's past it.", ["exhaust-header/-/pitting"]),
    ("Header pipes are rusty, the chrome's had it.", ["exhaust-header/-/corrosion"]),
    # owned up to, not missing
    ("It's light rust on the swingarm, but I'm not gonna pretend it isn't there.", ["swingarm/-/corrosion"]),
    # the same thing in plainer words
    ("Engine guards, that's your chrome bars there. Left one's scraped.", ["engine-bar/left/scuff"]),
    ("Crash bars, those are the black bars either side. The left one's bent.", ["engine-bar/left/bent"]),
    # places
    ("Gas tank. There's a chip, just ahead of the seat.", ["fuel-tank/-/paint-chip"]),
    ("Tank. There's a ding just in front of the seat.", ["fuel-tank/-/dent"]),
    ("Tank. There's a scratch, next to the filler cap.", ["fuel-tank/-/scratch"]),
    ("Running boards. The rubber on the right side's lifting at the back.", ["rider-footrest/right/peeling"]),
    ("Horn, not a peep, could be mud in the switch.", ["horn/-/not-working"]),
    # names turned round
    ("The lever of the clutch is bent.", ["clutch-lever/-/bent"]),
    ("The cover of the chain has a crack.", ["chain-guard/-/crack"]),
    ("The glass of the headlight is cracked.", ["headlight/-/crack"]),
    ("There's a dent in the side of the tank.", ["fuel-tank/-/dent"]),
    # answers and what is told after a denial
    ("No rust on the frame. On the swingarm there's some, by the stand.", ["swingarm/-/corrosion"]),
    ("No dents in the mudguard at the front. There's one in the tank.", ["fuel-tank/-/dent"]),
    ("Any dents? One, in the tank.", ["fuel-tank/-/dent"]),
    ("Rust? A bit on the exhaust bracket, none anywhere else.", ["exhaust-silencer/-/corrosion"]),
    ("Any dents? None.", []),
    ("No dents in the tank. There's one key with it.", []),
    ("Everything on the bars works. Well, the heated grips don't.", ["handlebar-grip/both/not-working"]),
    ("No rust on the chain, but there's some on the sprocket.", ["sprockets/-/corrosion"]),
    ("A scratch, level with the filler cap, on the tank.", ["fuel-tank/-/scratch"]),
    ("The pedal of the rear brake is bent.", ["rear-brake-pedal/-/bent"]),
    # families of words
    ("The seat's had a repair here.", ["rider-seat/-/tear"]),
    ("The left indicator in front does not burn.", ["front-indicator/left/not-working"]),
    ("The left panel's hanging.", ["side-panel/left/loose"]),
    ("The chrome's gone off the top of the rack.", ["luggage-rack/-/paint-chip"]),
    ("Rear pads, they're down on the metal.", ["rear-brake-pads/-/wear"]),
    ("It's after eating into the disc at the back.", ["rear-brake-disc/-/wear"]),
    ("Rust has eaten into the frame.", ["frame/-/corrosion"]),
    ("Horn, not a dicky bird.", ["horn/-/not-working"]),
    ("Side stand, the spring's weak.", ["side-stand/-/wear"]),
    ("The film on the clocks has started to yellow.", ["instruments/-/fading"]),
    ("The downpipes have blued.", ["exhaust-header/-/fading"]),
    ("On the belly pan there are impacts from stones.", ["belly-pan/-/stone-chip"]),
    ("The mirror on the left does not hold its position.", ["mirror/left/loose"]),
    ("The service book's stamped to nine thousand and then nothing after.", ["service-history/-/missing"]),
    ("Rear tyre's got loads of tread, but by the date it's eleven years old.", ["rear-tyre/-/out-of-date"]),
    ("It jumps out of second now and then.", ["engine-running/-/not-working"]),
    ("There are two keys, but only one of them works the top box.", ["keys/-/not-working"]),
    ("Clutch lever has a small bend at the end.", ["clutch-lever/-/bent"]),
]


@pytest.mark.parametrize(("text", "faults"), FAULTS)
def test_the_shape_is_read(read: Read, text: str, faults: list[str]) -> None:
    assert found(read(text)) == faults


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("The chain is new, with the sprockets.", ["chain/-", "sprockets/-"]),
        ("The chain is new, but the sprockets are not.", ["chain/-"]),
        ("Heated grips, both of them get hot.", ["handlebar-grip/both"]),
        ("The brake disc at the front gets hot.", []),
        ("USB socket, my phone charges off it.", ["power-socket/-"]),
        ("The battery cranks strong.", ["battery/-"]),
        ("Rear shock, not a squeak out of it.", ["rear-shock/-"]),
        ("The right mirror is good also.", ["mirror/right"]),
        ("Any rust on the frame? No. There's some on the exhaust.", ["frame/-"]),
        ("She's wearing a set of aftermarket levers and they're both straight.", ["brake-lever/-", "clutch-lever/-"]),
    ],
)
def test_praise_is_of_what_was_praised(read: Read, text: str, parts: list[str]) -> None:
    assert good(read(text)) == parts


@pytest.mark.parametrize("text", ["The shock's quiet, not a squeak out of it.", "Steering head, not a click."])
def test_silence_is_a_fault_of_a_horn_only(read: Read, text: str) -> None:
    reading = read(text)
    assert not found(reading)
    assert not reading.unplaced


def test_a_plural_told_at_the_front_is_of_the_front(read: Read) -> None:
    reading = read("Starting at the front. Turn signals are built in. The right one has a crack across the lens.")
    assert [short(row) for row in reading.findings] == ["front-indicator/right"]
