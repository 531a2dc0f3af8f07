"""Jinja for our pages: everything is escaped, and style and script stand in the page with the hash that admits them."""

import base64
import hashlib
from functools import cache
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from walkround.report.record import SegmentRow, WordRow
from walkround.report.wording import (
    SIDES,
    count,
    listed,
    number,
    path_href,
    plain_id,
    recorded,
    seconds,
    sentence,
    sureness,
)
from walkround.timecode import clock

#: Words below this probability are marked in the transcript. Our own choice, no source.
UNSURE_BELOW: Final = 0.5

_STATES: Final = {
    "finding": "fault spoken of",
    "clear": "said to be in order",
    "named": "named, nothing said of its condition",
    "not-mentioned": "not mentioned",
}
_TIMING: Final = {
    "recognised": "The speech recogniser placed each word in time.",
    "given": "The times came with the transcript.",
    "estimated": "The times are estimates: the transcript had no time for each word. "
    "Start listening a little before the moment shown.",
}


def spoken_words(segment: SegmentRow) -> list[WordRow]:
    """The words of a segment; none where they do not add up to its text, which is then shown unmarked."""
    joined = "".join("".join(word.text.split()) for word in segment.words)
    return segment.words if joined == "".join(segment.text.split()) else []


@cache
def environment() -> Environment:
    """Our templates, with the filters that put the record into words."""
    env = Environment(
        loader=PackageLoader("walkround.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters |= {
        "clock": clock,
        "seconds": seconds,
        "path_href": path_href,
        "number": number,
        "sentence": sentence,
        "plain_id": plain_id,
        "listed": listed,
        "recorded": recorded,
        "sureness": sureness,
        "side_words": SIDES.__getitem__,
        "state_words": _STATES.__getitem__,
        "timing_words": _TIMING.__getitem__,
        "spoken_words": spoken_words,
    }
    env.globals |= {"count": count, "unsure_below": UNSURE_BELOW}
    return env


def asset(name: str) -> tuple[Markup, str]:
    """A style sheet or script of ours, and the Content-Security-Policy source that admits only it."""
    text = environment().get_template(name).render()  # nothing is filled in: the page's own text
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return Markup(text), f"'sha256-{digest}'"
