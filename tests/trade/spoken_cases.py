"""Spoken measurements with what is right: half written by hand before the reading was, half made from templates.

The written ones are in spoken_numbers.csv. The others put numbers, spelled by num2words (LGPL), into sentences whose
frames are ours; the numbers are drawn with a fixed seed, so that each run has the same hundred.
"""

import csv
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from num2words import num2words

from walkround.narration.model import Reading

WRITTEN = Path(__file__).with_name("spoken_numbers.csv")
FURTHER = Path(__file__).with_name("spoken_further.csv")
MADE = 100
SEED = 8
MONTHS = "January February April June July August September October November December".split()


@dataclass(frozen=True)
class Case:
    """A sentence with the one amount that a reader must take from it. ``where`` is a part's id or "bike"."""

    said: str
    where: str
    what: str
    value: str
    upper: str = ""
    unit: str = ""
    about: bool = False


@cache
def written() -> list[Case]:
    """The cases written by hand."""
    with WRITTEN.open(encoding="utf-8", newline="") as file:
        return [Case(**{**row, "about": row["about"] == "about"}) for row in csv.DictReader(file)]


@cache
def further() -> list[Case]:
    """Cases of 240 more sentences in other speakers' ways, some with two amounts; "about" is not noted in them."""
    with FURTHER.open(encoding="utf-8", newline="") as file:
        return [Case(**{**row, "about": False}) for row in csv.DictReader(file)]


def spell(value: float | int) -> str:
    """A number as it is said: no commas, halves as "and a half", else digit by digit after "point"."""
    if value != int(value) and value % 1 == 0.5 and value > 1:
        return f"{num2words(int(value))} and a half"
    if value != int(value):
        whole, _, rest = str(value).partition(".")
        return f"{num2words(int(whole))} point {' '.join(str(num2words(int(d))) for d in rest)}"
    return str(num2words(int(value))).replace(",", "")


def pair(number: int) -> str:
    """Two digits as one says them in a code: "oh five", "twenty three"."""
    return f"oh {num2words(number)}" if number < 10 else str(num2words(number))


def _depth(rng: random.Random) -> Case:
    end, tyre = rng.choice([("front", "front-tyre"), ("rear", "rear-tyre")])
    value = rng.choice([1, 1.2, 1.5, 1.6, 2, 2.5, 2.8, 3, 3.4, 3.5, 4, 4.5, 5, 5.5, 6, 7])
    frame = rng.choice(
        ["The {e} tyre has {n} mil.", "{n} millimetres on the {e} tyre.", "On the {e} tyre there's {n} mil left."]
    )
    return Case(_say(frame, e=end, n=spell(value)), tyre, "tread depth", str(value), unit="mm")


def _range(rng: random.Random) -> Case:
    end, tyre = rng.choice([("front", "front-tyre"), ("rear", "rear-tyre")])
    low = rng.randint(2, 6)
    frame = rng.choice(
        ["The {e} tyre has {n} to {m} mil.", "There's between {n} and {m} mil on the {e} tyre.",
         "The {e} tyre's got {n} or {m} mil."]
    )  # fmt: skip
    said = _say(frame, e=end, n=spell(low), m=spell(low + 1))
    return Case(said, tyre, "tread depth", str(low), str(low + 1), "mm")


def _pads(rng: random.Random) -> Case:
    end, part = rng.choice([("front", "front-brake-pads"), ("rear", "rear-brake-pads")])
    value = rng.choice([1, 1.5, 2, 2.5, 3, 3.5, 4, 5])
    about = rng.random() < 0.4
    frame = "The {e} brake pads have about {n} mil." if about else "The {e} brake pads have {n} mil left."
    return Case(_say(frame, e=end, n=spell(value)), part, "pad thickness", str(value), unit="mm", about=about)


def _disc(rng: random.Random) -> Case:
    end, part = rng.choice([("front", "front-brake-disc"), ("rear", "rear-brake-disc")])
    value = rng.choice([3.8, 4.2, 4.4, 4.7, 5.1, 5.6])
    return Case(
        _say("The {e} disc measures {n} millimetres.", e=end, n=spell(value)),
        part,
        "disc thickness",
        str(value),
        unit="mm",
    )


def _slack(rng: random.Random) -> Case:
    value = rng.choice([20, 25, 30, 35, 40, 45])
    frame = rng.choice(["There's {n} mil of slack in the chain.", "The chain has {n} millimetres of free play."])
    return Case(_say(frame, n=spell(value)), "chain", "chain slack", str(value), unit="mm")


def _pressure(rng: random.Random) -> Case:
    end, tyre = rng.choice([("front", "front-tyre"), ("rear", "rear-tyre")])
    if rng.random() < 0.5:
        value: float = rng.randint(28, 44)
        unit, word = "psi", rng.choice(["psi", "pounds"])
    else:
        value = rng.choice([1.9, 2.1, 2.3, 2.4, 2.6, 2.8, 2.9])
        unit = word = "bar"
    return Case(
        _say("The {e} tyre is at {n} {u}.", e=end, n=spell(value), u=word), tyre, "pressure", str(value), unit=unit
    )


def _volts(rng: random.Random) -> Case:
    value = round(rng.uniform(11.8, 14.4), 1)
    frame = rng.choice(["The battery shows {n} volts.", "{n} volts at the battery.", "Battery, {n} volts."])
    return Case(_say(frame, n=spell(value)), "battery", "voltage", f"{value:g}", unit="V")


def _tyre(rng: random.Random) -> Case:
    width, ratio, rim = rng.choice(
        [(110, 80, 19), (120, 70, 17), (120, 60, 17), (130, 80, 17), (140, 70, 17), (150, 70, 17), (160, 60, 17),
         (170, 60, 17), (180, 55, 17), (190, 50, 17), (190, 55, 17), (240, 40, 18)]
    )  # fmt: skip
    end, tyre = rng.choice([("front", "front-tyre"), ("rear", "rear-tyre")])
    build = rng.choice(["", "ZR", "R"])
    spoken = f"{num2words(width // 100)} {num2words(width % 100)} {num2words(ratio)}"
    letters = {"": "", "ZR": "zed R ", "R": "R "}[build]
    text = f"{width}/{ratio} {build}{rim}" if build else f"{width}/{ratio}-{rim}"
    said = f"The {end} tyre is a {spoken} {letters}{num2words(rim)}"
    if rng.random() < 0.4:
        load, symbol = rng.randint(50, 76), rng.choice("WVH")
        said, text = f"{said}, {num2words(load)} {symbol}", f"{text} {load}{symbol}"
    return Case(f"{said}.", tyre, "tyre size", text)


def _code(rng: random.Random) -> Case:
    week, year = rng.randint(1, 52), rng.randint(10, 26)
    end, tyre = rng.choice([("front", "front-tyre"), ("rear", "rear-tyre")])
    frame = rng.choice(
        [
            "The {e} tyre's date code is {w} {y}.",
            "The {e} tyre is from week {w} of {y}.",
            "Date code on the {e} tyre, {w} {y}.",
        ]
    )
    return Case(_say(frame, e=end, w=pair(week), y=pair(year)), tyre, "date code", f"{week:02}{year:02}")


def _miles(rng: random.Random) -> Case:
    value, unit = rng.randint(300, 60_000), rng.choice(["miles", "kilometres"])
    frame = rng.choice(["It's showing {n} {u}.", "It's done {n} {u}.", "There are {n} {u} on the clock."])
    short = "miles" if unit == "miles" else "km"
    return Case(_say(frame, n=spell(value), u=unit), "bike", "mileage", str(value), unit=short)


def _papers(rng: random.Random) -> Case:
    kind, count, month = rng.randint(0, 4), rng.randint(1, 4), rng.choice(MONTHS)
    if kind == 0:
        return Case(
            _say("It comes with {n} key" + "s." * (count > 1) + "." * (count == 1), n=spell(count)),
            "bike",
            "keys",
            str(count),
        )
    if kind == 1:
        word = "owner" if count == 1 else "owners"
        return Case(_say("It's had {n} previous {w}.", n=spell(count), w=word), "bike", "owners", str(count))
    if kind == 2:
        return Case(f"The MOT runs until {month} {num2words(2027, to='year')}.", "bike", "test_expiry", f"{month} 2027")
    if kind == 3:
        size = rng.choice([125, 250, 300, 400, 500, 600, 650, 700, 750, 800, 900])
        return Case(f"It's a {spell(size)} cc engine.", "bike", "engine_size", str(size), unit="cc")
    at = rng.randint(3, 20) * 1000
    return Case(f"It was last serviced at {spell(at)} miles.", "bike", "serviced_at", str(at), unit="miles")


def _mark(rng: random.Random) -> Case:
    name, part = rng.choice([("tank", "fuel-tank"), ("screen", "windscreen"), ("front mudguard", "front-mudguard")])
    value, unit, word = rng.choice(
        [(2, "in", "inches"), (3, "cm", "centimetres"), (10, "mm", "millimetres"), (4, "in", "inches")]
    )
    return Case(
        _say("There's a scratch on the {p}, {n} {u} long.", p=name, n=spell(value), u=word),
        part,
        "length",
        str(value),
        unit=unit,
    )


KINDS: list[Callable[[random.Random], Case]] = [
    _depth, _range, _pads, _disc, _slack, _pressure, _volts, _tyre, _code, _miles, _papers, _mark,
]  # fmt: skip


@cache
def made() -> list[Case]:
    """The cases made from templates."""
    rng = random.Random(SEED)
    return [KINDS[n % len(KINDS)](rng) for n in range(MADE)]


def _say(frame: str, **words: str) -> str:
    text = frame.format(**words)
    return text[0].upper() + text[1:]


def taken(reading: Reading) -> Iterator[tuple[str, str, str, str, bool]]:
    """(where, value, upper, unit, about) of every amount that was read."""
    for m in reading.measurements:
        yield m.part or "", _text(m.value), _text(m.upper), m.unit or "", m.approximate
    for key, fact in reading.facts.items():
        unit = reading.facts.get(f"{key}_unit")
        yield f"bike {key}", _text(fact.value), _text(fact.upper), str(unit.value) if unit else "", fact.approximate


def right(case: Case, reading: Reading) -> bool:
    """Whether the value and the unit of a case were read, and of the right part or fact."""
    return any(right_amount(case, got) for got in taken(reading))


def right_amount(case: Case, got: tuple[str, str, str, str, bool], *, unit: bool = True) -> bool:
    """Whether an amount that was read is that of a case, with or without its unit."""
    where = f"bike {case.what}" if case.where == "bike" else case.where
    wanted = (where, _text(_number(case.value)), _text(_number(case.upper)), case.unit)
    return got[:4] == wanted if unit else got[:3] == wanted[:3]


def about_right(case: Case, reading: Reading) -> bool:
    """Whether "about" was heard where it was said and nowhere else."""
    where = f"bike {case.what}" if case.where == "bike" else case.where
    return any(got[0] == where and got[4] == case.about for got in taken(reading))


def _number(text: str) -> float | str | None:
    if not text:
        return None
    try:
        return float(text) if not (text.isdigit() and len(text) == 4 and text.startswith("0")) else text
    except ValueError:
        return text


def _text(value: object) -> str:
    """One writing for a value: numbers without trailing noughts, tyre sizes without spaces."""
    if value is None:
        return ""
    try:
        return f"{float(str(value)):g}" if not str(value).startswith("0") or "." in str(value) else str(value)
    except ValueError:
        return str(value).replace(" ", "").upper()
