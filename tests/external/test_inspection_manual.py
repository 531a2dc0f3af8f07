"""The checklist against a published inspection manual's reasons for failure.

Source: DVSA, "MOT inspection manual: motorcycles (classes 1 and 2)", Great Britain. The assemblies are those of
sections 0 to 6 as far as they were seen: sections 4, 5 and 6 of the current manual in part, the change notice for
20 June 2019, and older editions as reproduced on manual sites for the list of assemblies. ``basis`` says for each
row what was seen ("checked"), what stands on a garage's summary of it ("via"), and what is from memory.

The tool is no inspection and says nothing on passing one. What is tested is that a film of a used bike is asked about
every assembly that the manual looks at, or that the list says in words why it leaves it out.
"""

from dataclasses import dataclass

import pytest

from walkround.checklist.items import Checklist, checklist_of
from walkround.narration.lexicon import load_lexicon


@dataclass(frozen=True)
class Assembly:
    """A row of the manual: its parts in our lexicon, or the name under which our list leaves it out."""

    number: int
    name: str
    fails: str
    basis: str
    parts: tuple[str, ...] = ()
    left_out: str | None = None


MANUAL = [
    Assembly(
        1,
        "Registration plate, frame number",
        "missing, insecure, illegible",
        "checked (old 6.3)",
        ("number-plate", "registration-document"),
    ),
    Assembly(
        2,
        "Brake controls",
        "insecure, worn pivot, no reserve travel, spongy",
        "via",
        ("brake-lever", "rear-brake-pedal"),
    ),
    Assembly(
        3,
        "Brake pads and linings",
        "worn out, contaminated",
        "assembly checked",
        ("front-brake-pads", "rear-brake-pads"),
    ),
    Assembly(
        4, "Discs and drums", "cracked, insecure, scored, run-out", "checked", ("front-brake-disc", "rear-brake-disc")
    ),
    Assembly(5, "Calipers", "insecure, binding", "checked", ("front-brake-caliper", "rear-brake-caliper")),
    Assembly(6, "Hoses and pipes", "leak, chafe, crack", "via", ("brake-hose",)),
    Assembly(7, "Fluid reservoirs", "insecure, uncapped, too low", "via", ("fluid-reservoir",)),
    Assembly(8, "Cables, rods, linkages", "frayed, corroded", "checked (2019)", ("brake-hose", "rear-brake-pedal")),
    Assembly(
        9, "Brake performance", "below the required efficiency", "from memory", ("brakes-working",), "Brake efficiency"
    ),
    Assembly(
        10,
        "Handlebars, grips, clamps, yokes",
        "deformed, cracked, loose, missing grip",
        "checked in a sister section",
        ("handlebar", "handlebar-grip", "top-yoke"),
    ),
    Assembly(11, "Steering lock to lock", "fouling, trapped cables", "checked in a sister section", ("steering-head",)),
    Assembly(12, "Steering head bearings", "tight, notchy, play", "checked in a sister section", ("steering-head",)),
    Assembly(13, "Front forks", "bent, loose, oil from a seal", "checked", ("fork-leg", "fork-stanchion", "fork-seal")),
    Assembly(14, "Front damping and springs", "no effective damping", "checked", ("fork-leg",)),
    Assembly(15, "Rear suspension", "play, leak, no damping", "assembly checked", ("rear-shock", "swingarm")),
    Assembly(16, "Wheel bearings", "play, roughness", "checked", ("front-wheel", "rear-wheel")),
    Assembly(17, "Wheel security", "loose or missing nut, spindle", "checked", ("front-wheel", "rear-wheel")),
    Assembly(18, "Rims, spokes", "run-out", "checked", ("front-wheel", "rear-wheel")),
    Assembly(
        19,
        "Tyres, each one",
        "tread below the limit, cuts, bulges, wrong type",
        "number from memory",
        ("front-tyre", "rear-tyre"),
    ),
    Assembly(20, "Wheel alignment", "out of line", "index checked", (), "Wheel alignment"),
    Assembly(
        21,
        "Headlamp and aim",
        "missing, dim, insecure, aim out",
        "checked",
        ("headlight", "lights-working"),
        "Headlamp aim",
    ),
    Assembly(
        22,
        "Position lamps, stop lamp, indicators, rear reflector",
        "not working, insecure",
        "list checked",
        ("tail-light", "front-indicator", "rear-indicator", "lights-working"),
    ),
    Assembly(23, "Horn", "missing, inoperative", "index checked", ("horn",)),
    Assembly(24, "Frame", "fractured, deformed, corroded", "checked", ("frame",)),
    Assembly(25, "Exhaust", "insecure, leaking, too noisy", "item checked", ("exhaust-header", "exhaust-silencer")),
    Assembly(26, "Fuel system, cap", "leak, insecure, missing cap", "item checked", ("fuel-tank", "fuel-cap")),
    Assembly(27, "Seat, footrests", "missing or insecure", "checked", ("rider-seat", "rider-footrest")),
    Assembly(28, "Clutch lever, throttle", "bent or not usable", "checked", ("clutch-lever", "handlebar-grip")),
    Assembly(29, "Drive chain or belt, sprockets", "too loose, too tight, worn", "checked", ("chain", "sprockets")),
    Assembly(30, "Chain or belt guard", "insecure or fouling", "checked", ("chain-guard",)),
    Assembly(31, "Sidecar", "mounting, alignment", "index checked", (), "Sidecar"),
]
#: Not looked at by the manual, and normally said in a sale (the same source; mileage is recorded, not tested).
BEYOND = (
    "battery",
    "service-history",
    "keys",
    "registration-document",
    "engine-running",
    "coolant-hose",
    "side-fairing",
)
#: Assemblies whose failure can throw a rider: a film that skips them is not complete. Our own judgement, no source.
GRAVE = (3, 4, 12, 13, 15, 17, 19, 24, 29)


@pytest.fixture(scope="module")
def items() -> Checklist:
    return checklist_of(load_lexicon())


def test_the_manuals_list_is_whole() -> None:
    assert [row.number for row in MANUAL] == list(range(1, 32))


@pytest.mark.parametrize("row", MANUAL, ids=lambda row: f"{row.number}-{row.name}")
def test_each_assembly_is_asked_for_or_left_out_with_a_reason(items: Checklist, row: Assembly) -> None:
    asked = {part for entry in items.entries.values() if entry.asked_for(()) for part in entry.parts}
    reasons = dict(items.left_out)
    assert set(row.parts) <= asked
    assert row.parts or row.left_out
    assert row.left_out is None or reasons[row.left_out]


def test_nothing_else_is_left_out_and_all_that_is_gets_printed(
    items: Checklist, capsys: pytest.CaptureFixture[str]
) -> None:
    left = {row.left_out: row for row in MANUAL if row.left_out}
    assert {what for what, _ in items.left_out} == set(left)
    with capsys.disabled():
        print("\nleft out of the checklist, of a published inspection manual:")
        for what, why in items.left_out:
            print(f"  {left[what].number}. {what}: {why}")


@pytest.mark.parametrize("number", GRAVE)
def test_what_can_throw_a_rider_is_essential(items: Checklist, number: int) -> None:
    essential = {part for entry in items.entries.values() if entry.essential for part in entry.parts}
    assert essential & set(MANUAL[number - 1].parts)


def test_tyres_are_asked_for_by_the_figure_that_the_limit_is_about(items: Checklist) -> None:
    """SI 1986/1078 reg. 27(1)(f): at least 1.0 mm of tread on a motorcycle over 50 cc (value checked via two police
    pages): a film that says "good" and no depth leaves the buyer without it."""
    for part in ("front-tyre", "rear-tyre"):
        assert "tread-depth" in items.entries[part].wants


@pytest.mark.parametrize("part", BEYOND)
def test_what_a_sale_adds_is_asked_for_too(items: Checklist, part: str) -> None:
    assert part in {p for entry in items.entries.values() for p in entry.parts}
