"""Vehicle identification numbers: characters and length (ISO 3779), check digit and model year (49 CFR 565).

The check digit is a duty in North America and China only: a European number may fail it and be right. So it is never
a ground to refuse a number, only a hint that a character may have been misheard.
"""

from dataclasses import dataclass

from walkround.trade.tables import Tables


@dataclass(frozen=True)
class Vin:
    """What can be said of a number. ``faults`` are about its form; ``check`` is None where it cannot be worked out."""

    text: str
    faults: tuple[str, ...]
    check: bool | None
    duty: bool
    years: tuple[int, ...]


def check_digit(tables: Tables, vin: str) -> str | None:
    """The sum of value times weight of 17 characters, modulo 11, ten written X; None if they are not 17 good ones."""
    table = tables.tree["vin"]
    values = {str(n): n for n in range(10)} | dict(table["values"])
    if len(vin) != table["length"] or any(c not in values for c in vin):
        return None
    rest = sum(values[c] * w for c, w in zip(vin, table["weights"], strict=True)) % 11
    return "X" if rest == 10 else str(rest)


def model_years(tables: Tables, code: str, last: int = 2039) -> tuple[int, ...]:
    """The years that a model-year character may stand for: a cycle of 30 years from 1980, none after ``last``."""
    table = tables.tree["vin"]
    place = table["years"].find(code)
    if place < 0 or len(code) != 1:
        return ()
    first = table["years_from"] + place
    return tuple(year for year in (first, first + 30) if year <= last)


def read_vin(tables: Tables, text: str, last: int = 2039) -> Vin:
    """Everything that the rules say of a number as typed or spoken. Never raises."""
    vin = "".join(text.split()).replace("-", "").upper()
    table = tables.tree["vin"]
    faults = []
    if len(vin) != table["length"]:
        faults.append(f"it has {len(vin)} characters and should have {table['length']}")
    odd = sorted({c for c in vin if c in table["never"]})
    if odd:
        faults.append(f"it holds {' and '.join(odd)}, which no such number does (they are taken for 1 and 0)")
    other = sorted({c for c in vin if not (c.isascii() and c.isalnum())})
    if other:
        faults.append(f"it holds {' and '.join(other)}, which is neither a letter nor a digit")
    digit = check_digit(tables, vin)
    duty = vin[:1] in table["check_duty"]["first"] and bool(vin)
    years = model_years(tables, vin[9], last) if not faults and duty else ()
    return Vin(vin, tuple(faults), None if digit is None else vin[8] == digit, duty, years)


def questions(tables: Tables, text: str, year: int | None, last: int) -> list[str]:
    """What to ask a person about a number; none of it says that anything is wrong with the bike."""
    vin = read_vin(tables, text, last)
    source = tables.origin("vin").source
    if vin.faults:
        faults = "; ".join(vin.faults)
        return [f"The frame number “{vin.text}” cannot be right as it stands: {faults} ({source}). Is it read right?"]
    asked = []
    if vin.check is False and vin.duty:
        asked.append(
            f"The check digit of the frame number “{vin.text}” does not match ({source}). One character may be "
            "misread; compare it with the frame."
        )
    if year is not None and vin.years and all(abs(y - year) > 1 for y in vin.years):
        listed = " or ".join(str(y) for y in vin.years)
        asked.append(
            f"The model-year character of the frame number stands for {listed}, and the year said is {year} "
            f"({source}). Which is right?"
        )
    return asked
