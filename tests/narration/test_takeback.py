"""What was said and taken back, put right since, or was never there; and what ought to be there and is not."""

import pytest
from rows import Find, Read, faults, found, good, short


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        ("There's a scratch on the tank. No, that's just a hair.", "fuel-tank/-"),
        ("I thought the screen was cracked, but it isn't.", "windscreen/-"),
        ("There's a scratch on the tank. Tell a lie, that's dirt.", "fuel-tank/-"),
        ("There's a scratch on the seat, no, it's wiped off.", "rider-seat/-"),
        ("A mark on the screen. Oh, that's just a fly.", "windscreen/-"),
    ],
)
def test_a_fault_taken_back_is_withdrawn_and_no_finding(read: Read, text: str, taken: str) -> None:
    reading = read(text)
    assert (found(reading), [short(row) for row in reading.withdrawn]) == ([], [taken])


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("Nothing wrong with the tank. I tell a lie, there's a dent in it.", "fuel-tank/-/dent"),
        ("No marks on the seat. Hang on, there's a tear in it.", "rider-seat/-/tear"),
    ],
)
def test_a_denial_taken_back_is_a_finding(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


def test_a_fault_named_anew_keeps_its_last_name(find: Find) -> None:
    text = "The tank's got a scratch, well, it's not a scratch, it's a crease."
    assert find(text) == ["fuel-tank/-/dent"]


@pytest.mark.parametrize(
    ("text", "mended"),
    [
        ("The left fork seal was leaking but we've replaced it.", ["fork-seal/left/leak"]),
        ("The screen was cracked, so we've fitted a new one.", ["windscreen/-/crack"]),
        ("The radiator leaked. It's been renewed.", ["radiator/-/leak"]),
        ("The screen had a crack. It's fine now.", ["windscreen/-/crack"]),
    ],
)
def test_what_was_put_right_is_repaired_and_no_finding(read: Read, text: str, mended: list[str]) -> None:
    reading = read(text)
    assert (found(reading), faults(reading.repaired)) == ([], mended)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The mirror was cracked.", "mirror/-/crack"),
        ("The seat was torn when it came in.", "rider-seat/-/tear"),
        ("There's a tear in the seat, it's been repaired.", "rider-seat/-/tear"),
    ],
)
def test_without_a_word_of_repair_it_is_still_there(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


def test_a_repair_that_shows_is_a_finding(find: Find) -> None:
    assert find("The tank had a dent, it's been repaired but you can still see it.") == ["fuel-tank/-/dent"]


# --- absence ---------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("There's no handbook.", "handbook/-/missing"),
        ("Handbook, none.", "handbook/-/missing"),
        ("No toolkit under the seat.", "toolkit/-/missing"),
        ("It hasn't got a service history.", "service-history/-/missing"),
        ("There's only one key.", "keys/-/missing"),
        ("The toolkit is missing.", "toolkit/-/missing"),
        ("The left bar end is gone.", "bar-end/left/missing"),
        ("The MOT has run out.", "test-certificate/-/out-of-date"),
    ],
)
def test_what_ought_to_be_there_and_is_not(find: Find, text: str, fault: str) -> None:
    assert find(text) == [fault]


@pytest.mark.parametrize(
    "text",
    ["No test certificate, it doesn't need one.", "There's no hugger on this one.", "No chain, it's shaft drive."],
)
def test_what_it_never_had_is_no_fault(find: Find, text: str) -> None:
    assert find(text) == []


def test_a_part_that_may_never_have_been_fitted_is_asked_about(read: Read) -> None:
    reading = read("There's no top box.")
    assert (found(reading), [row.defect for row in reading.unplaced]) == ([], ["missing"])


def test_a_missing_part_gets_no_good_word(read: Read) -> None:
    assert good(read("There's no handbook.")) == []


@pytest.mark.parametrize(
    "text",
    [
        "There might be a hairline in the hugger there, or it might just be the mould line.",
        "There's possibly a weep on the rear shock, or it's just chain lube that's got on it.",
        "There's a bit of rust on the silencer, so that'll be cleaned off and painted.",
        "The header pipes have surface rust on them, that's normal, but you'll see it.",
    ],
)
def test_one_of_two_possibilities_and_a_promise_take_nothing_back(read: Read, text: str) -> None:
    reading = read(text)
    assert len(reading.findings) == 1
    assert not reading.withdrawn


@pytest.mark.parametrize(
    "text",
    [
        "There's a mark on the tank and it's not just dirt.",
        "The exhaust rattles. I don't think it's meant to do that.",
        "There's a weep from the left fork seal. It wipes off but it comes back.",
        "There's rust on the frame. It rubs off on your hand.",
        "There's a rip in the seat. My mistake, I caught it with a box.",
        "Both mirrors were broken. I've replaced the right one.",
        "The chain was worn. I've fitted new sprockets.",
        "The rear wheel is bent, there's a crack in it.",
    ],
)
def test_words_that_undo_nothing_leave_the_fault(read: Read, text: str) -> None:
    reading = read(text)
    assert reading.findings
    assert not reading.withdrawn
    assert not reading.repaired


def test_a_fault_taken_as_not_meant_is_put_to_a_person(read: Read) -> None:
    (row,) = read("My nephew had it out and put a dent in the tank.").unplaced
    assert row.defect == "dent"
    assert "said of this bike" in (row.review or "")


def test_the_worse_of_a_fault_said_twice_is_kept(read: Read) -> None:
    rows = read("There's a tiny tear in the seat. The mirror's fine. There's a huge tear in the seat.").findings
    assert [row.severity for row in rows] == ["moderate"]
