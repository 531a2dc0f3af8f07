"""The part that a state is tied to by words that follow it: "there's a creak from the back suspension"."""

from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Focus, Mention
from walkround.narration.grammar import (
    AHEAD_MAYBE,
    AHEAD_PEOPLE,
    ATTACH_ENDING,
    ATTACH_GLUE,
    ATTACH_SKIP,
    SIDES_BETWEEN,
)
from walkround.narration.matches import Terms, between
from walkround.narration.polarity import Said
from walkround.narration.whereabouts import in_front_of, placed_beside

#: How far ahead (tokens) the part may stand.
REACH = 10
#: How far ahead a part may stand that says what the first one only gave the place of.
PLACE_REACH = 14
#: Fault words that end so are done to something else ("rubbing on", "catching").
_TOUCHING = ("on", "against", "catching", "touching", "hitting")


class Ahead:
    """Looks for the part behind a state, in the same sentence."""

    def __init__(self, doc: Doc, said: list[Said], focus: Focus) -> None:
        self.doc, self.said, self.focus = doc, said, focus
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses
        where = {e: s for s, e in self.terms.cue("joining.where")}
        linking = {e for s, e in self.terms.cue("joining.linking") if where.get(e, s) >= s}  # not "in front of"
        self.hosting = {e for _, e in self.terms.cue("joining.hosting")}
        self.beside = {e for s, e in self.terms.cue("joining.where") if e - s > 1}  # "ahead of", "next to"
        self.linking = linking | where.keys()
        self.where_only = (where.keys() - linking) | self.beside
        self.corrections = {e: s for s, e in self.terms.cue("joining.corrections")}

    def find(
        self, said: Said, mentions: list[Mention], end: int, pronoun: bool = False, before: bool = False
    ) -> Mention | None:
        """The part ahead of a state. ``pronoun``: the state's subject is "it"; ``before``: a part stands before it."""
        if pronoun and self.doc[said.end - 1].text in _TOUCHING:
            return None  # "it's been rubbing on the mudguard": what it touches
        placed = said.kind == "measure" and any(m.end == said.start and m.how == "selector" for m in mentions)
        for mention in mentions:
            if placed and mention.start == said.end and self.clauses.before[said.end]:
                return None  # "in front four millimetres, behind three and a half"
            if said.end <= mention.start < end and mention.start - said.end <= REACH:
                if self._cut_off(said, mention):
                    return None
                tied = self._tied(said, mention, mentions, pronoun, before)
                if tied is not None:
                    return mention if tied else None
        return None

    def object_of(self, said: Said, mentions: list[Mention]) -> Mention | None:
        """The part that something was done to: "brake dust has stained the front wheel"."""
        for mention in mentions:
            if mention.start >= said.end and mention.term and not mention.other:
                gap = range(said.end, mention.start)
                close = len(gap) <= 4 and all(self.doc[i].text in ATTACH_SKIP for i in gap)
                return mention if close and not any(self.clauses.before[said.end : mention.start + 1]) else None
        return None

    def renewed_with(self, said: Said, mentions: list[Mention]) -> Mention | None:
        """ "The chain is new, with the sprockets": what came new together with it."""
        mention = next((m for m in mentions if m.start >= said.end and m.term and not m.other), None)
        if mention is None or between(self.said, said.end, mention.end + 1) or not self.clauses.ends_at(mention.end):
            return None
        gap = {self.doc[i].text for i in range(said.end, mention.start)}
        joined = bool(gap & {"with", "along"}) and gap <= ATTACH_GLUE | {"along", "together"}
        return mention if joined else None

    def _cut_off(self, said: Said, mention: Mention) -> bool:
        """Whether a new clause or another state stands between the state and the part."""
        gap = range(said.end, mention.start)
        if any(i in self.clauses.openers or self.doc[i].text == "and" for i in gap):
            return True
        if any(self.clauses.before[i] and self.doc[i].text in AHEAD_PEOPLE for i in gap):
            return True  # "it's warped, you'd feel it in the lever"
        if any(self.clauses.before[i] and self.doc[i].text in AHEAD_MAYBE for i in gap):
            return True  # "not a peep, could be mud in the switch": a guess at the cause
        between_them = between(self.said, said.end, mention.start)
        return any(s.end <= mention.start and s.kind not in (said.kind, "measure") for s in between_them)

    def _tied(self, said: Said, mention: Mention, mentions: list[Mention], pronoun: bool, before: bool) -> bool | None:
        """Whether the state is tied to this part; None where the next part is to be tried."""
        head = self._head(said, mention)
        if said.kind == "good" and head == said.end and any(self.clauses.before[said.end : mention.start + 1]):
            return False  # "the left one's spot on, the right has a nick"
        beside = self._beside(said, mention, head, pronoun, before)
        if not beside and (head not in self.linking or self.clauses.before[head] > 0):
            return False  # "a dent you could keep soup in, the right one's okay"
        if mention.weak and (pronoun or before) and not beside:
            return False
        if mention.how == "selector" and not self.focus.sided and not self.focus.family:
            return False
        if before and head and self.doc[head - 1].text in ("round", "around") and not beside:
            return False  # "the yoke's lovely, just a few scratches round the ignition"
        if placed_beside(self.doc, head) and not beside:
            return None if self._place_of_another(said, mention, mentions) else False
        if (head in self.where_only or in_front_of(self.doc, mention.start)) and not beside:
            hosted = head in self.hosting and not before and not self._on_something(said.end, head)
            if not hosted and self._place_of_another(said, mention, mentions):
                return None  # "just above the footrest, on the engine casing"
            if not hosted and (self.focus.targets or pronoun):
                mention.locative |= head in self.beside  # then it is not what is spoken of from here on
                return False
        of_it = pronoun and not beside and said.kind != "measure"
        placing = mention.locative or head in self.where_only or mention.how == "selector"
        return not (mention.other or (of_it and placing))

    def _head(self, said: Said, mention: Mention) -> int:
        """Where the words that belong to the part begin: behind "on", before "the, no, sorry, the other"."""
        head = mention.start
        while head > said.end and (
            self.doc[head - 1].text in ATTACH_SKIP | SIDES_BETWEEN or self.corrections.get(head, -1) >= said.end
        ):
            head -= 1
        return head

    def _beside(self, said: Said, mention: Mention, head: int, pronoun: bool, before: bool) -> bool:
        """Whether the part stands so close that no preposition is needed."""
        gap = range(said.end, mention.start)
        near = all(self.doc[i].text in ATTACH_SKIP - {"the"} for i in gap)
        if near and not any(self.clauses.before[said.end : mention.start + 1]):
            return True
        if said.kind == "measure" and mention.start == said.end:
            return True
        linked = head == said.end and self.doc[said.end - 1].text in ATTACH_ENDING
        return linked and not pronoun and not before  # "the lacquer's coming off the front wheel"

    def _place_of_another(self, said: Said, mention: Mention, mentions: list[Mention]) -> bool:
        return any(m.start > mention.end and m.start - said.end <= PLACE_REACH and not m.locative for m in mentions)

    def _on_something(self, start: int, head: int) -> bool:
        """ "On the lip under the cap": the fault is on something else, which is only near the part."""
        words = [self.doc[i].text for i in range(start, head)]
        return any(a in ("on", "in", "along", "round") and b in ("the", "a") for a, b in pairwise(words))
