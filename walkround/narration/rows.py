"""From statements to rows: merging, taking back, severity, extent, confidence and the reasons to look."""

from spacy.tokens import Doc

from walkround.narration.attach import Statement, Told
from walkround.narration.certainty import UNPLACED_BELOW, named_outright, sureness, trace
from walkround.narration.elaboration import elaborates, take_in
from walkround.narration.focus import Target
from walkround.narration.grammar import ATTACH_PRONOUNS, ATTACH_SKIP, ROWS_AGAIN, ROWS_AMOUNTS, ROWS_FOLLOWING
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import DefectRow, Passed, Reading, Row, Step, TakenBack, Verdict
from walkround.narration.severity import severity_of, severity_said, worse
from walkround.narration.takeback import TakeBack
from walkround.narration.text import quote, times

#: How far back (tokens) a remark ("that wants doing") may speak of a fault already named.
REMARK_REACH = 45
#: A sentence of so few tokens is quoted with the one before it.
FRAGMENT = 6
#: A quote of no more tokens goes on over the next sentence, where no part is named in it.
SHORT = 12
#: Without punctuation, so many tokens before and after the words of a fault are quoted with them.
UNPUNCTUATED = 9


class RowMaker:
    """Makes the rows of a Reading from what was tied."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        self.doc, self.lexicon, self.told, self.out = doc, lexicon, told, reading
        self.terms: Terms = doc._.terms
        self.back = TakeBack(doc, told)
        self.of_sentence: dict[int, list[DefectRow]] = {}  # findings by where their sentence begins
        self.of_part: dict[str | None, list[DefectRow]] = {}
        self.firm: set[int] = set()  # findings whose part is named outright in the same sentence
        self.vague: set[int] = set()  # findings that only deny a good word
        self.ends: dict[int, int] = {}  # where the words of a finding end
        self.silent = {lexicon.fold(f) for d in lexicon.defects.values() for f in d.silent}
        self.damage_said = {
            lexicon.fold(f) for f in ("damage", "damaged", "accident damage", "crash damage", "drop damage")
        }
        self.denied_good = {
            lexicon.fold(form): defect
            for defect, forms in lexicon.trees["phrases.toml"]["good"]["denied"].items()
            for form in forms
        }

    def make(self) -> None:
        """Fill findings, unplaced, verdicts, repaired, withdrawn and passed."""
        statements = self.told.statements
        for index, statement in enumerate(statements):
            if statement.said.kind not in ("good", "defect"):
                continue
            if statement.said.kind == "good":
                self._good(statement)
            else:
                self._defect(statement, statements, index)
        self._settle_marks()
        self._demote()

    def _demote(self) -> None:
        """What was read so that it is more often wrong than right is put to a person, not shown as a finding."""
        for row in [r for r in self.out.findings if r.confidence < UNPLACED_BELOW and id(r) not in self.firm]:
            self.out.findings.remove(row)
            self.out.doubted.append(Row(row.quote, row.start, row.end, row.part, row.side))
            row.review = f"is it a fault of this part ({row.part}, {row.defect})? {row.review}"
            row.part = row.side = None
            self.out.unplaced.append(row)

    def _settle_marks(self) -> None:
        """ "The one with the marks on it. There's a scuff, and a scratch": the marks are those named next."""
        for row in list(self.out.findings):
            named = any(
                0 < r.at - row.at < 25 and r.side == row.side and r.defect != row.defect
                and (row.defect == "mark" or self._akin_faults(row.defect, r.defect))
                for r in self.of_part[row.part]
            )  # fmt: skip
            if named and (self._loose(row) or (row.defect == "mark" and self.doc._.tokens[row.at].plural)):
                self.out.findings.remove(row)
                self.out.passed.append(Passed(row.quote, row.start, "named more closely in what follows"))

    # --- good words -------------------------------------------------------------------------------
    def _good(self, statement: Statement) -> None:
        said = statement.said
        if said.status == "denied":
            defect = self.denied_good.get(self.lexicon.fold(said.form))
            if defect:
                self._finding(statement, defect)
                self.vague.update(id(row) for row in self.out.findings if row.at == said.start)
            elif statement.targets:
                self._unplaced(statement, "a good word is denied, without saying what is wrong", "mark")
            else:
                self._pass(statement, "a good word denied, of no part")
            return
        piece = (
            statement.how == "before" and statement.mention is not None and statement.mention.start >= statement.start
        )
        if said.status == "said" and not said.tentative and (statement.unknown_subject is None or piece):
            self._verdict(statement)  # "side stand, the spring's good, the switch is good"

    def _verdict(self, statement: Statement) -> None:
        if statement.how in ("locative", "none") or (statement.how == "later" and not self._plainly_later(statement)):
            return
        words = quote(self.doc, statement.start, statement.end)
        start, end = times(self.doc, statement.start, statement.end)
        reserved = self._with_reserve(statement)
        for target in statement.targets:
            if reserved:
                self.out.doubted.append(Row(words, start, end, target.part, target.side))
            else:
                verdict = Verdict(words, start, end, target.part, target.side, at=statement.said.start)
                self.out.verdicts.append(verdict)

    def _with_reserve(self, statement: Statement) -> bool:
        """ "Is the tank perfect?", "it would be perfect without that dent", "perfect. I tell a lie": no verdict."""
        said, stop = statement.said, statement.end
        before = {self.doc[i].text for i in range(max(statement.start, said.start - 3), said.start)}
        asked = self.doc._.tokens[stop - 1].mark == "?"
        spoilt = self.lexicon.holds(self.doc[said.end : stop].text, self.lexicon.phrases("good.spoilt"))
        lied = any(
            s - stop <= 3 for s, _ in self.terms.within("withdrawn.returns", said.end, min(len(self.doc), stop + 4))
        )
        lie = self.doc[said.end : min(len(self.doc), stop + 5)].text
        good = statement.said.kind == "good"
        return spoilt or (good and (asked or bool({"would", "'d"} & before))) or (lied and " lie" in f" {lie}")

    def _plainly_later(self, statement: Statement) -> bool:
        """ "Bone dry, that left fork seal": nothing but the part's own small words between."""
        mention, end = statement.mention, statement.said.end
        return mention is not None and all(self.doc[i].text in ATTACH_SKIP for i in range(end, mention.start))

    # --- defects ----------------------------------------------------------------------------------
    def _defect(self, statement: Statement, statements: list[Statement], index: int) -> None:
        said = statement.said
        silent = self.lexicon.fold(said.form) in self.silent and not self._counted(said.start)
        if said.generic and (said.status != "said" or silent):
            if said.status == "denied":
                self._verdict(statement)
            return
        if said.status == "denied":
            self._verdict(statement)
            self._pass(statement, "denied")
        elif said.status == "belief":
            if self.back.taken_back(statement) or self.back.turned(statement):
                self._verdict(statement)
                self._withdraw(statement, None)
            else:
                self._unplaced(statement, "the narrator says it was thought to be there", said.id)
        elif said.status in ("unreal", "other"):
            why = "of another bike" if said.status == "other" else "wished, asked, usual or supposed"
            if self._may_be_said(statement, statements, index):
                self._unplaced(statement, f"is this said of this bike? (taken as {why})", said.id)
            else:
                self._pass(statement, why)
        elif self._promised(statement):
            self._pass(statement, "the name of work to be done")
        elif self.back.was_put_right(statement, statements, index):
            self._put_right(statement)
        else:
            if self._alternative(statement, statements, index):
                return
            back = self.back.taken_back(statement)
            if self.back.reclassed(statement, statements, index):
                self._withdraw(statement, None)
            elif back:
                self._withdraw(statement, back)
            elif not self._explains(statement) and not self._known_already(statement):
                self._remark(statement) if said.generic else self._finding(statement, said.id)

    def _may_be_said(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        """A fault taken as not meant, of a part named outright, with no praise or denial of the part beside it."""
        if statement.said.generic or not named_outright(statement):
            return False
        parts = {t.part for t in statement.targets}
        beside = [*statements[max(0, index - 3) : index], *statements[index + 1 : index + 4]]
        return not any(
            parts & {t.part for t in other.targets}
            and (other.said.kind, other.said.status) in (("good", "said"), ("defect", "denied"))
            for other in beside
        )

    def _known_already(self, statement: Statement) -> bool:
        """ "The brakes are fine, bar that dragging": a fault told before."""
        said = statement.said
        lead = self.doc[max(statement.start, said.start - 1) : said.start].text
        cues = self.terms.within("joining.exceptions", max(statement.start, said.start - 5), said.start)
        known = any(row.defect == said.id for row in self.out.findings)
        if lead == "that" and cues and known:
            self._pass(statement, "speaks of a fault told before")
            return True
        return False

    def _counted(self, start: int) -> bool:
        """ "Deep grooves", "a bit of play": words that mean little alone, said to be there."""
        return bool({self.doc[i].text for i in range(max(0, start - 3), start)} & ROWS_AMOUNTS)

    def _alternative(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        """ "A crack or a mould mark": one fault, of which the narrator is not sure what it is."""
        said = statement.said
        if index and statements[index - 1].said.kind == "defect" and statements[index - 1].targets == statement.targets:
            before = statements[index - 1].said
            gap = [self.doc[i].text for i in range(before.end, said.start)]
            if "or" in gap[:1] and len(gap) <= 3 and before.status == "said":
                for row in self.out.findings:
                    if row.at == before.start:
                        row.tentative = True
                        before_level = self.lexicon.defects[row.defect].severity
                        if worse(before_level, self.lexicon.defects[said.id].severity) != before_level:
                            row.defect = said.id
                self._pass(statement, "another name for the fault just named")
                return True
        return False

    def _remark(self, statement: Statement) -> None:
        """Words that say something is wrong without saying what: they may only speak of what was just said."""
        lead = {self.doc[i].text for i in range(max(statement.start, statement.said.start - 4), statement.said.start)}
        if lead & {"anything", "everything", "whatever"}:
            self._pass(statement, "whatever may be wrong, not what is")
            return
        parts = {t.part for t in statement.targets}
        at = statement.said.start
        sides = {t.side for t in statement.targets if t.side}
        if any(
            0 <= at - row.at < REMARK_REACH
            and (row.part in parts or not parts)
            and (not sides or row.side is None or row.side in sides)
            for row in self.out.findings
        ):
            self._pass(statement, "speaks of the fault just named")
            return
        form = self.lexicon.fold(statement.said.form)
        for target in statement.targets:
            defect = self._becomes(statement, statement.said.id, target)
            if defect != statement.said.id:
                self._finding(statement, defect)
                return
        if statement.how in ("subject", "forward", "before", "selector") and form in self.damage_said:
            self._finding(statement, "mark")
        else:
            self._unplaced(statement, "the narrator does not say what kind of fault", "mark")

    def _promised(self, statement: Statement) -> bool:
        said = statement.said
        return any(0 <= said.start - e <= 1 for _, e in self.terms.cue("promise.will")) and any(
            s <= said.start < e for s, e in self.terms.cue("promise.work")
        )

    def _explains(self, statement: Statement) -> bool:
        """ "a dull patch where it's been rubbed": the second only says what the first is."""
        said = statement.said
        lead = {self.doc[i].text for i in range(max(statement.start, said.start - 4), said.start)}
        keys = {(t.part, t.side) for t in statement.targets}
        same = [r for r in self.out.findings if statement.start <= r.at < said.start and (r.part, r.side) in keys]
        if not same:
            return False
        clause = said.start
        while clause > statement.start and not self.doc._.clauses.before[clause]:
            clause -= 1
        if clause > max(r.at for r in same) and self.doc[clause].text in ROWS_FOLLOWING:
            return True  # "split at the mount, so it flaps about"
        gap = range(max(r.at for r in same) + 1, said.start)
        plain = not any(self.doc[i].text in ("and", "or", "with", "plus") or self.doc._.clauses.before[i] for i in gap)
        return "where" in lead or (plain and len(gap) <= 2 and not self.doc._.clauses.before[said.start])

    # --- making rows ------------------------------------------------------------------------------
    def _span(self, statement: Statement) -> tuple[int, int]:
        """The tokens to quote: the sentence, and the one before where this one is a mere fragment of it."""
        start, end = statement.start, statement.end
        clauses = self.doc._.clauses
        if not self.doc._.punctuated:  # where a statement ends is a guess then: quote more round it
            said = statement.said
            while start and said.start - start < UNPUNCTUATED and clauses.before[start] < 3:
                start = max(clauses.span_of(start - 1)[0], start - UNPUNCTUATED)
            while end < len(self.doc) and end - said.end < UNPUNCTUATED and clauses.before[end] < 3:
                end = min(clauses.span_of(end)[1], end + UNPUNCTUATED)
            return start, end
        if statement.how == "focus" and start and clauses.before[start] < 3:
            s, e = clauses.span_of(start - 1)
            pronoun = self.doc[start].text in ATTACH_PRONOUNS
            if (end - start <= FRAGMENT and e - s <= 2 * FRAGMENT) or (pronoun and e - s <= FRAGMENT + 3):
                start = s
        for _ in range(2):  # "It's got stone chips. There's no way round that. Five or six across the front."
            if end >= len(self.doc) or clauses.before[end] >= 3 or end - start > SHORT:
                break
            s, e = clauses.span_of(end)
            if between(self.terms.things, s, e) or e - s > 2 * FRAGMENT:
                if self.doc[end].text in ATTACH_PRONOUNS and not between(self.terms.things, s, e):
                    end = clauses.span_of(end, 1)[1]  # "That's finished. It's only got one mil on it, so ..."
                break
            end = e
        return start, end

    def _base(self, statement: Statement, defect: str, target: Target | None) -> DefectRow:
        said = statement.said
        span = self._span(statement)
        start, end = times(self.doc, *span)
        row = DefectRow(quote(self.doc, *span), start, end, defect=defect, at=said.start)
        if target:
            row.part, row.side = target.part, target.side
        row.tentative = said.tentative
        row.severity = severity_of(self.doc, self.lexicon, statement, row)
        row.severity_said = severity_said(self.doc, self.lexicon, statement, row.at)
        mention = statement.mention
        if mention and mention.start < statement.start:
            row.part_quote = quote(self.doc, mention.start, mention.end)
        if mention and mention.term and mention.term.heard:
            row.heard_as = mention.term.heard
        same = [old for old in self.of_sentence.get(statement.start, ()) if old.at != said.start]
        sureness(self.doc, statement, row, same)
        row.trace = trace(self.doc, statement, row)
        return row

    def _finding(self, statement: Statement, defect: str) -> None:
        targets = [t for t in statement.targets if t.part]
        if not targets:
            self._unplaced(statement, "no part was named for it", defect)
            return
        for target in targets:
            row = self._base(statement, self._becomes(statement, defect, target), target)
            if not self._merge(row, statement) and not self._goes_on(row, statement):
                self.out.findings.append(row)
                if named_outright(statement) or self.doc[statement.start].text in ATTACH_PRONOUNS:
                    self.firm.add(id(row))  # "They're perished too."
                self.ends[id(row)] = statement.said.end
                self.of_sentence.setdefault(statement.start, []).append(row)
                self.of_part.setdefault(row.part, []).append(row)

    def _goes_on(self, row: DefectRow, statement: Statement) -> bool:
        """Whether the row goes on about a fault of the same part in the same sentence; that one then takes it in."""
        for old in reversed(self.of_part.get(row.part, ())):
            same = old.side == row.side or old.side is None or row.side is None
            if not same or not statement.start <= old.at < row.at:
                continue
            if not self._akin_faults(old.defect, row.defect):
                continue
            if elaborates(self.doc, self.ends.get(id(old), old.at + 1), statement.said.start):
                loose = self._loose(old)
                take_in(old, row, quote(self.doc, statement.said.start, statement.said.end), loose)
                return True
            return False
        return False

    def _akin_faults(self, one: str, other: str) -> bool:
        """Whether two faults can be one, told twice: those of the surface, of the shape, of the working."""
        groups = self.lexicon.trees["defects.toml"]["akin"].values()
        return any(one in group and other in group for group in groups)

    def _loose(self, row: DefectRow) -> bool:
        """Whether a finding was named by words that say little ("had it", "gone", "had a knock")."""
        if id(row) in self.vague:
            return True
        words = self.doc[row.at : self.ends.get(id(row), row.at + 1)].text
        return self.lexicon.holds(words, self.lexicon.phrases("loose.phrases"))

    def _becomes(self, statement: Statement, defect: str, target: Target) -> str:
        form = self.lexicon.fold(statement.said.form)
        for rule in self.lexicon.defects[defect].becomes:
            if target.part in rule["parts"] and form in [self.lexicon.fold(f) for f in rule["forms"]]:
                return str(rule["defect"])
        said = statement.said
        for word, other in self.lexicon.defects[defect].near.items():
            if form[0] != "paint" and any(
                token.text == word
                for token in self.doc[max(statement.start, said.start - 12) : min(statement.end, said.end + 6)]
            ):
                return other
        return defect

    def _merge(self, row: DefectRow, statement: Statement) -> bool:
        """Whether the row only says again what an earlier one said; then that one is kept, and widened."""
        lead = {self.doc[i].text for i in range(max(statement.start, row.at - 4), row.at)}
        for old in self.of_part.get(row.part, ()):
            if old.defect != row.defect:
                continue
            if old.side == row.side or row.side is None or old.side is None:
                if (lead & ROWS_AGAIN and row.at > old.at) or self._apart(old.at, row.at):
                    continue
                old.side = old.side or row.side
                old.tentative = old.tentative and row.tentative
                old.severity = worse(old.severity, row.severity)
                old.severity_said = old.severity_said or row.severity_said
                if row.confidence > old.confidence:
                    old.confidence, old.review = row.confidence, row.review
                if named_outright(statement):
                    self.firm.add(id(old))
                old.trace.append(Step("said again", row.quote, row.defect))
                return True
        return False

    def _apart(self, first: int, second: int) -> bool:
        """A dent on the left of the tank and one on the right of it."""
        sides = []
        for at in (first, second):
            start, end = self.doc._.clauses.span_of(at)
            words = {self.doc[i].text for i in range(max(start, at - 2), min(end, at + 8))}
            sides.append(words & {"left", "right"})
        return bool(sides[0] and sides[1] and not sides[0] & sides[1])

    def _unplaced(self, statement: Statement, reason: str, defect: str) -> None:
        row = self._base(statement, defect, None)
        row.review = reason
        row.confidence = min(row.confidence, 0.4)
        self.out.unplaced.append(row)
        self.out.doubted.extend(Row(row.quote, row.start, row.end, t.part, t.side) for t in statement.targets)

    def _put_right(self, statement: Statement) -> None:
        for target in statement.targets or [Target("")]:
            row = self._base(statement, statement.said.id, target if target.part else None)
            self.out.repaired.append(row)

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
