"""Praise that is not to be taken at its word: half of it taken back, or words about the part that nobody understood.

Nothing is said to be wrong by these words; the part is only not called clear on them, and a person looks.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Target
from walkround.narration.grammar import (
    RESERVE_BACK,
    RESERVE_DETERMINERS,
    RESERVE_DOINGS,
    RESERVE_HANDLING,
    RESERVE_HEADS,
    RESERVE_LEADING,
    RESERVE_NEGATIONS,
    RESERVE_OPENERS,
    RESERVE_PLACING,
    RESERVE_POINTING,
    RESERVE_SOMEBODY,
    RESERVE_THERE,
    RESERVE_UNDER,
)
from walkround.narration.leftovers import taken_in
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import Reading, Row, Verdict
from walkround.narration.opinion import Model, opinion_on
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: A remark that limits praise stands in its sentence or in one of so many after it, before another part is named.
SENTENCES = 2
#: A stretch of so many words or more, this likely to speak of a fault, is not passed over behind praise.
STRETCH, UNEASY = 4, 0.5
#: Behind "half a mile of string in it", said of what was opened, less will do.
WITHIN_UNEASY = 0.3
#: Words of these kinds are understood, and say nothing against a part.
UNDERSTOOD = ("withdrawn.phrases", "excluded.phrases", "included.phrases", "guess.phrases", "unreal.other_bike")


def read_reserves(doc: Doc, lexicon: Lexicon, told: Told, weights: Model, reading: Reading) -> None:
    """Add to ``doubted`` the parts of good words that are limited, or followed by words not understood."""
    doubts = Reserves(doc, lexicon, told, weights)
    believed = {s.said.start for s in told.statements if s.said.status == "belief"}
    for verdict in reading.verdicts:
        if verdict.at in believed:
            continue  # "I thought that was a crack, but no": what follows says what it is
        span = doubts.against(verdict)
        if span:
            start, end = times(doc, *span)
            reading.doubted.append(Row(quote(doc, *span), start, end, verdict.part, verdict.side))


class Reserves:
    """Looks ahead from a good word."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, weights: Model) -> None:
        self.doc, self.told, self.weights = doc, told, weights
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses
        lists = ("suspicion.harmless", "suspicion.has_harmless", "reserve.harmless")
        self.harmless = {lexicon.fold(w)[0] for name in lists for w in lexicon.phrases(name)}
        self.papers = {p.id for p in lexicon.parts.values() if p.group == "paperwork"}
        self.ends = [lexicon.fold(form) for form in lexicon.phrases("reserve.ends")]
        self.excepting = {s for s, _ in self.terms.cue("joining.exceptions") if s and self.clauses.before[s] == 2}
        self.states = sorted((s for s in told.statements if s.said.kind in ("good", "defect")), key=_start)
        self.faults = [s.said.start for s in self.states if s.said.kind == "defect" and s.said.status == "said"]
        self.told_at = sorted(s.said.start for s in told.statements)

    def against(self, verdict: Verdict) -> tuple[int, int] | None:
        """The words that speak against a good word, or None."""
        start, end = self.clauses.span_of(verdict.at)
        following = bisect_right(self.faults, verdict.at)
        stop = self.faults[following] if following < len(self.faults) else len(self.doc)  # that speaks of the fault
        if any(f.said.status == "said" and self._piece(f) for f in _between_states(self.states, verdict.at, end)):
            return start, end
        for s, e in self._reach(verdict, end):
            reserves = [at for at, _ in self.terms.within("reserve.after", max(s, verdict.at), e) if at < stop]
            if any(not self._denied(at) for at in reserves):
                return s, e
        but = self._but(verdict.at, end)
        if but and self._strange(but, end):
            return start, end
        if any(
            self.doc[i - 1].text == "but" and self.doc[i].text in RESERVE_HANDLING for i in range(verdict.at + 1, end)
        ):
            return start, end  # "the wheel's true, but hold the tyre and rock it and it knocks"
        if end in self.excepting and not _between_states(self.states, *self.clauses.span_of(end)):
            return self.clauses.span_of(end)  # "The seat's like new. Apart from what the mouse did."
        for s, e in self._reach(verdict, end):
            if s >= end and self._of_it(verdict, s, e) and self._laid_elsewhere(verdict, s, e):
                return s, e
            if end <= s < stop and self._gives(s, e):
                return s, e
            if end <= s < stop and self._of_it(verdict, s, e) and self._strange(s, e):
                return s, e
            uneasy = self._uneasy(verdict, s, e, stop)
            if uneasy:
                return uneasy
        return self._within_it(verdict, end)

    def _denied(self, at: int) -> bool:
        """ "The horn isn't intermittent": the reserve itself is denied."""
        return any(s.said.end > at and s.said.status == "denied" for s in _between_states(self.states, at - 4, at + 1))

    def _uneasy(self, verdict: Verdict, start: int, end: int, stop: int) -> tuple[int, int] | None:
        """A stretch behind the praise, with no state the lexicon knows, that sounds like a fault all the same."""
        first = max(start, verdict.at)
        for i in range(first + 1, end + 1):
            if i < end and not self.clauses.before[i]:
                continue
            if any(not _meets(verdict, t) for t in self._named(first, i)) or stop < i:
                return None
            if i - first >= STRETCH and not self._told(first, i) and self._sounds(first, i):
                return first, i
            first = i
        return None

    def _told(self, start: int, end: int) -> bool:
        """Whether words hold a state or a size, or are of a kind that is understood."""
        return taken_in(self.told_at, start, end) or any(self.terms.within(c, start, end) for c in UNDERSTOOD)

    def _gives(self, start: int, end: int) -> bool:
        """ "You can waggle it", "you can catch your nail on a line": what can be done with it and should not."""
        lead = [self.doc[i].text for i in range(start, min(end, start + 3))]
        able = lead[:2] in (["you", "can"], ["i", "can"]) and len(lead) == 3 and lead[2] in RESERVE_HANDLING
        return able and not self._told(start, end)

    def _piece(self, fault: Statement) -> bool:
        """ "The headlight's good but the reflector is dull": of a piece, maybe of what was praised."""
        return fault.said.kind == "defect" and fault.mention is not None and fault.mention.weak

    def _laid_elsewhere(self, verdict: Verdict, start: int, end: int) -> bool:
        """ "It knocked when I tried it on the stand": a fault of "it" that was tied to another part."""
        faults = [
            s for s in _between_states(self.states, start, end) if (s.said.kind, s.said.status) == ("defect", "said")
        ]
        strays = [s for s in faults if s.how in ("forward", "focus") and all(t.part != verdict.part for t in s.targets)]
        of_it = self.doc[start].text in ("it", "they") or self._one_of_them(start, end)
        return of_it and bool(strays) and len(strays) == len(faults)

    def _reach(self, verdict: Verdict, end: int) -> Iterator[tuple[int, int]]:
        """The sentence of the good word and those after it, up to one about another part or a break in the talk."""
        yield self.clauses.span_of(verdict.at)
        for _ in range(SENTENCES):
            if end >= len(self.doc) or self.clauses.before[end] >= 3:
                return
            s, end = self.clauses.span_of(end)
            if self._closes(s):
                return
            first = next((i for i in range(s, end) if self.doc[i].text not in RESERVE_LEADING), s)
            of_it = self.doc[first].text in ("it", "they") or self._one_of_them(s, end)
            targets = [t for t in self._named(s, end) if not of_it or t.part in self.papers]
            moved = any(s <= at < s + 3 for at, _ in self.told.moves)
            if moved or any(not _meets(verdict, t) for t in targets):
                return
            yield s, end

    def _closes(self, start: int) -> bool:
        """ "That's about it, I think": the talk is over, and not of the part."""
        words = tuple(self.doc._.folds[start : start + 6])
        return any(words[: len(form)] == form or words[1 : len(form) + 1] == form for form in self.ends)

    def _one_of_them(self, start: int, end: int) -> bool:
        """ "The spare one doesn't turn in the lock", "one's had its head glued": of what was praised."""
        ones = [i for i in range(start, min(end, start + 4)) if self.doc[i].text == "one"]
        counted = (
            ones and ones[0] + 1 < end and not self.doc[ones[0] + 1].is_stop and "'" not in self.doc[ones[0] + 1].text
        )
        if counted:
            return False  # "one key, no spare"
        return bool(ones) and not between(self.told.mentions, start, ones[0] + 1)

    def _within_it(self, verdict: Verdict, end: int) -> tuple[int, int] | None:
        """ "I pulled the cap and there's rust in there", "the chain's cut a slot in it": said of this too."""
        if end >= len(self.doc) or self.clauses.before[end] >= 3:
            return None
        start, stop = self.clauses.span_of(end)
        others = self._named(start, stop)
        if not others or any(t.part == verdict.part for t in others):
            return None
        opened = self.doc[start].text in RESERVE_OPENERS
        if not opened and not RESERVE_DOINGS & {self.doc[i].text for i in range(start, min(stop, start + 6))}:
            return None  # "the mudguard's got a chip in it": its own
        for i in range(start + 2, stop):
            if self.doc[i].text not in RESERVE_BACK or self.doc[i - 1].text not in RESERVE_PLACING:
                continue
            clause = self.clauses.span_of(i, 1)
            faults = [s for s in _between_states(self.states, *clause) if s.said.status != "denied"]
            if (
                any(s.said.kind == "defect" for s in faults)
                or self._strange(*clause)
                or self._sounds(*clause, WITHIN_UNEASY)
            ):
                return start, stop
        return None

    def _sounds(self, start: int, end: int, least: float = UNEASY) -> bool:
        return opinion_on(self.doc, start, end, self.weights).fault >= least

    def _but(self, at: int, end: int) -> int | None:
        """Where what follows the last state of the sentence turns with "but"."""
        last = max((s.said.end for s in _between_states(self.states, at, end)), default=at)
        return next((i + 1 for i in range(last, end) if self.doc[i].text == "but"), None)

    def _of_it(self, verdict: Verdict, start: int, end: int) -> bool:
        """Whether a sentence goes on about what was praised: "it ...", "the left one ...", "the stalk on it ..."."""
        first = start
        while first < end and self.doc[first].text in RESERVE_LEADING:
            first += 1
        if first >= end:
            return False
        if end - first == 1 and self.doc[first].text not in RESERVE_HEADS:
            return False  # "Now the luggage."
        determined = self.doc[first].text in RESERVE_DETERMINERS or (
            first > start and self.doc[first - 1].text in RESERVE_DETERMINERS
        )
        named = self._named(start, end)
        if self.doc[first].text in RESERVE_HEADS or any(t.part == verdict.part for t in named):
            return True
        return (determined and not named) or self._fragment(first, end)

    def _fragment(self, first: int, end: int) -> bool:
        """ "Star-shaped thing here in the corner", "there was a drop under it", "give it a tap and ..."."""
        words = [self.doc[i].text for i in range(first, end)]
        if words[0] == "there":
            return len(words) > 3 and words[1] in ("'s", "is", "was", "were") and words[2] in RESERVE_THERE
        if words[0] in RESERVE_HANDLING:
            return bool(RESERVE_UNDER & set(words))
        if words[0] in RESERVE_SOMEBODY:
            return bool({"it", "them", "something", "here", "there"} & set(words))
        named = bool(between(self.terms.things, first, first + 2))
        strange = not self.doc[first].is_stop and words[0] not in self.harmless and not named
        return strange and bool(RESERVE_POINTING & set(words[1:]))

    def _named(self, start: int, end: int) -> list[Target]:
        """The parts that a sentence is about."""
        return [t for m in between(self.told.mentions, start, end) if not m.locative for t in m.targets]

    def _strange(self, start: int, end: int) -> bool:
        """Whether words hold no state the lexicon knows, and something that it does not know at all."""
        if _between_states(self.states, start, end) or any(self.terms.within(c, start, end) for c in UNDERSTOOD):
            return False
        if self.doc._.tokens[end - 1].mark == "?":
            return False
        known = self.terms.covered
        return any(
            self.doc[i].text in RESERVE_NEGATIONS
            or (
                i not in known
                and self.doc[i].is_alpha
                and not self.doc[i].is_stop
                and self.doc[i].text not in self.harmless
            )
            for i in range(start, end)
        )


def _meets(verdict: Verdict, target: Target) -> bool:
    """Whether a part that is named can be the one that was praised."""
    return target.part == verdict.part and _meet(target.side, verdict.side)


def _meet(one: str | None, other: str | None) -> bool:
    """Whether two sides may be the same."""
    return one == other or {one, other} & {None, "both"} != set()


def _between_states(states: list[Statement], start: int, end: int) -> Sequence[Statement]:
    """The states whose words begin at tokens ``start`` up to ``end``."""
    return between(states, start, end, _start)


def _start(statement: Statement) -> int:
    return statement.said.start
