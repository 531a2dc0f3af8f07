"""Spoken sizes in another unit, by pint.

pint's ``mil`` is an angle: the trade's "mil" (millimetre) never reaches it. "thou" and 1/32 inch are given as what
they are. References: pint (BSD) and its definitions file.
"""

from functools import cache

import pint

_UNITS = {
    "mm": (1.0, "millimeter"),
    "cm": (1.0, "centimeter"),
    "in": (1.0, "inch"),
    "1/32 in": (1 / 32, "inch"),
    "thou": (0.001, "inch"),
    "psi": (1.0, "psi"),
    "bar": (1.0, "bar"),
    "V": (1.0, "volt"),
    "years": (1.0, "year"),
    "miles": (1.0, "mile"),
    "km": (1.0, "kilometer"),
    "cc": (1.0, "centimeter ** 3"),
    "litre": (1.0, "liter"),
}


@cache
def _registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


def convert(value: float, unit: str | None, to: str) -> float | None:
    """The value in another of our units; None where either is unknown or they measure different things."""
    if unit not in _UNITS or to not in _UNITS:
        return None
    factor, name = _UNITS[unit]
    target_factor, target = _UNITS[to]
    try:
        return float(_registry().Quantity(value * factor, name).to(target).magnitude) / target_factor
    except pint.DimensionalityError:
        return None


def written(value: float) -> str:
    """A converted number: two decimals at most, no trailing noughts."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
