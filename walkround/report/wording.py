"""How the pages put the record into words: numbers, times, names and the order in which marks are told."""

import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Final
from urllib.parse import quote

from walkround.narration.severity import LEVELS
from walkround.report.record import Fact, Finding, Report

SIDES: Final = {"left": "left-hand", "right": "right-hand", "both": "both sides"}

#: Facts that make the title of a report.
TITLE_FACTS: Final = ("title", "year", "make", "maker", "model", "name")


def title_of(report: Report) -> str:
    """What the bike is called: as a person entered it, else the year and the name that was plainly said.

    ``2019 Velmoor Garganey 640``; ``2019 motorcycle`` where no name is known for certain.
    """
    bike = report.bike
    if "title" in bike:
        return str(bike["title"].value)
    said = ("name",) if "name" in bike and facts_to_show(report)["name"].review is None else ()
    named = [key for key in ("make", "maker", "model") if key in bike] or said
    words = [number(bike[key].value, grouped=False) for key in ("year", *named) if key in bike]
    return sentence(" ".join(words if named else [*words, "motorcycle"]))


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order of their numbers: the most serious first, then as filmed."""
    return sorted(findings, key=lambda f: (-LEVELS.index(f.severity), f.source, f.start))


def seconds(value: float) -> str:
    """Seconds for a link or an attribute: to the millisecond, a decimal point, no trailing noughts."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def path_href(path: str) -> str:
    """A relative path as a URL: each segment percent-encoded, so that no character of it has a meaning.

    Colons are encoded too, which rules out a scheme such as ``javascript:``, and leading slashes shrink to
    one, which rules out another host. Bytes that are not UTF-8 (``os.fsdecode``) come out as they went in.
    """
    segments = [quote(part.encode("utf-8", "surrogateescape"), safe="") for part in path.split("/")]
    return re.sub(r"^/{2,}", "/", "/".join(segments))


def number(value: float | int | str, *, grouped: bool = True) -> str:
    """A number as people write it (``24,310``, ``4.5``); text unchanged."""
    if isinstance(value, str):
        return value
    if float(value).is_integer():
        return f"{int(value):,}" if grouped and abs(value) >= 1000 else str(int(value))
    return seconds(value)


def sentence(text: str) -> str:
    """Text with its first letter raised; the rest is left alone."""
    return text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """Text with its first letter lowered, for the middle of a sentence; names in capitals (ABS) stay."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def plain_id(text: str) -> str:
    """An id of the lexicon in plain words, for one that has no name."""
    return text.replace("-", " ").replace("_", " ")


def listed(items: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    *most, last = list(items) or [""]
    return f"{', '.join(most)} and {last}" if most else last


def count(amount: int, one: str, many: str | None = None) -> str:
    """``1 mark``, ``2 marks``, ``no marks``."""
    return f"{amount or 'no'} {one if amount == 1 else many or one + 's'}"


def sureness(confidence: float) -> str:
    """How sure the reading is, in words. The bounds are our own choice."""
    if confidence < 0.5:
        return "the reading is unsure"
    return "the reading is fairly sure" if confidence < 0.8 else "the reading is sure"


def recorded(text: str) -> str:
    """``14 May 2026, 09:12 UTC`` for an ISO 8601 time; anything else as it stands."""
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return text
    day = f"{when.day} {_MONTHS[when.month - 1]} {when.year}"
    return day if len(text) <= 10 else f"{day}, {when:%H:%M} {when.tzname() or ''}".rstrip()


# Not strftime's %B, which follows the machine's locale: the page must not.
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip


class Names:
    """What parts, groups and defects are called in plain words."""

    def __init__(self, parts: Mapping[str, str], groups: Mapping[str, str], defects: Mapping[str, str]) -> None:
        self._parts, self._groups, self._defects = parts, groups, defects

    def part(self, part: str | None, side: str | None = None) -> str:
        """``left-hand mirror``, ``fork leg, both sides``."""
        if part is None:
            name = "part not known"
        else:
            name = self._parts.get(part) or plain_id(part)
        if side == "both":
            return f"{name}, both sides"
        return f"{SIDES[side]} {lowered(name)}" if side else name

    def group(self, group: str) -> str:
        return self._groups.get(group) or plain_id(group)

    def defect(self, defect: str) -> str:
        return self._defects.get(defect) or plain_id(defect)


def facts_to_show(report: Report) -> dict[str, Fact]:
    """The facts of the bike, without the doubts that a person has answered: by a title, or by the question."""
    answered = {row.quote for question in report.questions if question.settled for row in question.evidence}
    shown = {}
    for key, fact in report.bike.items():
        named = key == "name" and "title" in report.bike
        shown[key] = fact.model_copy(update={"review": None}) if named or fact.quote in answered else fact
    return shown
