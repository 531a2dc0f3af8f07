"""From statements to rows: what each amounts to."""

from spacy.tokens import Doc

from walkround.narration.certainty import named_outright
from walkround.narration.grammar import ROWS_AMOUNTS, ROWS_THERE
from walkround.narration.lexicon import Lexicon
from walkround.narration.model import Reading
from walkround.narration.nofurther import NoFurther
from walkround.narration.polarity import NEITHER_REACH
from walkround.narration.sequel import recent
from walkround.narration.sizes import AGE_ASKED
from walkround.narration.told import Statement, Told

#: How far back (tokens) a remark ("that wants doing") may speak of a fault already named.
REMARK_REACH = 45


class RowMaker(NoFurther):
    """Makes the rows of a Reading from what was tied."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        super().__init__(doc, lexicon, told, reading)
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
                if not self._neither_way(statement, statements[index - 1 : index]):
                    self._good(statement)
            else:
                self._defect(statement, statements, index)
        self.keeper.finish(self.out)

    def _neither_way(self, statement: Statement, before: list[Statement]) -> bool:
        """ "It isn't slack and it isn't tight": the good word is denied as the fault was, and all is well."""
        said, opposite = statement.said, self.denied_good.get(self.lexicon.fold(statement.said.form))
        if said.status != "denied" or not before or before[0].said.status != "denied":
            return False
        return before[0].said.id == opposite and said.start - before[0].said.end <= NEITHER_REACH

    def _good(self, statement: Statement) -> None:
        said = statement.said
        if said.status == "denied":
            family = self.patterns.rule(said.form)
            defect = family.defect if family else self.denied_good.get(self.lexicon.fold(said.form))
            if defect:
                self._finding(statement, defect)
            elif statement.targets:
                self._unplaced(statement, "a good word is denied, without saying what is wrong", "mark")
            else:
                self._pass(statement, "a good word denied, of no part")
            return
        piece = (
            statement.how == "before" and statement.mention is not None and statement.mention.start >= statement.start
        )
        words = self.doc[said.start : said.end].text
        if said.status == "said" and self.lexicon.says(words, "good.no_fault"):
            parts = {t.part for t in statement.targets}
            self.out.passed.extend(self.keeper.forget_difference(parts, statement.start, said.start))
        if self.praise.says_little(statement):
            self.praise.doubt(statement)
            if "nothing" in self.doc[said.start : said.end].text and any(
                t.part in self.praise.answers_not for t in statement.targets
            ):
                self._unplaced(statement, "does it not work, or is there nothing wrong with it?", "not-working")
        elif said.status == "said" and not said.tentative and (statement.unknown_subject is None or piece):
            self.praise.give(statement)  # "side stand, the spring's good, the switch is good"

    def _defect(self, statement: Statement, statements: list[Statement], index: int) -> None:
        said = statement.said
        silent = self.lexicon.fold(said.form) in self.silent and not self._counted(said.start)
        weak = statement.mention is not None and statement.mention.weak
        if weak and said.id == "missing" and "with" in self.doc[said.start : said.end].text.split():
            self._pass(statement, "does not come with the bike")  # "that cover on the floor's not with it"
            return
        if said.generic and (said.status != "said" or silent):
            if said.status == "denied":
                self.praise.give(statement)
            return
        if said.status == "denied":
            self.keeper.only_coloured({t.part for t in statement.targets}, statement.start, said.start, said.id)
            self.praise.give(statement)
            self._pass(statement, "denied")
        elif said.status == "belief":
            if self.back.taken_back(statement) or self.back.turned(statement):
                self.praise.give(statement)
                self._withdraw(statement, None)
            else:
                self._unplaced(statement, "the narrator says it was thought to be there", said.id)
        elif said.status in ("unreal", "other"):
            why = "of another bike" if said.status == "other" else "wished, asked, usual or supposed"
            if self._may_be_said(statement, statements, index):
                self._unplaced(statement, f"is this said of this bike? (taken as {why})", said.id)
            else:
                self._pass(statement, why)
                if any(cue[0] in ("of a person", "a deed") for cue in said.cues):
                    self.praise.doubt(statement)  # should it be of the part after all, then the part is not clear
        elif self._aged_well(statement):
            self._unplaced(statement, AGE_ASKED, said.id, doubt=False)
        elif self._excused(statement, statements):
            self._unplaced(
                statement, "only how it looks, and a good word with it: is it a fault?", said.id, doubt=False
            )
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
                self.praise.give(statement)
                self._withdraw(statement, back)
            elif self._sequel(statement):
                return
            elif not self._gone(statement) and not self._explains(statement) and not self._known_already(statement):
                self._remark(statement) if said.generic else self._finding(statement, said.id)

    def _may_be_said(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        """A fault taken as not meant, of a part named outright, with no praise or denial of the part beside it."""
        if statement.said.generic or not named_outright(statement):
            return False
        parts = {t.part for t in statement.targets}
        beside = [*statements[max(0, index - 3) : index], *statements[index + 1 : index + 4]]
        if statement.said.status == "other":
            beside = statements  # the talk comes to the part of this bike sooner or later
        return not any(
            parts & {t.part for t in other.targets}
            and (other.said.kind, other.said.status) in (("good", "said"), ("defect", "denied"))
            for other in beside
        )

    def _counted(self, start: int) -> bool:
        """ "Deep grooves", "there's a lip": words that mean little alone, said to be there."""
        lead = [self.doc[i].text for i in range(max(0, start - 3), start)]
        there = lead[-1:] in (["a"], ["an"]) and lead[-2:-1] and lead[-2] in ROWS_THERE
        return there or bool(set(lead) & ROWS_AMOUNTS)

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
            (row.part in parts or not parts) and (not sides or row.side is None or row.side in sides)
            for row in recent(self.keeper.rows, at, REMARK_REACH)
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
