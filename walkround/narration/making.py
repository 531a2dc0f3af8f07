"""The rows that a statement becomes: a finding, what is put to a person, what was put right or taken back."""

from spacy.tokens import Doc

from walkround.narration.certainty import sureness, trace
from walkround.narration.focus import Target
from walkround.narration.keeping import Keeper
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import DefectRow, Passed, Reading, Row, TakenBack
from walkround.narration.patterns import patterns_of
from walkround.narration.praise import Praise
from walkround.narration.quoting import span_of
from walkround.narration.severity import severity_of, severity_said, worse
from walkround.narration.takeback import TakeBack
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: How far back (tokens) the part may be named whose piece has the fault.
PIECE_REACH = 15
#: How far before and behind a fault of no part (tokens) the parts stand that it may be of.
STRAY_BEFORE, STRAY_BEHIND = 25, 6


class Making:
    """Makes rows and puts them where they belong in a Reading."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        self.doc, self.lexicon, self.told, self.out = doc, lexicon, told, reading
        self.terms: Terms = doc._.terms
        self.back = TakeBack(doc, told)
        self.keeper = Keeper(doc, lexicon)
        self.praise = Praise(doc, lexicon, told, reading)
        self.patterns = patterns_of(lexicon)

    def _base(self, statement: Statement, defect: str, target: Target | None) -> DefectRow:
        said = statement.said
        span = span_of(self.doc, statement)
        start, end = times(self.doc, *span)
        row = DefectRow(quote(self.doc, *span), start, end, defect=defect, at=said.start)
        if target:
            row.part, row.side = target.part, target.side
        row.tentative = said.tentative
        row.severity = severity_of(self.doc, self.lexicon, statement, row)
        family = self.patterns.rule(said.form)
        if family and family.severity:
            row.severity = worse(row.severity, family.severity)
        row.severity_said = severity_said(self.doc, self.lexicon, statement, row.at)
        mention = statement.mention
        if mention and mention.start < statement.start:
            row.part_quote = quote(self.doc, mention.start, mention.end)
        if mention and mention.term and mention.term.heard:
            row.heard_as = mention.term.heard
        sureness(self.doc, statement, row, self.keeper.of_sentence(statement.start, said.start))
        row.trace = trace(self.doc, statement, row)
        return row

    def _finding(self, statement: Statement, defect: str) -> None:
        targets = [t for t in statement.targets if t.part]
        if not targets:
            self._unplaced(statement, "no part was named for it", defect)
            return
        for target in targets:
            row = self._base(statement, self._becomes(statement, defect, target), target)
            self.keeper.take(row, statement, self._spoken_of(statement, target))

    def _spoken_of(self, statement: Statement, target: Target) -> bool:
        """ "Front wheel: no dents, one scrape on the rim": a piece of the part that was named just before."""
        mention = statement.mention
        if mention is None or not mention.weak or mention.start < statement.start:
            return False
        before = between(self.told.mentions, mention.start - PIECE_REACH, mention.start)
        return any(not m.weak and m.term and target.part in {t.part for t in m.targets} for m in before)

    def _becomes(self, statement: Statement, defect: str, target: Target) -> str:
        family = self.patterns.rule(statement.said.form)
        if family:
            return family.of.get(target.part, defect)
        form = self.lexicon.fold(statement.said.form)
        said = statement.said
        for word, other in self.lexicon.defects[defect].near.items():
            if form[0] != "paint" and any(
                token.text == word
                for token in self.doc[max(statement.start, said.start - 12) : min(statement.end, said.end + 6)]
            ):
                return other
        return self.lexicon.becomes(defect, form, target.part)

    def _unplaced(self, statement: Statement, reason: str, defect: str, doubt: bool = True) -> None:
        row = self._base(statement, defect, None)
        row.review = reason
        row.confidence = min(row.confidence, 0.4)
        self.out.unplaced.append(row)
        parts = [*statement.targets, *statement.beside] or self._near(statement.said.start) if doubt else []
        self.out.doubted.extend(Row(row.quote, row.start, row.end, t.part, t.side) for t in parts)

    def _near(self, at: int) -> list[Target]:
        """The parts named last before a fault and first behind it: it may be of either, where no part was told."""
        mentions = between(self.told.mentions, at - STRAY_BEFORE, at + STRAY_BEHIND)
        before = [m for m in mentions if m.start < at and m.targets][-1:]
        behind = [m for m in mentions if m.start > at and m.targets][:1]
        return [t for mention in (*before, *behind) for t in mention.targets]

    def _put_right(self, statement: Statement) -> None:
        for target in statement.targets or [Target("")]:
            row = self._base(statement, statement.said.id, target if target.part else None)
            self.out.repaired.append(row)
        if self.back.renewed(statement):
            self.praise.give(statement)

    def _withdraw(self, statement: Statement, back: tuple[int, int] | None) -> None:
        start, end = times(self.doc, statement.start, statement.end)
        words = quote(self.doc, *back) if back else quote(self.doc, statement.said.end - 1, statement.end)
        at = times(self.doc, *back)[0] if back else end
        for target in statement.targets or [Target("")]:
            self.out.withdrawn.append(
                TakenBack(
                    quote(self.doc, statement.start, statement.end), start, end, target.part or None, target.side,
                    defect=statement.said.id, taken_back_by=words, taken_back_at=at,
                )
            )  # fmt: skip

    def _pass(self, statement: Statement, reason: str) -> None:
        said = statement.said
        cues = ", ".join(f"“{quote(self.doc, s, e)}”" for _, s, e in said.cues)
        words = quote(self.doc, said.start, said.end)
        self.out.passed.append(
            Passed(words, times(self.doc, said.start, said.end)[0], f"{reason}: {cues}" if cues else reason)
        )
