"""Everyday shapes of sentences, each with its sisters, and beside them what must not be read so."""

import pytest
from rows import Read, found, good

FAULTS = [
    # Two words for no that are one, and that are two.
    ("The gauge don't read nothing.", ["instruments/-/not-working"]),
    ("The switch won't do nothing when you press it.", ["switchgear/-/not-working"]),
    ("Horn don't work no more.", ["horn/-/not-working"]),
    ("There ain't no toolkit.", ["toolkit/-/missing"]),
    ("The tank isn't without scratches.", ["fuel-tank/-/scratch"]),
    ("It's not that there's no crack in the screen.", ["windscreen/-/crack"]),
    # Rears and fronts, this end, back here, the one behind.
    ("Front pads are good. Rears are getting thin.", ["rear-brake-pads/-/wear"]),
    ("Front indicators are fine. The rears are cracked.", ["rear-indicator/both/crack"]),
    (
        "At the back now. Tail light's good. Indicators this end, the right one's broken.",
        ["rear-indicator/right/broken"],
    ),
    ("Start at the rear. Turn signals back here, the left one's cracked.", ["rear-indicator/left/crack"]),
    ("Back end. Tail light works. Indicators, one's wobbly.", ["rear-indicator/-/loose"]),
    ("I show you first the front. The mudguard has a scratch.", ["front-mudguard/-/scratch"]),
    ("The wheel behind has a dent.", ["rear-wheel/-/dent"]),
    # Paint that is lost, corners pressed in, patches of another colour.
    ("The rack has lost its paint where the box sat.", ["luggage-rack/-/paint-chip"]),
    ("The engine bars have lost paint at the bottom.", ["engine-bar/both/paint-chip"]),
    ("The tank's lost its shine.", ["fuel-tank/-/fading"]),
    ("The corner of the top box is pressed in.", ["top-box/-/dent"]),
    ("The side of the tank is caved in slightly.", ["fuel-tank/-/dent"]),
    ("The clocks have a grey spot inside the glass.", ["instruments/-/stain"]),
    ("There's a darker patch on the silencer near the front.", ["exhaust-silencer/-/fading"]),
    ("The right mirror, the glass has gone kind of black round the edge.", ["mirror/right/fading"]),
    ("The mirror glass has gone.", ["mirror/-/missing"]),
    ("The brake fluid pot's gone that yellow you can't see in.", ["fluid-reservoir/-/fading"]),
    ("The screen's got swirly scratches.", ["windscreen/-/scratch"]),
    # Half gone, soon finished, soon time.
    ("Rear tyre's about half gone.", ["rear-tyre/-/wear"]),
    ("Front tyre's on two mil, so it's soon time.", ["front-tyre/-/wear"]),
    ("The brake pads in front, they are soon finished.", ["front-brake-pads/-/wear"]),
    # What is heard when it is moved, what whoever rides it will hear.
    ("The main stand squeaks when you push it down.", ["centre-stand/-/noise"]),
    ("You'll get a rattle off the cam chain till it's warm.", ["engine-running/-/noise"]),
    # What is not to be found, and how many there should be.
    ("I can't find the toolkit, sorry.", ["toolkit/-/missing"]),
    ("The spare key, no idea where that's got to.", ["keys/-/missing"]),
    ("Should be two keys, I've only got the one.", ["keys/-/missing"]),
    ("He lost the service book when he moved.", ["service-history/-/missing"]),
    # One works, the other doesn't.
    ("Lights all work. The horn don't.", ["horn/-/not-working"]),
    ("The left indicator works, the right one doesn't.", ["front-indicator/right/not-working"]),
    ("The left front blinker is not blinking.", ["front-indicator/left/not-working"]),
    # Mended so that it shows.
    ("The chip on the tank I've touched in with a pen.", ["fuel-tank/-/paint-chip"]),
    ("Screen's been glued together at the bottom.", ["windscreen/-/broken"]),
    # Two faults of which one is told as the cause of the other.
    (
        "The number plate sits crooked, and that's because one of the bolts has gone.",
        ["number-plate/-/misaligned", "number-plate/-/missing"],
    ),
    # What made a mark, in its name; where a part came from.
    ("Swingarm's got a chain mark on top.", ["swingarm/-/mark"]),
    ("The tank has some pannier strap marks.", ["fuel-tank/-/mark"]),
    ("There's a tank dent.", ["fuel-tank/-/dent"]),
    ("The left side panel's off another bike and it's scratched.", ["side-panel/left/scratch"]),
    ("The front wheel's got a nail in the tyre.", ["front-tyre/-/tear"]),
    ("Tail unit, there's some cracking where the rack bolts on.", ["tail-unit/-/crack"]),
    ("There's a whine in fifth.", ["engine-running/-/noise"]),
    # Which of two it is: by the side told last, by the side right behind the fault, not said at all.
    ("Engine casings are clean on the left and on the right there's a scrape.", ["engine-casing/right/scuff"]),
    ("The panniers are good on the right, and on the left there's a crack in the lid.", ["pannier/left/crack"]),
    (
        "The fairings are clean on the left, but there's a crack on the right by the screw.",
        ["side-fairing/right/crack"],
    ),
    ("Forks are dry on the right and weeping on the left.", ["fork-seal/left/leak"]),
    ("Mirrors, one's loose.", ["mirror/-/loose"]),
    ("Grips, one of them's torn, the left.", ["handlebar-grip/left/tear"]),
    ("The bar ends are scuffed.", ["bar-end/both/scuff"]),
    ("Footpeg, it's ground at the tip but it's not bent.", ["rider-footrest/-/scuff"]),
    ("Wheels. The front's fine. The back's on the old spokes and they're furred up.", ["rear-wheel/-/corrosion"]),
    ("Chrome on the lower legs is pitted.", ["fork-leg/both/pitting"]),
    ("The indicator lens is broken in one corner.", ["front-indicator/-/broken"]),
    ("The clock's stuck on eleven thousand.", ["instruments/-/not-working"]),
    ("The engine doesn't idle right till it's warm.", ["engine-running/-/not-working"]),
    ("He peeled the stickers off and left glue all over the tank.", ["fuel-tank/-/residue"]),
]


@pytest.mark.parametrize(("text", "faults"), FAULTS)
def test_the_fault_is_read(read: Read, text: str, faults: list[str]) -> None:
    assert found(read(text)) == faults


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("There ain't no rust on the frame.", "frame/-"),
        ("The tank don't have no dents.", "fuel-tank/-"),
        ("The tank hent got no dents in that.", "fuel-tank/-"),
        ("Nee dents in the tank, nee scratches.", "fuel-tank/-"),
        ("Ain't nothing wrong with the seat.", "rider-seat/-"),
        ("The screen, you won't find no cracks in it.", "windscreen/-"),
        ("You'd be hard put to find a chip on the tank.", "fuel-tank/-"),
        ("It's not got a mark on it, the belly pan.", "belly-pan/-"),
        ("Handlebar's good, not a spot on it.", "handlebar/-"),
        ("Front tyre's seven mil, good as new.", "front-tyre/-"),
        ("Rear tyre is five millimetres, that is a good tyre.", "rear-tyre/-"),
        ("Back pads, three mil, they've got ages yet.", "rear-brake-pads/-"),
        ("The battery was dead when it come in, so I've put a new one on it.", "battery/-"),
        ("The right mirror had snapped, so I replaced it.", "mirror/right"),
        ("The clutch lever did snap, but my dad's put a new one on, so that's fine now.", "clutch-lever/-"),
        ("On the right nothing's ever happened. The mirror's perfect.", "mirror/right"),
    ],
)
def test_the_part_is_praised(read: Read, text: str, part: str) -> None:
    reading = read(text)
    assert not found(reading)
    assert part in good(reading)


@pytest.mark.parametrize(
    "text",
    [
        "The screen is split, no it's not, that's a bit of tape.",
        "The tank's dented, no, it isn't, that's the light.",
        "The screen's a smoked one.",
        "Front pads are good. We'll put a set of rears in.",
        "There's no MOT, we don't have them over here.",
        "I can't find the horn button in these gloves.",
        "It's time to move on to the tank.",
        "The engine's nicely broken in.",
        "I peeled the old film off the tank.",
        "My mate's has the same scratch.",
        "That don't hurt nothing.",
        "Push the lever in and it feels nice.",
        "Leave it out in the rain and you'll get rust on the chain.",
    ],
)
def test_no_fault_is_read(read: Read, text: str) -> None:
    assert found(read(text)) == []


@pytest.mark.parametrize("text", ["The gauge don't read nothing.", "The horn don't do nothing."])
def test_what_does_nothing_is_never_clear(read: Read, text: str) -> None:
    assert good(read(text)) == []
