"""What was said and then taken back, named anew, or put right since."""

from bisect import bisect_left

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Mention
from walkround.narration.grammar import TAKEBACK_ANEW, TAKEBACK_DENIALS, TAKEBACK_IN_VAIN
from walkround.narration.matches import Terms, between
from walkround.narration.told import Statement, Told

#: How far ahead (tokens) a defect can be taken back.
TAKEN_BACK_REACH = 30
#: Words that deny what was just said begin within so many tokens of it.
AT_ONCE = 7


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
        return any(statement.said.end <= s < statement.end for s, _ in spans)

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
        for start, stop in self.terms.within("withdrawn.phrases", end, limit):
            promised = any(0 <= start - e <= 3 for e in wills)  # "that'll be cleaned off"
            clause = max(end, self.doc._.clauses.span_of(start, 1)[0] - 1)
            or_else = "or" in [self.doc[i].text for i in range(clause, start)]
            if not promised and not or_else and not self._itself_denied(statement, start, stop):
                return start, stop  # not "..., or it's just how the light falls": that is one of two
        return None

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
            if later.said.kind == "good" and later.said.status == "said" and later.targets == statement.targets:
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
        # "The foam's had its day": the end of the fault's own words tells nothing of the past; "battery was dead" does.
        own = any(self.doc[i].text in ("was", "were") for i in range(statement.said.start, statement.said.end))
        return own or any(start <= s <= statement.said.start for s, _ in self.terms.cue("repaired.past"))

    def _next_sentence_end(self, end: int) -> int:
        clauses: Clauses = self.doc._.clauses
        if end >= len(self.doc) or clauses.before[end] >= 3:
            return end
        return clauses.span_of(end)[1]

    def _visible(self, start: int, end: int) -> bool:
        return any(start <= s < end for s, _ in self.terms.cue("repaired.visible"))
