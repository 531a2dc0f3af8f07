"""What is tied: the statements of a narration and the parts that were named, in order of the talk."""

from dataclasses import dataclass, field

from walkround.narration.focus import Mention, Target
from walkround.narration.polarity import Said


@dataclass(slots=True)
class Statement:
    """A state tied to parts. ``how``: subject, forward, before, focus, selector, again,
    copied, locative, later or none."""

    said: Said
    targets: list[Target]
    how: str
    start: int
    end: int
    mention: Mention | None = None
    unknown_subject: str | None = None
    beside: list[Target] = field(default_factory=list)  #: parts that cannot have the fault but were spoken of


@dataclass(slots=True)
class Told:
    """Everything that was tied: statements and mentions in order of the talk."""

    statements: list[Statement] = field(default_factory=list)
    mentions: list[Mention] = field(default_factory=list)
    moves: list[tuple[int, str]] = field(default_factory=list)
    families: list[set[str]] = field(default_factory=list)  #: parts that one word may stand for
    unfitting: set[int] = field(default_factory=set)  #: first tokens of families that cannot be of the part meant
