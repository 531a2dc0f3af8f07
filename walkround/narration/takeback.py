"""What was said and then taken back, named anew, or put right since."""

from bisect import bisect_left

from spacy.tokens import Doc

from walkround.narration.attach import Statement, Told
from walkround.narration.clauses import Clauses
from walkround.narration.matches import Terms, between

#: How far ahead (tokens) a defect can be taken back.
TAKEN_BACK_REACH = 30


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
            if not promised and not or_else:  # "..., or it's just how the light falls": one of two, not taken back
                return start, stop
        return None

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
                return not self._visible(statement.start, end)
        right = any(said.end <= s < end for s, _ in self.terms.cue("repaired.cues"))
        return right and not self._visible(statement.start, end)

    def past(self, statement: Statement) -> bool:
        start = max(statement.start, statement.said.start - 6)
        return any(start <= s < statement.said.end for s, _ in self.terms.cue("repaired.past"))

    def _next_sentence_end(self, end: int) -> int:
        if end >= len(self.doc) or self.doc._.clauses.before[end] >= 3:
            return end
        clauses: Clauses = self.doc._.clauses
        return clauses.span_of(end)[1]

    def _visible(self, start: int, end: int) -> bool:
        return any(start <= s < end for s, _ in self.terms.cue("repaired.visible"))
