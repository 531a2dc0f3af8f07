"""What was said and then taken back, named anew, or put right since."""

from bisect import bisect_left
from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Mention
from walkround.narration.grammar import (
    TAKEBACK_ANEW,
    TAKEBACK_DENIALS,
    TAKEBACK_FLUIDS,
    TAKEBACK_HAS_HAD,
    TAKEBACK_IN_VAIN,
    TAKEBACK_IS,
    TAKEBACK_IT,
    TAKEBACK_NO,
    TAKEBACK_NO_LESS,
    TAKEBACK_SOME,
    TAKEBACK_THING,
    TAKEBACK_TURNING,
    TAKEBACK_WORKS,
    TAKEBACK_WORSE,
)
from walkround.narration.matches import Terms, between
from walkround.narration.told import Statement, Told

#: How far ahead (tokens) a defect can be taken back.
TAKEN_BACK_REACH = 30
#: Words that deny what was just said begin within so many tokens of it.
AT_ONCE = 7
#: Faults that are gone where the part works.
WORKING = ("not-working", "noise", "loose", "leak", "something-wrong", "missing", "wear")


def span(statement: Statement) -> range:
    """The tokens of a state's own words."""
    return range(statement.said.start, statement.said.end)


class TakeBack:
    """Looks ahead from a statement for the words that undo it."""

    def __init__(self, doc: Doc, told: Told) -> None:
        self.doc, self.told = doc, told
        self.terms: Terms = doc._.terms

    def reclassed(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        """ "A stone chip, well, it's not a stone chip, it's a paint chip": the first name is taken back."""
        denied = None
        for later in statements[index + 1 :]:
            if later.said.start - statement.said.end > TAKEN_BACK_REACH:
                return False
            if later.said.kind != "defect" or later.targets != statement.targets:
                continue
            if later.said.status == "denied" and later.said.id == statement.said.id:
                denied = later
            elif denied and later.said.status == "said" and later.said.id != statement.said.id:
                return True
        return False

    def turned(self, statement: Statement) -> bool:
        """A belief followed by "but it isn't" in the same breath."""
        spans = list(self.terms.cue("denial.alone", "denial.before"))
        return any(statement.said.end <= s < statement.end for s, _ in spans) or self._is_something_else(statement)

    def _is_something_else(self, statement: Statement) -> bool:
        """ "I thought that was a tear, but it's a bit of leaf": what it was taken for, and what it is."""
        start = statement.said.end
        stop = self._next_sentence_end(statement.end)
        statements = between(self.told.statements, start, stop, lambda s: s.said.start)
        if any(s.said.kind == "defect" and s.said.status == "said" for s in statements):
            return False
        if self.terms.within("doubt.phrases", start, stop):
            return False
        words = [self.doc[i].text for i in range(start, stop)]
        for k, word in enumerate(words[:-3]):
            turning = word in TAKEBACK_TURNING and any(self.doc._.clauses.before[start + k : start + k + 2])
            rest = words[k + 1 : k + 7]
            at = next((n for n, w in enumerate(rest) if w in TAKEBACK_IS), None)
            if (turning or k == 0) and at is not None and 0 < at <= 3 and rest[at - 1] in TAKEBACK_IT:
                thing = start + k + 2 + at
                return self._is_thing(thing) and not set(rest) & TAKEBACK_WORSE
        return False

    def _is_thing(self, at: int) -> bool:
        """Whether a thing is named at a token: "a bit of leaf", "only the light", "chain lube"."""
        if at >= len(self.doc) or self.doc[at].text in TAKEBACK_THING:
            return at < len(self.doc)
        end = self.doc._.clauses.span_of(at, 1)[1]
        states = between(self.terms.states, at, end)
        return (
            not self.doc[at].is_stop
            and end - at in (1, 2)
            and not states
            and self.doc[at].text[-2:] not in ("er", "ly")
        )

    def taken_back(self, statement: Statement) -> tuple[int, int] | None:
        """The words that take a defect back, if they come soon and before another part."""
        end = statement.said.end
        at_once = self._denied_at_once(end, statement.end)
        if at_once:
            return at_once
        limit = min(len(self.doc), end + TAKEN_BACK_REACH)
        if self.doc._.punctuated:  # this sentence, and the next two
            limit = min(limit, self._next_sentence_end(self._next_sentence_end(statement.end)))
        parts = {t.part for t in statement.targets}
        for mention in between(self.told.mentions, end, limit):
            named = end <= mention.start < limit and mention.term and mention.targets and not mention.locative
            if named and not parts & {t.part for t in mention.targets}:
                limit = mention.start
                break
        statements = self.told.statements
        for later in statements[bisect_left(statements, end, key=lambda s: s.said.start) :]:
            if later.said.start >= limit:
                break
            if later.said.kind == "defect" and later.said.status == "said":
                limit = later.said.start
                break
        wills = [e for _, e in self.terms.within("promise.will", end, limit)]
        wet = statement.said.id in ("leak", "stain") and not TAKEBACK_FLUIDS & {
            self.doc[i].text for i in span(statement)
        }
        cues = ["withdrawn.phrases", *(["withdrawn.wetness"] if wet else [])]  # a drip may be rain; oil is none
        for start, stop in sorted(span for cue in cues for span in self.terms.within(cue, end, limit)):
            promised = any(0 <= start - e <= 3 for e in wills)  # "that'll be cleaned off"
            clause = max(end, self.doc._.clauses.span_of(start, 1)[0] - 1)
            or_else = "or" in [self.doc[i].text for i in range(clause, start)]
            if not promised and not or_else and not self._itself_denied(statement, start, stop):
                return start, stop  # not "..., or it's just how the light falls": that is one of two
        return self._looked_again(statement, limit)

    def _looked_again(self, statement: Statement, limit: int) -> tuple[int, int] | None:
        """ "Ooh, there's a crack. No, that's a bit of seaweed": it is something else, and no fault."""
        clauses: Clauses = self.doc._.clauses
        at = statement.end
        while at < limit and self.doc[at].text in TAKEBACK_NO:
            at += 1
        said_no = "no" in {self.doc[i].text for i in range(statement.end, at)}
        if not said_no or clauses.before[statement.end] >= 3:
            return None
        if at >= len(self.doc):
            return None  # "no", and no more
        sentence = clauses.span_of(at)
        start, stop = max(statement.end, sentence[0]) if at < limit else at, sentence[1]
        named = self.doc[at : at + 4].text.split()
        if TAKEBACK_NO_LESS & {token.text for token in self.doc[at : at + 6]}:
            return None  # "oh no, that's a big one", "no, it's a weld"
        if named[:2] not in (["that", "'s"], ["it", "'s"], ["that", "is"], ["it", "is"]) or len(named) < 4:
            return None
        faults = [s for s in self.told.statements if at <= s.said.start < stop and s.said.kind == "defect"]
        if named[2] not in TAKEBACK_SOME or any(s.said.id != "missing" for s in faults):
            return None  # "No, that's a scratch", "no, it's worse"
        return start, stop

    def _denied_at_once(self, end: int, stop: int) -> tuple[int, int] | None:
        """ "It's split, no it's not, that's tape", "a crack in the lens, oh no, there isn't": in the same breath."""
        for s, e in self.terms.within("denial.alone", end, min(stop, end + AT_ONCE)):
            no = self.doc[s].text == "no" or self.doc[s - 1].text == "no"
            if no and e - s > 1 and not any(m.start < s for m in between(self.told.mentions, end + 3, s)):
                return s, e
        return None

    def _itself_denied(self, statement: Statement, start: int, stop: int) -> bool:
        """ "It's not just dirt", "it wipes off but it comes back": words that take nothing back."""
        before = {self.doc[i].text for i in range(max(statement.said.end, start - 5), start)}
        after = {self.doc[i].text for i in range(stop, min(len(self.doc), stop + 2))}
        denied = any(word.endswith("n't") for word in before) or before & TAKEBACK_DENIALS
        off = "off" in {self.doc[i].text for i in range(start, stop)}
        lasting = statement.said.id in ("corrosion", "peeling", "leak", "paint-chip", "perished", "tear", "crack")
        return bool(denied or after & {"but", "though"} or (off and lasting))

    def was_put_right(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        said = statement.said
        if not self.past(statement):
            return False
        end = self._next_sentence_end(statement.end)
        for later in statements[index + 1 :]:
            if later.said.start >= end:
                break
            if (
                later.said.kind == "defect"
                and later.said.status == "said"
                and later.targets == statement.targets
                and not self.past(later)
            ):
                end = later.said.start
                break
            praised = later.said.kind == "good" and later.said.status == "said" and not self._has_had(statement)
            if praised and later.targets == statement.targets:
                if said.id not in WORKING and TAKEBACK_WORKS & {self.doc[i].text for i in span(later)}:
                    continue  # "it was cracked, but it works": cracked still
                end = max(statement.end, self.doc._.clauses.span_of(later.said.start)[1])  # not what comes after it
                return not self._visible(statement.start, end) and not self._only_partly(statement, end)
        right = any(said.end <= s < end for s, _ in self.terms.cue("repaired.cues"))
        return right and not self._visible(statement.start, end) and not self._only_partly(statement, end)

    def renewed(self, statement: Statement) -> bool:
        """ "Pads were down to nothing, we've put a new set in": what was put right is there anew."""
        end = self._next_sentence_end(statement.end)
        return bool(TAKEBACK_ANEW & {self.doc[i].text for i in range(statement.said.end, end)})

    def _only_partly(self, statement: Statement, end: int) -> bool:
        """Whether the words put right only one of a pair, another part, or nothing in the end ("no difference")."""
        words = [self.doc[i].text for i in range(statement.said.end, end)]
        several = len(statement.targets) > 1 or any(t.side == "both" for t in statement.targets)
        ones = [k for k, word in enumerate(words) if word == "one" and words[k - 1 : k] != ["new"]]
        if several and (ones or {"left", "right", "front", "rear", "back"} & set(words)):
            return True
        text = f" {' '.join(words)} "
        if any(f" {phrase} " in text for phrase in TAKEBACK_IN_VAIN):
            return True
        parts = {t.part for t in statement.targets}
        for start, stop in self.terms.within("repaired.cues", statement.said.end, end):
            sentence_end = self.doc._.clauses.span_of(start)[1]
            for mention in between(self.told.mentions, start, min(sentence_end, stop + 4)):
                other = mention.term and not mention.weak and mention.targets and not mention.owner
                if other and not parts & {t.part for t in mention.targets} and not self._kin(parts, mention):
                    return True
        return False

    def _kin(self, parts: set[str], mention: Mention) -> bool:
        """Parts of one family: new seals cure leaking forks."""
        named = {t.part for t in mention.targets}
        families = self.told.families
        return any(parts & members and named & members for members in families)

    def past(self, statement: Statement) -> bool:
        start = max(statement.start, statement.said.start - 6)
        first, end = statement.said.start, statement.said.end
        if {"was", "were"} & {self.doc[i].text for i in range(first, end)}:
            return True  # "battery was flat"
        # "The foam's had its day": the end of the fault's own words tells nothing else of the past.
        return any(s <= first for s, _ in self.terms.within("repaired.past", start, end))

    def _has_had(self, statement: Statement) -> bool:
        """ "The lever's had the end snapped off it, and I've got a good one": told as it is now."""
        start = max(statement.start, statement.said.start - 6)
        words = [self.doc[i].text for i in range(start, statement.said.start + 1)]
        return any(pair in TAKEBACK_HAS_HAD for pair in pairwise(words))

    def _next_sentence_end(self, end: int) -> int:
        clauses: Clauses = self.doc._.clauses
        if end >= len(self.doc) or clauses.before[end] >= 3:
            return end
        return clauses.span_of(end)[1]

    def _visible(self, start: int, end: int) -> bool:
        return any(start <= s < end for s, _ in self.terms.cue("repaired.visible"))
