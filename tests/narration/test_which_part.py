"""Which part is meant: compared parts, places, partners, pieces, little lights, more of the same.

The sentences are our own; the answers are what a careful listener would write down.
"""

from collections.abc import Callable

import pytest

from walkround.narration.model import Reading

Read = Callable[[str], Reading]
Rows = list[tuple[str, str | None, str]]


def told(reading: Reading) -> list[tuple[str | None, str | None, str]]:
    return [(row.part, row.side, row.defect) for row in reading.findings]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Right engine cover, same as the left, it's got white spots.", [("engine-casing", "right", "corrosion")]),
        ("Left pannier, like the right one, is scratched on the corner.", [("pannier", "left", "scratch")]),
        ("Left pannier. Like the right one it's scratched on the corner.", [("pannier", "left", "scratch")]),
        ("The back tyre's the same as the front, it's cracked.", [("rear-tyre", None, "perished")]),
        ("Rear pads, same story as the front, they're down to the metal.", [("rear-brake-pads", None, "wear")]),
        ("The pillion seat, like the rider's seat, is torn on the seam.", [("pillion-seat", None, "tear")]),
        ("The clutch lever, just like the brake lever, is bent.", [("clutch-lever", None, "bent")]),
        ("Unlike the left, the right mirror's cracked.", [("mirror", "right", "crack")]),
        ("The right mirror's cracked, unlike the left.", [("mirror", "right", "crack")]),
        ("The right fork's pitted worse than the left.", [("fork-stanchion", "right", "pitting")]),
        ("There's a scuff on the fairing as big as a brake lever.", [("side-fairing", None, "scuff")]),
        ("There's a dent in the tank about the size of a spark plug.", [("fuel-tank", None, "dent")]),
        ("It looks like the seal's leaking on the left fork.", [("fork-seal", "left", "leak")]),
        ("The right grip matches the left, torn at the end.", [("handlebar-grip", "right", "tear")]),
        (
            "The tank's got a scratch on it from somebody's zip, and there's a dent from a garage door.",
            [("fuel-tank", None, "scratch"), ("fuel-tank", None, "dent")],
        ),
        ("There's a dent in the tank, somebody's dropped a helmet on it.", [("fuel-tank", None, "dent")]),
        ("There's a scuff on the tail from a pannier strap.", [("tail-unit", None, "scuff")]),
        ("There's an oil leak from the fork seal on the left.", [("fork-seal", "left", "leak")]),
        ("There's a rattle from the exhaust.", [("exhaust-silencer", None, "noise")]),
        ("Paint's come off the swingarm, near the chain.", [("swingarm", None, "paint-chip")]),
        ("Tank next. Small chip in front of the cap.", [("fuel-tank", None, "paint-chip")]),
        ("Tank next. There's a little dent near the seat.", [("fuel-tank", None, "dent")]),
        ("The screen's got a crack in it just above the headlight.", [("windscreen", None, "crack")]),
        ("Left-hand fairing. Scratches down by the footrest.", [("side-fairing", "left", "scratch")]),
        ("Some rust behind the headlight.", [("headlight", None, "corrosion")]),
        ("There's a bit of rust on the frame by the footrest.", [("frame", None, "corrosion")]),
        ("Bit of a scuff on the seat, close to the grab rail.", [("rider-seat", None, "scuff")]),
        ("The filler cap's rusty.", [("fuel-cap", None, "corrosion")]),
        ("There's rust on the fuel cap.", [("fuel-cap", None, "corrosion")]),
    ],
)
def test_a_part_that_is_only_compared_with_or_beside(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Front tyre's good. The mudguard's tidy and so's the caliper. The back one's cracked on the sidewall.",
            [("rear-tyre", None, "perished")],
        ),
        (
            "Front wheel's true. I put it up on the stand to spin it. Back one's got a buckle in it.",
            [("rear-wheel", None, "bent")],
        ),
        ("Front disc's fine. Hose is good. Rear one, there's a lip on it.", [("rear-brake-disc", None, "wear")]),
        ("Left mirror's fine. Clutch lever's straight. The right one's cracked.", [("mirror", "right", "crack")]),
        ("Left pannier's good. The lock works. Right one's got a split in it.", [("pannier", "right", "crack")]),
        ("Left fork's dry. The headlight's nice and clear. Right one's weeping.", [("fork-seal", "right", "leak")]),
        (
            "Left silencer, not a mark. Swingarm's clean. Right one, there's a dent underneath.",
            [("exhaust-silencer", "right", "dent")],
        ),
        ("Sprockets are worn. Rear one's hooked.", [("sprockets", None, "wear")]),
        ("Footrests. Rider's are good. Passenger's one on the left's bent.", [("pillion-footrest", "left", "bent")]),
        ("The rider's seat's good. Passenger's got a tear in it.", [("pillion-seat", None, "tear")]),
        ("Seats. Rider's fine. The pillion one, there's a split in the seam.", [("pillion-seat", None, "tear")]),
        ("Rear shocks, and the left one's weeping.", [("rear-shock", "left", "leak")]),
        ("The seat's good. The one on the left, the pannier I mean, it's cracked.", [("pannier", "left", "crack")]),
        ("Front pads are good. Disc's fine. Back ones are down to the metal.", [("rear-brake-pads", None, "wear")]),
        ("Front tyre five mil. Rear, it's squared off.", [("rear-tyre", None, "wear")]),
        (
            "Front indicators are all right. The number plate's straight. The rear ones are both cracked.",
            [("rear-indicator", "both", "crack")],
        ),
        ("Left grip's fine. Choke works. The right one's torn at the end.", [("handlebar-grip", "right", "tear")]),
        (
            "Left footrest is good. The gear lever's good as well. The right one is bent up.",
            [("rider-footrest", "right", "bent")],
        ),
        (
            "The right mirror's cracked. The dash is fine. The left one's loose.",
            [("mirror", "right", "crack"), ("mirror", "left", "loose")],
        ),
        (
            "Left bar end's grazed. The tank's got a dent in it. The right one's clean.",
            [("bar-end", "left", "scuff"), ("fuel-tank", None, "dent")],
        ),
    ],
)
def test_one_of_two_after_another_part(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Left mirror. The glass is fine but the casing's got a crack in it.", [("mirror", "left", "crack")]),
        ("Right mirror, the cover's scratched.", [("mirror", "right", "scratch")]),
        (
            "Headlight works. The bulb's a bit dim, and there's a crack in the cover.",
            [("headlight", None, "not-working"), ("headlight", None, "crack")],
        ),
        ("Tail light, the bulb's gone.", [("tail-light", None, "not-working")]),
        ("Left pannier. The case is scuffed down one edge.", [("pannier", "left", "scuff")]),
        ("Footrests, left one's fine. The right peg's bent.", [("rider-footrest", "right", "bent")]),
        ("Mirrors are tidy. Engine. Left cover's scratched.", [("engine-casing", "left", "scratch")]),
        ("Mirrors are tidy. On the engine the cover's scratched.", [("engine-casing", None, "scratch")]),
        ("Left mirror's tidy. The pegs are worn.", [("rider-footrest", "both", "wear")]),
        ("Rear shock. The seal's leaking.", [("rear-shock", None, "leak")]),
        ("Number plate's straight. Rear mudguard, the reflector's cracked.", [("rear-mudguard", None, "crack")]),
        ("Rear caliper. The seal's weeping a bit.", [("rear-brake-caliper", None, "leak")]),
        (
            "Side stand. The spring's tired and the switch is broken.",
            [("side-stand", None, "wear"), ("side-stand", None, "broken")],
        ),
        ("Forks. The seal on the left is leaking.", [("fork-seal", "left", "leak")]),
        (
            "The right pannier, the hinge is broken and there's a crack in the lid.",
            [("pannier", "right", "broken"), ("pannier", "right", "crack")],
        ),
        (
            "Turn signals. Left front's cracked, right rear's loose.",
            [("front-indicator", "left", "crack"), ("rear-indicator", "right", "loose")],
        ),
        ("Front indicators, the left lens is cracked.", [("front-indicator", "left", "crack")]),
        ("Left hand guard, the bracket's bent.", [("hand-guard", "left", "bent")]),
        ("Seat's good. The grab strap's missing.", [("pillion-seat", None, "missing")]),
        ("The dash. One corner of the glass is cracked.", [("instruments", None, "crack")]),
        ("The screen's fine. One of the screws is missing.", [("windscreen", None, "missing")]),
        ("Battery cover's cracked.", [("side-panel", None, "crack")]),
    ],
)
def test_a_piece_is_of_the_part_spoken_of_last(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The exhaust, where it comes out of the engine, that's gone blue.", [("exhaust-header", None, "fading")]),
        ("There's rust on the exhaust where it goes under the engine.", [("exhaust-silencer", None, "corrosion")]),
        ("The side panel, where your leg goes past the seat, is scuffed.", [("side-panel", None, "scuff")]),
        ("The frame's scuffed where you swing your leg over the seat.", [("frame", None, "scuff")]),
        ("The swingarm, where it runs past the footrest, has the paint worn off.", [("swingarm", None, "paint-chip")]),
        ("Left fairing's got a scratch where it meets the tank.", [("side-fairing", "left", "scratch")]),
        ("There's a mark on the tank where it touches the fairing.", [("fuel-tank", None, "mark")]),
        ("Where the screen bolts on there's a crack in it.", [("windscreen", None, "crack")]),
        ("The silencer's dented, where he dropped it off the stand.", [("exhaust-silencer", None, "dent")]),
        ("Swingarm's scuffed where your boot goes.", [("swingarm", None, "scuff")]),
        ("The brake disc's warped, you can feel it through the lever.", [("front-brake-disc", None, "bent")]),
        ("The left disc is bent, you feel it in the handlebar.", [("front-brake-disc", "left", "bent")]),
    ],
)
def test_words_that_only_tell_where(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The little green light for the indicators doesn't come on.", [("instruments", None, "not-working")]),
        ("The wee blue light for the main beam doesn't work.", [("instruments", None, "not-working")]),
        ("The green light for neutral doesn't come on.", [("instruments", None, "not-working")]),
        ("The little red lamp for the oil doesn't light up.", [("instruments", None, "not-working")]),
        ("The warning light for the side stand doesn't work.", [("instruments", None, "not-working")]),
        ("The orange light that says the indicators are on doesn't work.", [("instruments", None, "not-working")]),
        ("The blue light's not working on the dash.", [("instruments", None, "not-working")]),
        ("The oil light doesn't come on.", [("instruments", None, "not-working")]),
        ("The neutral light's out.", [("instruments", None, "not-working")]),
        ("The light on the tail doesn't work.", [("tail-light", None, "not-working")]),
        ("The light for the number plate doesn't work.", [("number-plate", None, "not-working")]),
        ("The brake light doesn't come on with the front lever.", [("tail-light", None, "not-working")]),
        ("The bulb for the tail light has gone.", [("tail-light", None, "not-working")]),
        ("The ABS light stays on.", [("instruments", None, "not-working")]),
    ],
)
def test_little_lights_are_of_the_instruments(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "There's road rash on the right fairing, about eight inches, and then there's some more of it on the tail.",
            [("side-fairing", "right", "scuff"), ("tail-unit", None, "scuff")],
        ),
        (
            "There's rust on the exhaust and a bit more on the centre stand.",
            [("exhaust-silencer", None, "corrosion"), ("centre-stand", None, "corrosion")],
        ),
        (
            "There's a scrape on the engine cover on the right. And there's another on the silencer.",
            [("engine-casing", "right", "scuff"), ("exhaust-silencer", None, "scuff")],
        ),
        (
            "There's a dent in the tank. Another one there on the front mudguard.",
            [("fuel-tank", None, "dent"), ("front-mudguard", None, "dent")],
        ),
        (
            "Some surface rust on the frame, and more of the same on the swingarm.",
            [("frame", None, "corrosion"), ("swingarm", None, "corrosion")],
        ),
        ("There's a scratch on the left panel and more on that later.", [("side-panel", "left", "scratch")]),
        ("There's a crack in the screen. One more thing, the horn works.", [("windscreen", None, "crack")]),
        (
            "There's corrosion on the forks. No more on the wheels than you'd expect.",
            [("fork-leg", "both", "corrosion")],
        ),
        ("No scratches on the tank, except for one by the seat.", [("fuel-tank", None, "scratch")]),
        (
            "There's a chip in the left mirror, another in the right one.",
            [("mirror", "left", "paint-chip"), ("mirror", "right", "paint-chip")],
        ),
    ],
)
def test_more_of_the_same_elsewhere(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Heated grips. The left one gets warm and the right one does not.",
            [("handlebar-grip", "right", "not-working")],
        ),
        (
            "Indicators at the front. The left one flashes, the right one doesn't.",
            [("front-indicator", "right", "not-working")],
        ),
        ("The left bar end is scratched, the right one not.", [("bar-end", "left", "scratch")]),
        ("Panniers. The left one locks and the right one doesn't.", [("pannier", "right", "not-working")]),
        ("Left fork's got pitting, the right one hasn't.", [("fork-stanchion", "left", "pitting")]),
        ("The left disc is warped, the right is not.", [("front-brake-disc", "left", "bent")]),
        ("The left mirror rattles and the right one doesn't.", [("mirror", "left", "noise")]),
        ("The seat looks good and the tank doesn't.", []),
        ("I'd paint the left panel and I'd leave the right one.", []),
        (
            "There's a scuff, size of a beer mat, on the left fairing and there's a crack going up from it.",
            [("side-fairing", "left", "scuff"), ("side-fairing", "left", "crack")],
        ),
        ("The tank's got a dent the size of a small wheel nut.", [("fuel-tank", None, "dent")]),
    ],
)
def test_what_one_of_two_does_not_do(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Tank, no dents, no scratches. Oh, hang on. One. Just there by the cap.", [("fuel-tank", None, "scratch")]),
        ("There's no dents in the tank. Oh, there's one, by the seat.", [("fuel-tank", None, "dent")]),
        ("No chips on the headlight. One thing, the bulb's new.", []),
        ("No scratches on the screen. One key, two bags.", []),
        ("T'other side, side panel's good.", []),
        ("The left panel's clean. Other side, that's got a scratch on it.", [("side-panel", "right", "scratch")]),
        ("The left fairing's good. Right-hand side, it's scuffed.", [("side-fairing", "right", "scuff")]),
        ("The left fairing's good. Right-hand side. Tank's got a dent.", [("fuel-tank", None, "dent")]),
        ("Seat's good. The vinyl on the right-hand side has split.", [("rider-seat", None, "tear")]),
        ("The screen's on a hinge and it's cracked.", [("windscreen", None, "crack")]),
        ("When I pull the clutch lever it squeaks.", [("clutch-lever", None, "noise")]),
        ("If you rock the back wheel there's play in it.", [("rear-wheel", None, "loose")]),
        ("I put it up on the stand to look at the chain and it's slack.", [("chain", None, "loose")]),
        ("Tank's lovely. Cap locks. The lacquer's peeling on top.", [("fuel-tank", None, "peeling")]),
        ("Tank. Cap's fine. The paint's chipped at the front.", [("fuel-tank", None, "paint-chip")]),
        ("Swingarm, the chain's rubbed it.", [("swingarm", None, "scuff")]),
        ("The other mirror, the glass is cracked.", [("mirror", None, "crack")]),
        ("Left mirror's good. The other mirror, the stem's loose.", [("mirror", "right", "loose")]),
    ],
)
def test_the_other_side_means_and_what_is_only_used(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Seat's leather. It's had a slash at some point, on the back half, and somebody's sewn it.",
            [("pillion-seat", None, "tear")],
        ),
        (
            "The seat. There's little holes all over it, front and back.",
            [("rider-seat", None, "tear"), ("pillion-seat", None, "tear")],
        ),
        ("The seat's good. It's split on the seam at the front.", [("rider-seat", None, "tear")]),
        (
            "The saddle is leather. For the driver it is dry and cracked. For the passenger it is as new.",
            [("rider-seat", None, "perished")],
        ),
        (
            "Footrests. For the rider they are good. For the passenger the left one is bent.",
            [("pillion-footrest", "left", "bent")],
        ),
        ("The back wheel's true, but hold the tyre and rock it and it knocks.", [("rear-wheel", None, "noise")]),
        ("Grab the front wheel and there's play in it.", [("front-wheel", None, "loose")]),
        ("Left mirror, push the arm and it flops.", [("mirror", "left", "loose")]),
        ("Pull the clutch lever and it squeaks.", [("clutch-lever", None, "noise")]),
        ("Steering. Lift the front wheel and there's a notch in the middle.", [("steering-head", None, "wear")]),
        ("The seat's torn on the passenger's bit.", [("pillion-seat", None, "tear")]),
        ("There's a tear in the seat at the front.", [("rider-seat", None, "tear")]),
    ],
)
def test_halves_of_a_seat_and_what_is_held(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Mirror on the right. The casing on it is cracked.", [("mirror", "right", "crack")]),
        ("The front wheel's good. The rim of it has a dent in it.", [("front-wheel", None, "dent")]),
        (
            "There's the left pannier. A scratch across the lid and the hinge is bent.",
            [("pannier", "left", "scratch"), ("pannier", "left", "bent")],
        ),
        ("Top box is with it. There's a crack in the lid.", [("top-box", None, "crack")]),
        ("The fuel cap's lovely. There's a scratch on the tank pad.", [("tank-pad", None, "scratch")]),
        ("Rear shock's new. The seal on the right fork's leaking.", [("fork-seal", "right", "leak")]),
        ("The rear wheel's true. There's a dent in the rim.", [("rear-wheel", None, "dent")]),
        ("Seat's fine. There's a split in the stitching.", [("rider-seat", None, "tear")]),
    ],
)
def test_pieces_told_behind_the_fault(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "The passenger strap's gone, though, there's just the two holes where it should be.",
            [("pillion-seat", None, "missing")],
        ),
        ("The tank badge is missing, there's two holes where it was.", [("fuel-tank", None, "missing")]),
        ("The seat's got two holes in it where the dog had a go.", [("rider-seat", None, "tear")]),
        (
            "Left side panel. The badge has gone, you can see the holes where it used to be.",
            [("side-panel", "left", "missing")],
        ),
    ],
)
def test_empty_places(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Round the front. Headlight's clear. Indicators. Left one's fine. Right one's cracked.",
            [("front-indicator", "right", "crack")],
        ),
        (
            "Round the back. Indicators, the left one's fine. The right one's loose.",
            [("rear-indicator", "right", "loose")],
        ),
        ("At the back. The plate's straight. The indicators are both cracked.", [("rear-indicator", "both", "crack")]),
        (
            "The indicators are all cracked.",
            [("front-indicator", "both", "crack"), ("rear-indicator", "both", "crack")],
        ),
        (
            "Round the front. Tyres are both cracked.",
            [("front-tyre", None, "perished"), ("rear-tyre", None, "perished")],
        ),
        (
            "Round the front. Indicators, all four, are cracked.",
            [("front-indicator", "both", "crack"), ("rear-indicator", "both", "crack")],
        ),
    ],
)
def test_the_end_where_one_stands(read: Read, text: str, expected: Rows) -> None:
    assert told(read(text)) == expected
