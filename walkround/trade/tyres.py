"""A tyre's designation and what its parts mean (UN Regulation No. 75); values from lexicon/limits.toml."""

import re
from dataclasses import dataclass

from walkround.trade.tables import Tables

_METRIC = re.compile(
    r"(?P<width>\d{2,3})/(?P<ratio>\d{2,3})\s*(?P<build>ZR|R|B|-)\s*(?P<rim>\d{2})(?:\s*(?P<mc>M/C))?"
    r"(?:\s*(?P<bracket>\()?(?P<load>\d{2,3})(?P<speed>[A-Z])\)?)?(?:\s*(?P<tube>TL|TT))?"
)
_INCH = re.compile(r"(?P<width>\d\.\d{2})\s*-\s*(?P<rim>\d{2})(?:\s*(?P<load>\d{2,3})(?P<speed>[A-Z]))?")


@dataclass(frozen=True)
class Designation:
    """A tyre's size. ``width`` in mm (in inches for the old inch form, which has no ratio), ``rim`` in inches.

    ``above``: the service description stands in brackets, so the tyre is for more than the symbol's speed.
    """

    width: float
    ratio: int | None
    build: str
    rim: int
    motorcycle: bool = False
    load: int | None = None
    speed: str | None = None
    above: bool = False
    tube: str | None = None


def parse_designation(text: str) -> Designation | None:
    """The designation that a text is, or None. A size as it is spoken ("120 70 17") is none."""
    metric = _METRIC.fullmatch(text.strip())
    if metric:
        return Designation(
            width=int(metric["width"]), ratio=int(metric["ratio"]), build=metric["build"], rim=int(metric["rim"]),
            motorcycle=metric["mc"] is not None, load=int(metric["load"]) if metric["load"] else None,
            speed=metric["speed"], above=metric["bracket"] is not None, tube=metric["tube"],
        )  # fmt: skip
    inch = _INCH.fullmatch(text.strip())
    if inch:
        load = int(inch["load"]) if inch["load"] else None
        return Designation(float(inch["width"]), None, "-", int(inch["rim"]), load=load, speed=inch["speed"])
    return None


def load_kg(tables: Tables, index: int) -> int | None:
    """The load in kg of a load index, or None where the table does not have it."""
    table = tables.tree["load_index"]
    place = index - table["first"]
    return int(table["kg"][place]) if 0 <= place < len(table["kg"]) else None


def speed_kmh(tables: Tables, symbol: str) -> int | None:
    """The speed in km/h of a speed symbol, or None where the table does not have it."""
    speed = tables.tree["speed_symbol"]["kmh"].get(symbol)
    return int(speed) if speed is not None else None


def meaning(tables: Tables, text: str) -> tuple[str | None, str | None]:
    """(what the designation says, in words with its source; what a person should ask)."""
    size = parse_designation(text)
    if size is None:
        return None, f"“{text}” is not the form of a tyre size that we know; look at the sidewall"
    said = [f"{size.width:g} {'mm' if size.ratio else 'inches'} wide"]
    if size.ratio:
        said.append(f"side {size.ratio} per cent of that")
    said += [f"{size.rim}-inch rim", str(tables.tree["tyre_size"]["construction"][size.build])]
    asked = None
    if size.load is not None and size.speed is not None:
        kg, kmh = load_kg(tables, size.load), speed_kmh(tables, size.speed)
        if kg is None or kmh is None:
            asked = f"“{size.load}{size.speed}” is not in the table of load indices and speed symbols; misheard?"
        else:
            over = "above" if size.above else "to"
            said.append(f"load index {size.load}: {kg} kg; speed symbol {size.speed}: {over} {kmh} km/h")
    sources = tables.origin("tyre_size").source
    if size.load is not None and asked is None:
        sources += f"; {tables.origin('load_index').source}"
    return f"{', '.join(said)} ({sources}).", asked
