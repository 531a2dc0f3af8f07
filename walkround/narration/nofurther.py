"""Words for a fault that tell of no further one: excused, told before, explaining, gone, or another name for it."""

from spacy.tokens import Doc

from walkround.narration.grammar import (
    ROWS_AGAIN,
    ROWS_FOLLOWING,
    ROWS_FURTHER,
    ROWS_IT,
    ROWS_SOMEBODY,
    ROWS_USED_TO,
    ROWS_WHEN,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.making import Making
from walkround.narration.matches import between
from walkround.narration.model import Reading
from walkround.narration.numbers import number_at
from walkround.narration.sequel import follows, goes_with, may_be_behind, recent, supposed_behind
from walkround.narration.severity import worse
from walkround.narration.sizes import only_praised
from walkround.narration.text import times
from walkround.narration.told import Statement, Told

#: How far back (tokens) lies what "it's gone" may speak of.
GONE_REACH = 20
#: What was taken for a fault may be wiped off within so many seconds.
GONE_SECONDS = 4.0
#: How far back (tokens) a fault lies of which it is told how it came about.
DOING_REACH = 25


class NoFurther(Making):
    """Knows of a fault's words whether they speak of a fault already told, or of none."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        super().__init__(doc, lexicon, told, reading)
        self.one_thing = [
            set(f.members.values()) for f in lexicon.families.values() if not f.axis_words and not f.group_word
        ]

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
        return bool(renewed) and self.lexicon.says(words, "loose.differences")

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
