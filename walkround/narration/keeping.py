"""Which findings are kept: one row a fault, widened where it is told again, demoted where it is mostly read wrongly."""

from dataclasses import dataclass

from spacy.tokens import Doc

from walkround.narration.certainty import UNPLACED_BELOW, named_outright
from walkround.narration.elaboration import elaborates, take_in
from walkround.narration.grammar import ATTACH_PRONOUNS, ROWS_AGAIN, ROWS_ONE_MORE
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import DefectRow, Passed, Reading, Row, Step
from walkround.narration.quoting import span_of
from walkround.narration.severity import worse
from walkround.narration.text import quote
from walkround.narration.told import Statement

#: Words that say the same fault again are quoted with it where they follow within so many seconds.
IN_ONE_BREATH = 1.0
#: A mark named more closely later is the same mark, within so many tokens.
CLOSER_REACH = 25


@dataclass(slots=True)
class Kept:
    """A finding with what only the reading needs to know of it. Places are tokens of the Doc."""

    row: DefectRow
    end: int  #: where the words of the fault end
    firm: bool  #: its part is named outright in the same sentence
    vague: bool  #: it only denies a good word
    span: tuple[int, int]  #: the words that are quoted


class Keeper:
    """Takes the findings of one narration, in order, and knows which of them speak of the same fault."""

    def __init__(self, doc: Doc, lexicon: Lexicon) -> None:
        self.doc, self.lexicon = doc, lexicon
        self.kept: list[Kept] = []
        self.rows: list[DefectRow] = []  #: the findings so far, in order
        self.of_part: dict[str | None, list[Kept]] = {}
        self.sentences: dict[int, list[DefectRow]] = {}
        self.akin = [set(group) for group in lexicon.trees["defects.toml"]["akin"].values()]

    def of_sentence(self, start: int, but: int) -> list[DefectRow]:
        """The findings of the sentence that begins at ``start``, without those at token ``but``."""
        return [row for row in self.sentences.get(start, ()) if row.at != but]

    def take(self, row: DefectRow, statement: Statement, spoken_of: bool = False) -> None:
        """Keep a finding, or widen the earlier one that it speaks of. ``spoken_of``: its part was just named."""
        outright = named_outright(statement) or spoken_of
        if self._merge(row, statement, outright) or self._goes_on(row, statement):
            return
        pronoun = self.doc[statement.start].text in ATTACH_PRONOUNS  # "They're perished too."
        vague = statement.said.kind == "good"
        picked = statement.how in ("subject", "selector") and any(c[0] == "denial.alone" for c in statement.said.cues)
        firm = outright or pronoun or picked  # "the left one works, the right one doesn't"
        kept = Kept(row, statement.said.end, firm, vague, span_of(self.doc, statement))
        self.kept.append(kept)
        self.rows.append(row)
        self.of_part.setdefault(row.part, []).append(kept)
        self.sentences.setdefault(statement.start, []).append(row)

    def forget_difference(self, parts: set[str], start: int, end: int) -> list[Passed]:
        """ "They don't match, but there's nothing wrong with either": a difference that is no fault is forgotten."""
        gone = []
        for kept in list(self.kept):
            row = kept.row
            words = self.doc[row.at : kept.end].text
            odd = row.defect == "mark" and row.part in parts and start <= row.at < end
            if odd and self.lexicon.says(words, "loose.differences"):
                self.kept.remove(kept)
                self.rows.remove(row)
                self.of_part[row.part].remove(kept)
                gone.append(Passed(row.quote, row.start, "a difference, of which nothing is said to be wrong"))
        return gone

    def only_coloured(self, parts: set[str], start: int, end: int, denied: str) -> None:
        """ "It's gone brown, and I wouldn't call it rust": what was read as rust is a change of colour."""
        for kept in self.kept:
            row = kept.row
            told = row.defect == denied == "corrosion" and row.part in parts and start <= row.at < end
            if told and self.lexicon.says(self.doc[row.at : kept.end].text, "loose.colours"):
                row.defect = "fading"
                row.trace.append(Step("rust is denied", row.quote, "corrosion -> fading"))

    def finish(self, reading: Reading) -> None:
        """Settle what later words made of earlier ones, and hand the findings over."""
        self._settle_marks(reading)
        self._demote(reading)
        reading.findings.extend(kept.row for kept in self.kept)

    # --- the same fault ---------------------------------------------------------------------------
    def _merge(self, row: DefectRow, statement: Statement, outright: bool) -> bool:
        """Whether the row only says again what an earlier one said; then that one is kept, and widened."""
        lead = {self.doc[i].text for i in range(max(statement.start, row.at - 4), row.at)}
        if self.doc[max(statement.start, row.at - 3) : row.at].text == "more of a":
            lead.clear()  # "it makes a noise, but it's more of a croak"
        for kept in self.of_part.get(row.part, ()):
            old = kept.row
            if old.defect != row.defect:
                continue
            if (
                self._just_the_same(statement)
                and {old.side, row.side} == {"left", "right"}
                and _in_one_breath(old, row)
            ):
                old.side = "both"  # "Left's scuffed at the end. Right's the same"
                old.trace.append(Step("the same on the other side", row.quote, row.defect))
                self._quote_both(kept, row, statement)
                return True
            if self._just_the_same(statement) and old.side == "both":
                return True  # it was told in two words, and both are copied
            if not _one_side(old, row):
                continue
            if (lead & ROWS_AGAIN and row.at > old.at) or self._apart(old.at, row.at):
                continue
            old.side = old.side or row.side
            old.tentative = old.tentative and row.tentative
            old.severity = worse(old.severity, row.severity)
            old.severity_said = old.severity_said or row.severity_said
            if row.confidence > old.confidence:
                old.confidence, old.review = row.confidence, row.review
            kept.firm = kept.firm or outright
            old.trace.append(Step("said again", row.quote, row.defect))
            if _in_one_breath(old, row):
                self._quote_both(kept, row, statement)
            return True
        return False

    def _quote_both(self, kept: Kept, row: DefectRow, statement: Statement) -> None:
        """Quote all the words from the first telling up to the end of the second."""
        first, last = span_of(self.doc, statement)
        kept.span = min(kept.span[0], first), max(kept.span[1], last)
        kept.row.quote, kept.row.end = quote(self.doc, *kept.span), max(kept.row.end, row.end)

    def _just_the_same(self, statement: Statement) -> bool:
        """ "Right's the same", but not "the right one's got the same", "same again on the right": one more fault."""
        said = statement.said
        near = {self.doc[i].text for i in range(max(0, said.start - 2), min(len(self.doc), said.end + 1))}
        return statement.how == "copied" and not near & ROWS_ONE_MORE

    def _apart(self, first: int, second: int) -> bool:
        """A dent on the left of the tank and one on the right of it."""
        sides = []
        for at in (first, second):
            start, end = self.doc._.clauses.span_of(at)
            words = {self.doc[i].text for i in range(max(start, at - 2), min(end, at + 8))}
            sides.append(words & {"left", "right"})
        return bool(sides[0] and sides[1] and not sides[0] & sides[1])

    def _goes_on(self, row: DefectRow, statement: Statement) -> bool:
        """Whether the row goes on about a fault of the same part in the same sentence; that one then takes it in."""
        said = statement.said
        for kept in reversed(self.of_part.get(row.part, ())):
            old = kept.row
            if not _one_side(old, row) or not statement.start <= old.at < row.at:
                continue
            if not self._akin_faults(old.defect, row.defect) and not self._verdict(statement):
                continue
            if not elaborates(self.doc, kept.end, said.start):
                return False
            take_in(old, row, quote(self.doc, said.start, said.end), self._loose(kept))
            return True
        return False

    def _verdict(self, statement: Statement) -> bool:
        """ "They're pitted, the chrome's past it": what it amounts to, in words that name no fault."""
        words = self.doc[statement.said.start : statement.said.end].text
        return self.lexicon.says(words, "loose.verdict")

    def _akin_faults(self, one: str, other: str) -> bool:
        """Whether two faults can be one, told twice: those of the surface, of the shape, of the working."""
        return any(one in group and other in group for group in self.akin)

    def _loose(self, kept: Kept) -> bool:
        """Whether a finding was named by words that say little ("had it", "gone", "had a knock")."""
        words = self.doc[kept.row.at : kept.end].text
        return kept.vague or self.lexicon.says(words, "loose.phrases")

    # --- at the end -------------------------------------------------------------------------------
    def _settle_marks(self, reading: Reading) -> None:
        """ "The one with the marks on it. There's a scuff, and a scratch": the marks are those named next."""
        for kept in list(self.kept):
            row = kept.row
            plural = row.defect == "mark" and self.doc._.tokens[row.at].plural
            if (plural or self._loose(kept)) and any(
                self._names_closer(other.row, row) for other in self.of_part[row.part]
            ):
                self.kept.remove(kept)
                reading.passed.append(Passed(row.quote, row.start, "named more closely in what follows"))

    def _names_closer(self, other: DefectRow, row: DefectRow) -> bool:
        same = (other.part, other.side) == (row.part, row.side) and 0 < other.at - row.at < CLOSER_REACH
        if not same or other.defect == row.defect:
            return False
        return row.defect == "mark" or self._akin_faults(row.defect, other.defect)

    def _demote(self, reading: Reading) -> None:
        """What was read so that it is more often wrong than right is put to a person, not shown as a finding."""
        for kept in [k for k in self.kept if k.row.confidence < UNPLACED_BELOW and not k.firm]:
            row = kept.row
            self.kept.remove(kept)
            reading.doubted.append(Row(row.quote, row.start, row.end, row.part, row.side))
            row.review = f"is it a fault of this part ({row.part}, {row.defect})? {row.review}"
            row.part = row.side = None
            reading.unplaced.append(row)


def _in_one_breath(one: DefectRow, other: DefectRow) -> bool:
    """Whether the words of the other follow at once, so that both can be quoted as they were said."""
    return one.start <= other.start <= one.end + IN_ONE_BREATH


def _one_side(one: DefectRow, other: DefectRow) -> bool:
    """Whether two rows can be of the same side: a side that was not said can be either."""
    return one.side == other.side or one.side is None or other.side is None
