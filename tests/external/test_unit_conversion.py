"""Units against pint's own (BSD) and against what they are defined as.

1 in = 25.4 mm, 1 mile = 1.609344 km (international yard and pound agreement, 1959); 1 bar = 100,000 Pa;
1 psi = 6,894.757 Pa. pint's "mil" is an angle: the trade's word must never reach it.
"""

import pint
import pytest

from walkround.trade.units import convert

UREG: "pint.UnitRegistry[float]" = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("value", "unit", "to", "wanted"),
    [
        (36, "psi", "bar", 2.4821), (2.5, "bar", "psi", 36.259), (1, "thou", "mm", 0.0254), (2, "thou", "mm", 0.0508),
        (2, "1/32 in", "mm", 1.5875), (32, "1/32 in", "in", 1), (1, "in", "mm", 25.4),
        (11_206, "miles", "km", 18_034.3),
        (1, "miles", "km", 1.609344), (4, "cm", "mm", 40), (1.2, "litre", "cc", 1200), (179, "thou", "mm", 4.5466),
    ],
)  # fmt: skip
def test_worked_examples(value: float, unit: str, to: str, wanted: float) -> None:
    assert convert(value, unit, to) == pytest.approx(wanted, rel=1e-4)


@pytest.mark.parametrize(
    ("unit", "to", "own", "own_to"),
    [
        ("psi", "bar", "psi", "bar"), ("in", "mm", "inch", "millimeter"), ("thou", "mm", "thou", "millimeter"),
        ("miles", "km", "mile", "kilometer"), ("cm", "in", "centimeter", "inch"), ("litre", "cc", "liter", "cc"),
    ],
)  # fmt: skip
def test_the_same_as_pint(unit: str, to: str, own: str, own_to: str) -> None:
    for value in (0.8, 1, 3.5, 42, 11_206):
        assert convert(value, unit, to) == pytest.approx(UREG.Quantity(value, own).to(own_to).magnitude)


def test_there_and_back() -> None:
    for unit, to in (("psi", "bar"), ("1/32 in", "mm"), ("thou", "cm"), ("km", "miles")):
        there = convert(7.25, unit, to)
        assert there is not None
        assert convert(there, to, unit) == pytest.approx(7.25)


@pytest.mark.parametrize(("unit", "to"), [("mm", "psi"), ("V", "mm"), (None, "mm"), ("mil", "mm"), ("mm", "furlong")])
def test_what_cannot_be_put_in_another_unit_is_not(unit: str | None, to: str) -> None:
    assert convert(1.0, unit, to) is None


def test_the_mil_of_pint_is_an_angle() -> None:
    """Why the trade's word is kept from it."""
    with pytest.raises(pint.DimensionalityError):
        UREG.Quantity(4, "mil").to("millimeter")
