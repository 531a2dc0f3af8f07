"""From statements to rows: what each amounts to, and the row that is made of it."""

from spacy.tokens import Doc

from walkround.narration.certainty import named_outright, sureness, trace
from walkround.narration.focus import Target
from walkround.narration.grammar import (
    ROWS_AGAIN,
    ROWS_AMOUNTS,
    ROWS_FOLLOWING,
    ROWS_FURTHER,
    ROWS_IT,
    ROWS_SOMEBODY,
    ROWS_THERE,
    ROWS_USED_TO,
    ROWS_WHEN,
)
from walkround.narration.keeping import Keeper
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.model import DefectRow, Passed, Reading, Row, TakenBack
from walkround.narration.numbers import number_at
from walkround.narration.patterns import patterns_of
from walkround.narration.polarity import NEITHER_REACH
from walkround.narration.praise import Praise
from walkround.narration.quoting import span_of
from walkround.narration.sequel import follows, goes_with, may_be_behind, recent, supposed_behind
from walkround.narration.severity import severity_of, severity_said, worse
from walkround.narration.sizes import only_praised
from walkround.narration.takeback import TakeBack
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: How far back (tokens) the part may be named whose piece has the fault.
PIECE_REACH = 15
#: How far back (tokens) a remark ("that wants doing") may speak of a fault already named.
REMARK_REACH = 45
#: How far back (tokens) lies what "it's gone" may speak of.
GONE_REACH = 20
#: What was taken for a fault may be wiped off within so many seconds.
GONE_SECONDS = 4.0
#: How far before and behind a fault of no part (tokens) the parts stand that it may be of.
STRAY_BEFORE, STRAY_BEHIND = 25, 6
#: How far back (tokens) a fault lies of which it is told how it came about.
DOING_REACH = 25


class RowMaker:
    """Makes the rows of a Reading from what was tied."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        self.doc, self.lexicon, self.told, self.out = doc, lexicon, told, reading
        self.terms: Terms = doc._.terms
        self.back = TakeBack(doc, told)
        self.keeper = Keeper(doc, lexicon)
        self.praise = Praise(doc, lexicon, told, reading)
        self.patterns = patterns_of(lexicon)
        self.silent = {lexicon.fold(f) for d in lexicon.defects.values() for f in d.silent}
        self.damage_said = {
            lexicon.fold(f) for f in ("damage", "damaged", "accident damage", "crash damage", "drop damage")
        }
        self.one_thing = [
            set(f.members.values()) for f in lexicon.families.values() if not f.axis_words and not f.group_word
        ]
        self.differences = lexicon.phrases("loose.differences")
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

    # --- good words -------------------------------------------------------------------------------
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

    # --- defects ----------------------------------------------------------------------------------
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
            self._pass(statement, "an age, and what follows speaks for the tyre")
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

    def _aged_well(self, statement: Statement) -> bool:
        """ "Six years old but it's not cracked, and it's got heaps of tread"; ten years and more are kept."""
        said = statement.said
        if said.id != "out-of-date" or not any(t.part.endswith("-tyre") for t in statement.targets):
            return False
        old = self.lexicon.trees["measures.toml"]["age"]["tyre_years_kept"]
        ages = [number_at(self.doc._.folds, i) for i in range(said.start, said.end)]
        young = any(n and n.whole is not None and n.whole < old for n in ages)
        return young and only_praised(self.doc, self.told, said.end)

    def _excused(self, statement: Statement, statements: list[Statement]) -> bool:
        """ "It doesn't match, but there's nothing wrong with it", "a new one, it's a different white"."""
        words = self.doc[statement.said.start : statement.said.end].text
        if not self.lexicon.says(words, "good.excuses"):
            return False
        parts = {t.part for t in statement.targets}
        near = between(statements, statement.start, statement.end, lambda s: s.said.start)
        redone = set(self.lexicon.phrases("good.redone"))
        return any(
            (s.said.kind, s.said.status) == ("good", "said")
            and s.said.form not in redone
            and parts & {t.part for t in s.targets}
            for s in near
        )

    def _sequel(self, statement: Statement) -> bool:
        """What follows from a fault just told, or may lie behind it, is no further fault."""
        rows, akin = self.keeper.rows, self.one_thing
        if follows(self.doc, statement, rows, akin):
            self._pass(statement, "says what the fault just told amounts to")
            return True
        why = goes_with(self.doc, statement, rows)
        if why:
            self._pass(statement, why)
            return True
        if self._newer(statement):
            self._unplaced(statement, "is it a fault, or does it only differ because it is newer?", statement.said.id)
            return True
        if may_be_behind(self.doc, statement, rows, akin) or supposed_behind(
            self.doc, statement, rows, akin, self.out.unplaced
        ):
            self._unplaced(statement, "is this what the fault just told may be, or another one?", statement.said.id)
            return True
        return False

    def _newer(self, statement: Statement) -> bool:
        """ "The mudguard's a new one, it's a different white": it differs since it is newer."""
        said = statement.said
        if said.id not in ("mark", "fading"):
            return False
        words = self.doc[said.start : said.end].text
        renewed = self.terms.within("repaired.renewed", statement.start, said.start)
        return bool(renewed) and self.lexicon.holds(words, self.differences)

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

    def _known_already(self, statement: Statement) -> bool:
        """ "The brakes are fine, bar that dragging": a fault told before."""
        said = statement.said
        if said.start == statement.start or self.doc[said.start - 1].text != "that":
            return False
        cues = self.terms.within("joining.exceptions", max(statement.start, said.start - 5), said.start)
        if cues and any(row.defect == said.id for row in self.keeper.rows):
            self._pass(statement, "speaks of a fault told before")
            return True
        return False

    def _counted(self, start: int) -> bool:
        """ "Deep grooves", "there's a lip": words that mean little alone, said to be there."""
        lead = [self.doc[i].text for i in range(max(0, start - 3), start)]
        there = lead[-1:] in (["a"], ["an"]) and lead[-2:-1] and lead[-2] in ROWS_THERE
        return there or bool(set(lead) & ROWS_AMOUNTS)

    def _alternative(self, statement: Statement, statements: list[Statement], index: int) -> bool:
        """ "A crack or a mould mark": one fault, of which the narrator is not sure what it is."""
        said = statement.said
        if index and statements[index - 1].said.kind == "defect" and statements[index - 1].targets == statement.targets:
            before = statements[index - 1].said
            gap = [self.doc[i].text for i in range(before.end, said.start)]
            if "or" in gap[:1] and len(gap) <= 3 and before.status == "said":
                for row in self.keeper.rows:
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

    def _explains(self, statement: Statement) -> bool:
        """ "a dull patch where it's been rubbed": the second only says what the first is."""
        said = statement.said
        lead = {self.doc[i].text for i in range(max(statement.start, said.start - 4), said.start)}
        keys = {(t.part, t.side) for t in statement.targets}
        near = recent(self.keeper.rows, said.start, said.start - statement.start)
        same = [row for row in near if (row.part, row.side) in keys]
        if not same:
            return self._somebodys_doing(statement)
        clause = said.start
        while clause > statement.start and not self.doc._.clauses.before[clause]:
            clause -= 1
        named = statement.mention is not None and statement.mention.start >= clause
        if not named and {self.doc[i].text for i in range(clause, said.start)} & ROWS_SOMEBODY:
            return True  # "it's scraped by the adjuster, somebody's let the spanner slip"
        joined = range(max(r.at for r in same) + 1, said.start - 1)  # "..., and when you push it you hear a whine"
        further = any(self.doc[i].text in ROWS_FURTHER and self.doc[i + 1].text in ROWS_WHEN for i in joined)
        off = said.id == "missing" and self.patterns.rule(said.form) is not None  # "because one of the bolts has gone"
        if clause > max(r.at for r in same) and self.doc[clause].text in ROWS_FOLLOWING and not (further or off):
            return True  # "split at the mount, so it flaps about"
        gap = range(max(r.at for r in same) + 1, said.start)
        plain = not any(self.doc[i].text in ("and", "or", "with", "plus") or self.doc._.clauses.before[i] for i in gap)
        return (
            "where" in lead
            or self._how_it_came(clause, said.start)
            or (plain and len(gap) <= 2 and not self.doc._.clauses.before[said.start])
        )

    def _how_it_came(self, clause: int, at: int) -> bool:
        """ "Nicks in it where the old chain was slapping off it": what did it, or used to, is no further fault."""
        words = [self.doc[i].text for i in range(clause, at + 1)]
        if "where" not in words:
            return False
        cause = words[words.index("where") + 1 :]
        apart = {"and", "or", "with", "plus", "but"} & set(cause)
        return not apart and (cause[-1].endswith("ing") or bool(ROWS_USED_TO & set(cause[:-1])))

    def _gone(self, statement: Statement) -> bool:
        """ "A squeal, then it settles. There, gone", "we've polished it and it is gone": the fault is, not the part."""
        said = statement.said
        if statement.how not in ("focus", "before"):
            return False
        at, parts = times(self.doc, said.start, said.end)[0], {t.part for t in statement.targets}
        if said.id == "missing" and any(
            row.part in parts and 0 <= at - row.taken_back_at <= GONE_SECONDS for row in self.out.withdrawn
        ):
            self._pass(statement, "what was taken for a fault is gone")  # "a crack. No, that's a hair, it's come off."
            return True
        if "gone" not in said.form.split():
            return False
        clause = self.doc._.clauses.span_of(said.start, 1)[0]
        plain = {self.doc[i].text for i in range(clause, said.start)} <= ROWS_IT
        near = range(said.start - GONE_REACH, said.start)
        passing = [r for r in self.keeper.rows if r.at in near and r.defect == "noise"]
        if plain and any(r.at in near for r in self.out.repaired):
            self._pass(statement, "the fault just named is gone")
            return True
        if plain and passing:
            self._unplaced(statement, "is it the noise that is gone, or something off the part?", said.id)
            return True
        return False

    def _somebodys_doing(self, statement: Statement) -> bool:
        """ "A crack at the bolt hole. Somebody has overtightened it": how the fault just told came about."""
        said, parts = statement.said, {t.part for t in statement.targets}
        told = any(r.part in parts for r in recent(self.keeper.rows, said.start, DOING_REACH - 1))
        words = {self.doc[i].text for i in range(statement.start, said.start)}
        outright = statement.mention is not None and statement.mention.start >= statement.start
        if not told or outright or not words & ROWS_SOMEBODY or words & ROWS_AGAIN:
            return False
        if self.terms.within("guess.phrases", statement.start, said.start):
            self._pass(statement, "a guess at how the fault just told came about")
        else:
            self._unplaced(statement, "is this how the fault just told came about, or another one?", said.id)
        return True

    # --- making rows ------------------------------------------------------------------------------
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
