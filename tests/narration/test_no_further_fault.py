"""What goes with a fault and is no further one, what does not come with the bike, and what is only supposed.

Each table of sentences that must make no row has one beside it of sentences that must.
"""

import pytest
from rows import Read, faults


@pytest.mark.parametrize(
    "text",
    [
        "Tail pack isn't with it, that's my mate's.",
        "The panniers aren't with it, he's sold them already.",
        "That top box ain't coming with it, she's having it on the new bike.",
        "The soft bags hanging off the back are mine, they're not in the price.",
        "Chain's been oiled. It's not slack, it's not tight, it's about right.",
        "The chain isn't slack and it isn't tight.",
        "The front tyre's seven years old but there's no cracks and plenty of tread.",
        "What's under the tank pad I can't tell you, I've not lifted it.",
        "My daughter had one, and hers had a snapped lever inside a week.",
        "The grips don't match but there's nothing wrong with either of them.",
        "I've folded the mirrors in for the van.",
        "Headlights, no chips, lovely and clear.",
        "The swinging arm, I won't know till it's in bits.",
    ],
)
def test_no_fault_is_told(read: Read, text: str) -> None:
    assert not read(text).findings


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The left panel's cracked and it's been glued from behind.", ["side-panel/left/crack"]),
        ("There's a split in the seat, somebody's put tape on it.", ["rider-seat/-/tear"]),
        ("The badge is missing off the left panel, there's just two holes where it was.", ["side-panel/left/missing"]),
        ("There's a scratch on the tank, it's through to the primer.", ["fuel-tank/-/scratch"]),
        ("There's a scuff on the left silencer, quite low.", ["exhaust-silencer/left/scuff"]),
        ("The silencer's gone a bit brown, I wouldn't call that rust.", ["exhaust-silencer/-/fading"]),
    ],
)
def test_one_fault_is_told_once(read: Read, text: str, told: list[str]) -> None:
    assert sorted(faults(read(text).findings)) == sorted(told)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The left fairing is cracked, and there's tape residue on the tank.",
         ["side-fairing/left/crack", "fuel-tank/-/residue"]),
        ("The rear tyre's twelve years old but it's not cracked.", ["rear-tyre/-/out-of-date"]),
        ("The mirrors don't match and the left one's cracked.", ["mirror/both/mark", "mirror/left/crack"]),
        ("The rack's bent and the top box isn't included.", ["luggage-rack/-/bent"]),
        ("The clutch lever's snapped and I've got a good one in the shed for it.", ["clutch-lever/-/broken"]),
        ("The exhaust silencer's gone brown, and that's rust.", ["exhaust-silencer/-/corrosion"]),
    ],
)  # fmt: skip
def test_further_faults_are_kept(read: Read, text: str, told: list[str]) -> None:
    assert sorted(faults(read(text).findings)) == sorted(told)


@pytest.mark.parametrize(
    "text",
    [
        "The fuel tank isn't with it, it's at the painter's.",
        "The rider's seat isn't with it at the moment, it's being covered.",
        "The horn doesn't work. I think the fuse has gone.",
        "The front mudguard's a new one, you can tell, it's a different white.",
    ],
)
def test_what_is_unsure_is_asked(read: Read, text: str) -> None:
    assert read(text).unplaced


@pytest.mark.parametrize(
    "text",
    [
        "The mirror has a mark. I'd say that's off a gate.",
        "There's a scuff. Somebody's leaned it on something, I reckon.",
        "It rattles. Could be the chain, could be a loose bracket.",
        "It's a burn. A cigarette, is it?",
        "The paint's dull. That's sun.",
        "I expect it's only a fuse.",
    ],
)
def test_a_guess(read: Read, text: str) -> None:
    assert read(text).guesses


@pytest.mark.parametrize(
    "text",
    [
        "There's a scratch, maybe two inches.",
        "The pads, I'd say two mil.",
        "And that's about it, I think.",
        "I think that's everything.",
        "Figure on a tyre this season.",
        "Discs are good I think.",
        "I must be honest with you.",
        "It says nine thousand and I believe it.",
    ],
)
def test_no_guess(read: Read, text: str) -> None:
    assert not read(text).guesses


@pytest.mark.parametrize(
    ("text", "promised"),
    [
        ("The lever's bent, so we'll see to that.", True),
        ("I'll get that off with a bit of white spirit.", True),
        ("The spring's weak but I've got one coming for that.", True),
        ("I'll do the wheels first because that's where the money goes.", False),
        ("It needs seeing to before anybody rides it.", False),
        ("The rear tyre's on its way out.", False),
        ("So figure on replacing those.", False),
        ("I haven't ordered one, so I'm not saying it'll be done.", False),
        ("We put a new battery in last week.", False),
    ],
)
def test_promises(read: Read, text: str, promised: bool) -> None:
    assert bool(read(text).promises) == promised


@pytest.mark.parametrize(
    ("text", "kept_back"),
    [
        ("The rack comes with it. The top box doesn't.", True),
        ("The paddock stand I'm not selling.", True),
        ("The little flag on the back, that I keep.", True),
        ("The lamp doesn't come on.", False),
        ("The disc's worn, so that's coming off before anybody rides it.", False),
        ("The seals weep and I'm having that done on Friday.", False),
    ],
)
def test_excluded(read: Read, text: str, kept_back: bool) -> None:
    assert bool(read(text).excluded) == kept_back


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("Rear tyre, one and a half mil, it's finished.", "serious"),
        ("Rear tyre's on two and a half mil and it's squared off.", "moderate"),
        ("Front pads are worn, there's one mil on them.", "serious"),
        ("The windscreen has a hairline crack by the screw.", "moderate"),
        ("The side stand's bent a touch.", "moderate"),
        ("The front disc is warped.", "serious"),
        ("The display has a row of dead segments.", "minor"),
        ("The right rear indicator's hanging off its wires.", "moderate"),
        ("The chain's far too loose.", "moderate"),
        ("The chain's a bit slack.", "minor"),
    ],
)
def test_severity(read: Read, text: str, level: str) -> None:
    """Levels as careful readers give them: common practice, no source."""
    assert [row.severity for row in read(text).findings] == [level]


@pytest.mark.parametrize(
    ("text", "miles"),
    [
        ("Mileage is twelve thousand, no I tell a lie, ten thousand two hundred and thirty-six.", 10236),
        ("Odometer says nineteen thousand, six hundred and two. Two owners.", 19602),
    ],
)
def test_mileage(read: Read, text: str, miles: int) -> None:
    assert read(text).facts["mileage"].value == miles
