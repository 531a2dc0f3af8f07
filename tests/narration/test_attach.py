"""Which part is meant: in the clause, by a preposition, by a pronoun, by "the other one", by what came before."""

import pytest
from rows import Find, Read, found, good, named


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("The left mirror is cracked. It's loose as well.", ["mirror/left/crack", "mirror/left/loose"]),
        ("The tank is clean. It has a dent by the filler.", ["fuel-tank/-/dent"]),
        ("The tyres are worn. They're perished too.", [
            "front-tyre/-/perished", "front-tyre/-/wear", "rear-tyre/-/perished", "rear-tyre/-/wear",
        ]),
        ("Here's the rack. That's rusty.", ["luggage-rack/-/corrosion"]),
    ],
)  # fmt: skip
def test_a_pronoun_means_what_was_spoken_of(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("There's a creak from the back suspension.", "rear-shock/-/noise"),
        ("There's oil weeping out of the left fork seal.", "fork-seal/left/leak"),
        ("You'll find a tear in the pillion seat.", "pillion-seat/-/tear"),
        ("A small dent, look, in the top of the tank.", "fuel-tank/-/dent"),
        ("There's light rust along the swingarm.", "swingarm/-/corrosion"),
        ("Scuffed, the left bar end.", "bar-end/left/scuff"),
        ("It's a wee bit scuffed, the left bar end.", "bar-end/left/scuff"),
    ],
)
def test_a_part_named_after_its_fault(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("The tyres are fine but the front one's cracked.", ["front-tyre/-/perished"]),
        ("The front tyre is fine and the back one is worn.", ["rear-tyre/-/wear"]),
        ("The left peg is fine, the right one's bent.", ["rider-footrest/right/bent"]),
        ("The mirrors are fine. The left one is loose.", ["mirror/left/loose"]),
    ],
)
def test_the_one_that_is_picked_out(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The tank has a scratch just below the fuel cap.", "fuel-tank/-/scratch"),
        ("The engine casing's got a mark behind the footrest.", "engine-casing/-/mark"),
        ("On the frame there's rust, near the battery.", "frame/-/corrosion"),
    ],
)
def test_a_place_is_not_the_part(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("Both tyres are worn.", ["front-tyre/-/wear", "rear-tyre/-/wear"]),
        ("The wheels are both corroded.", ["front-wheel/-/corrosion", "rear-wheel/-/corrosion"]),
        ("The forks are pitted.", ["fork-stanchion/both/pitting"]),
        ("The left fork's leaking.", ["fork-seal/left/leak"]),
        ("The levers are bent.", ["brake-lever/-/bent", "clutch-lever/-/bent"]),
        ("The brake discs have a lip.", ["front-brake-disc/both/wear"]),
        ("The chain and sprockets are worn.", ["chain/-/wear", "sprockets/-/wear"]),
        ("The mirror and the bar end are scuffed.", ["bar-end/-/scuff", "mirror/-/scuff"]),
    ],
)
def test_words_for_several_parts(find: Find, text: str, faults: list[str]) -> None:
    assert find(text) == faults


def test_good_words_for_a_group_cover_each_part(read: Read) -> None:
    assert good(read("All the plastics are good.")) == [
        "belly-pan/-", "front-mudguard/-", "nose-fairing/-", "side-fairing/both", "side-panel/both", "tail-unit/-",
    ]  # fmt: skip


def test_a_group_has_its_exception(read: Read) -> None:
    assert found(read("All the plastics are good apart from a crack in the left side panel.")) == [
        "side-panel/left/crack"
    ]


@pytest.mark.parametrize("text", ["The kettle is broken.", "The van is dented.", "The alarm is knackered."])
def test_a_fault_of_something_else_is_no_finding_of_the_bike(find: Find, text: str) -> None:
    assert find(text) == []


def test_something_else_draws_only_its_own_fault(find: Find) -> None:
    assert find("My helmet's scratched, and the tank is dented.") == ["fuel-tank/-/dent"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("Front end now. The mudguard is cracked.", "front-mudguard/-/crack"),
        ("Round the back, the mudguard is cracked.", "rear-mudguard/-/crack"),
    ],
)
def test_where_one_stands_picks_the_front_or_the_rear(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


def test_the_same_fault_said_twice_is_one_finding(find: Find) -> None:
    assert find("There's a chip on the tank. That chip on the tank is the only one.") == ["fuel-tank/-/paint-chip"]


def test_another_of_the_kind_is_a_second_finding(find: Find) -> None:
    assert len(find("There's a chip on the tank. There's another chip on the tank further back.")) == 2


def test_each_part_named_is_kept(read: Read) -> None:
    assert named(read("This is the horn, and that's the left mirror.")) == ["horn/-", "mirror/left"]


# --- echoes ----------------------------------------------------------------------------------------
@pytest.mark.parametrize("text", ["The right one hasn't.", "The right one doesn't.", "Not the right one though."])
def test_an_answer_denies_it_of_the_other(read: Read, text: str) -> None:
    assert found(read(f"The left mirror has a scratch. {text}")) == ["mirror/left/scratch"]


@pytest.mark.parametrize(
    "text",
    ["Same on the other side.", "The right one's the same.", "Likewise the right."],
)
def test_the_same_is_said_of_the_other(read: Read, text: str) -> None:
    assert found(read(f"The left bar end is scuffed. {text}")) == ["bar-end/both/scuff"]


def test_one_more_of_the_same_is_a_fault_of_its_own(read: Read) -> None:
    rows = read("The left bar end is scuffed. The right one's got the same.")
    assert found(rows) == ["bar-end/left/scuff", "bar-end/right/scuff"]


def test_the_same_good_word_is_said_of_the_other(read: Read) -> None:
    assert good(read("The left mirror is perfect. The right one's the same.")) == ["mirror/left", "mirror/right"]


def test_one_works_and_the_other_does_not(find: Find) -> None:
    assert find("The speedo works but the rev counter doesn't.") == ["instruments/-/not-working"]


# Read wrongly today: "The left bar end's scuffed, right one the same." loses the right one.
