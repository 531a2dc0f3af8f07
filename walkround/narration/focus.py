"""Which part, which side: what a name, "the left one", "the front" or "it" stands for as the talk goes on."""

from dataclasses import dataclass, field

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.lexicon import Family, Lexicon
from walkround.narration.matches import Term, between
from walkround.narration.sides import SideWord, own_side

#: How far back (in tokens) a family of parts stays the topic for "the front one".
TOPIC_REACH = 70
#: How far ahead a piece of a wheel looks for the wheel it belongs to.
LOOK_AHEAD = 24
#: "Round the front. Headlight's clear. Indicators, ...": so far back (tokens) the end was told.
END_REACH = 60


@dataclass(frozen=True, slots=True)
class Target:
    """A part and the side of it that is meant; side is left, right, both or None."""

    part: str
    side: str | None = None


@dataclass(slots=True)
class Mention:
    """A name of a part, or words standing for one, at tokens ``start`` up to ``end``."""

    start: int
    end: int
    targets: list[Target]
    term: Term | None = None
    locative: bool = False
    weak: bool = False
    how: str = "named"  # named, selector, heard
    other: bool = False  # a thing that is no part of the bike
    value: str = ""  # for a selector: left, right, other, front or rear
    meant: str | None = None  # the part that is meant where this one only tells where or what for
    owner: "Mention | None" = None  # the part that this is a piece of, where both are named together

    @property
    def named_only(self) -> bool:
        """Whether this mention counts as speaking of the part at all."""
        return not self.locative and not self.other


@dataclass(slots=True)
class Focus:
    """What the narration is about at this point."""

    lexicon: Lexicon
    targets: list[Target] = field(default_factory=list)
    at: int = -1
    family: str | None = None
    family_at: int = -1000
    last_member: str | None = None
    sided: Target | None = None
    sided_at: int = -1000
    side_here: str | None = None
    end_here: str | None = None
    last_side: str | None = None
    moved_at: int = -1
    one_piece_seat: bool = False
    group: list[Target] = field(default_factory=list)  # the last that were spoken of together
    group_at: int = -1000
    many: bool = False  # whether what was spoken of last was named in the plural
    seen: dict[str, int] = field(default_factory=dict)  # families and where they were spoken of last
    awaited: dict[str, tuple[str, int]] = field(default_factory=dict)  # of which families one is still to come

    def family_of(self, part: str) -> tuple[Family, str] | None:
        """The front and rear family that a part belongs to, with its axis word."""
        for family in self.lexicon.families.values():
            if {"front", "rear"} <= family.members.keys():
                for axis in ("front", "rear"):
                    if family.members[axis] == part:
                        return family, axis
        return None

    def fellow(self, target: Target) -> Target | None:
        """The other of two parts: the brake lever of the clutch lever, the rear tyre of the front one."""
        known = self.family_of(target.part)
        if known is None or target.side or self.lexicon.parts[target.part].sided or len(known[0].members) != 2:
            return None
        family, axis = known
        return Target(family.members["rear" if axis == "front" else "front"])

    def take(self, mention: Mention) -> None:
        """Let a mention become what is spoken of."""
        if mention.other:
            return
        self.targets, self.at = mention.targets, mention.end
        self.many = len(mention.targets) > 1 or bool(mention.term and mention.term.plural)
        if len(mention.targets) > 1:
            self.group, self.group_at = mention.targets, mention.end
        for target in mention.targets:
            if self.lexicon.parts[target.part].sided:
                self.sided, self.sided_at = target, mention.end
            if target.side in ("left", "right"):
                self.last_side = target.side
            known = self.family_of(target.part)
            if known:
                self.family, self.family_at = known[0].id, mention.end
                self.last_member = target.part
                self._await(mention, *known)

    def _await(self, mention: Mention, family: Family, axis: str) -> None:
        """ "The front wheel": now the rear one may follow, whatever is spoken of between the two."""
        self.seen[family.id] = mention.end
        told = mention.value in ("front", "rear") or (mention.term is not None and mention.term.axis is not None)
        if told and len(mention.targets) == 1:
            self.awaited[family.id] = ("rear" if axis == "front" else "front", mention.end)

    def move(self, place: str, value: str, at: int = -1) -> None:
        """The camera goes to a side or an end of the bike: what was spoken of last is left behind."""
        self.moved_at = at
        if place == "side":
            self.side_here = value
            self.last_side = value
        else:
            self.end_here = value
            self.side_here = None
        self.targets = []


def flipped(side: str | None) -> str | None:
    """The opposite side; both and None stay."""
    return {"left": "right", "right": "left"}.get(side or "", side)


def family_targets(focus: Focus, term: Term, doc: Doc, start: int, end: int) -> list[str]:
    """The part ids that a family word means here."""
    family = focus.lexicon.families[term.id]
    axis = axis_beside(focus, doc, term, start, end)
    if axis and axis in family.members and family.axis_words:
        return [family.members[axis]]
    if family.rear_places and not term.plural and focus.lexicon.holds(doc[term.end : end].text, family.rear_places):
        return [family.members["rear"]]
    if family.id == "seat" and (focus.one_piece_seat or focus.lexicon.holds(doc[start:end].text, family.whole)):
        focus.one_piece_seat = focus.one_piece_seat or not term.plural
        return list(family.members.values())
    if {"front", "rear"} <= family.members.keys() and family.axis_words and _both_ends(focus, doc, term, start, end):
        return [family.members["front"], family.members["rear"]]
    if term.form in family.inner:
        return _inner(focus, family, term, doc, end)
    near = (
        focus.moved_at >= 0 and term.start - focus.moved_at <= END_REACH and _sided(focus, [*family.members.values()])
    )
    near = near and "four" not in [t.text for t in doc[max(0, term.start - 3) : term.end + 4]]  # "all four of them"
    if term.plural and focus.end_here in family.members and (focus.moved_at >= start or near or _this_end(doc, term)):
        return [family.members[focus.end_here]]  # "At the back, the indicators are both broken"
    if term.plural and {"front", "rear"} <= family.members.keys() and _four(doc, term.start, term.end, end):
        return list(dict.fromkeys(family.members.values()))
    rule = family.plural if term.plural else family.bare
    if rule == "all":
        return list(dict.fromkeys(family.members.values()))
    if rule != "context":
        return [rule]
    members = list(family.members.values())
    if any(doc[i - 1].text == "all" and doc[i].text == "round" for i in range(term.end + 1, end)):
        return members
    for target in focus.targets:
        if target.part in members and not term.plural:
            return [target.part]
    if focus.end_here in family.members:
        return [family.members[focus.end_here]]
    for target in focus.targets:
        known = focus.family_of(target.part)
        if known and known[1] in family.members:
            return [family.members[known[1]]]
    if not _sided(focus, members):
        return members
    return [family.members["front"]]


def _four(doc: Doc, start: int, end: int, stop: int) -> bool:
    """ "All four pegs", "the footrests, the four of them": those in front and those behind."""
    before = [doc[i].text for i in range(max(0, start - 2), start)]
    after = [doc[i].text for i in range(end, min(stop, end + 4))]
    return before == ["all", "four"] or "four of them" in " ".join(after) or after[:2] == ["all", "four"]


def _both_ends(focus: Focus, doc: Doc, term: Term, start: int, end: int) -> bool:
    """ "Pads are good, front and back", "spokes are tight on both wheels": said beside it, before another part."""
    family = focus.lexicon.families[term.id]
    own = {*family.members.values(), term.id}
    others = [t.start for t in between(doc._.terms.things, term.end, end) if t.id not in own]
    stop = min([*others, end, term.end + LOOK_AHEAD])
    first = max(start, term.start - 4)
    first = max([first, *(t.end for t in between(doc._.terms.things, first, term.start))])
    return focus.lexicon.says(doc[first:stop].text, "ends.phrases")


def _inner(focus: Focus, family: Family, term: Term, doc: Doc, end: int) -> list[str]:
    """A rim or a spoke belongs to the wheel spoken of, else to the one named next in the sentence."""
    members = list(family.members.values())
    known = [t.part for t in focus.targets if t.part in members]
    if known:
        return known
    for stop in (end, term.end + LOOK_AHEAD):
        ahead = [t.id for t in between(doc._.terms.things, term.end, stop) if t.id in members]
        if ahead:
            return ahead[:1]
    recent = focus.family == family.id and term.start - focus.family_at <= TOPIC_REACH
    if recent and focus.end_here is None and focus.last_member in members:
        return [str(focus.last_member)]
    return [family.members[focus.end_here]] if focus.end_here in family.members else members


def _sided(focus: Focus, members: list[str]) -> bool:
    return any(focus.lexicon.parts[m].sided for m in members)


def _this_end(doc: Doc, term: Term) -> bool:
    """ "Indicators this end", "the pads here": of the end of the bike where one stands."""
    words = [doc[i].text for i in range(term.end, min(len(doc), term.end + 3))]
    return words[:2] == ["this", "end"] or words == ["at", "this", "end"] or words[:1] == ["here"]


def axis_beside(focus: Focus, doc: Doc, term: Term, start: int, end: int) -> str | None:
    """ "indicators at the front", "tyres, on the back": an axis word right after the family word."""
    for i in range(start, min(start + 4, term.start)):  # "At the back, the indicators ..."
        for axis, words in focus.lexicon.axis.items():
            if doc[i].text in words and i > start and doc[i - 1].text == "the" and doc._.clauses.before[i + 1]:
                return axis
    if doc[term.end : term.end + 2].text in ("behind has", "behind is", "behind 's"):
        return "rear"  # "the wheel behind has a dent"
    for i in range(term.end, min(term.end + 4, end)):
        for axis, words in focus.lexicon.axis.items():
            if doc[i].text in words:
                between = {doc[k].text for k in range(term.end, i)}
                if i == term.end and doc[i + 1 : i + 2].text in ("here", "there"):
                    return axis  # "turn signals back here"
                return axis if between and between <= {"on", "at", "in", "the", "up"} else None
    return None


def side_of(
    focus: Focus, part: str, term: Term, doc: Doc, words: list[SideWord], clauses: Clauses, upto: int
) -> str | None:
    """The side of a mention: said beside it, after it, by "this side", by the plural, by where one stands."""
    if not focus.lexicon.parts[part].sided:
        return None
    if term.form in focus.lexicon.parts[part].right:
        return "right"  # "the throttle grip"
    own = own_side(doc, term, words, clauses)
    if own is None and doc[term.start - 1].text in ("either", "neither") and not clauses.before[term.start]:
        return "both"
    told = focus.sided.side if focus.sided and focus.sided.part == part else None
    if own == "other" and told in ("left", "right"):
        own = flipped(told)
    elif own in ("this", "other"):
        own = _here(focus, own)
    if own:
        return own
    after = [w for w in between(words, term.end, upto) if not w.void and not w.one]
    sentence_end = clauses.span_of(term.start)[1]
    after = [w for w in after if w.start < sentence_end]
    behind = [w.value for w in after if w.value in ("left", "right")]
    if behind:
        return behind[0]
    if any(w.value == "both" for w in after):
        return "both"
    pointed = ["this" if w.moved else w.value for w in after if w.value in ("this", "other")]
    if pointed:
        return _here(focus, pointed[0])
    lead_words = [w for w in between(words, clauses.span_of(term.start)[0], term.start) if w.place and not w.void]
    if lead_words and not term.plural:  # "on the engine this side there's a scrape on the clutch cover"
        value = "this" if lead_words[-1].moved else lead_words[-1].value
        return value if value in ("left", "right", "both") else _here(focus, value)
    if term.plural:
        lead = [doc[i].text for i in range(max(0, term.start - 3), term.start)]
        return None if lead[:2] == ["one", "of"] or lead[1:] == ["one", "of"] else "both"
    if focus.side_here:
        return focus.side_here
    for target in focus.targets:
        if target.side and (target.part == part or _kin(focus, target.part, part)):
            return target.side
    return None


def _kin(focus: Focus, one: str, other: str) -> bool:
    """Whether two parts are pieces of one thing: the right-hand fork's seal is the right one."""
    for family in focus.lexicon.families.values():
        if not family.axis_words and not family.group_word and {one, other} <= set(family.members.values()):
            return not {"front", "rear"} <= family.members.keys()
    return False


def _here(focus: Focus, word: str) -> str | None:
    side = focus.side_here or focus.last_side
    return flipped(side) if word == "other" else side
