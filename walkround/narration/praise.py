"""Good words: when they make a verdict on a part, and when they only leave it in doubt."""

from spacy.tokens import Doc

from walkround.narration.echoes import ANSWER_REACH
from walkround.narration.grammar import PRAISE_PASSED, ROWS_BARE_NO, ROWS_GLASS, ROWS_POINTING
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.model import Reading, Row, Verdict
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: How far behind "hang on" (tokens) the narrator points at what was seen.
POINTING_REACH = 4


#: Parts of the checklist that stand for how something works, and the faults of it whose denial says that it does.
RUNNING = ("brakes-working", "lights-working")
RUNNING_FAULTS = ("not-working", "noise", "wear", "loose", "something-wrong", "bent")


class Praise:
    """Gives the verdicts of a Reading, or doubts them."""

    def __init__(self, doc: Doc, lexicon: Lexicon, told: Told, reading: Reading) -> None:
        self.doc, self.lexicon, self.told, self.out = doc, lexicon, told, reading
        self.terms: Terms = doc._.terms
        self.answers_not = set(lexicon.phrases("good.answers_not"))
        self.nothing_not = set(lexicon.phrases("good.nothing_not"))
        self.used_up = set(lexicon.phrases("good.used_up"))

    def says_little(self, statement: Statement) -> bool:
        """ "The horn, no.": does it not work, or is there nothing wrong? "Nothing on it", of a tyre?"""
        said = statement.said
        bare = said.form in ROWS_BARE_NO and not self._asked_for(statement)
        named = statement.mention is not None and statement.mention.start >= statement.start
        bare_none = said.form == "~good nothing" and named
        used_up = ("nothing on" in said.form or bare_none) and any(t.part in self.used_up for t in statement.targets)
        glass = bool(ROWS_GLASS & {self.doc[i].text for i in range(said.end, min(statement.end, said.end + 3))})
        none = said.id == "nothing" or said.form == "~good nothing"
        unsaid = self.answers_not | (self.nothing_not if said.form == "~good nothing" else set())
        dead = none and not glass and any(t.part in unsaid for t in statement.targets)
        return used_up or dead or (said.id == "answer" and (bare or self.may_be_dead(statement)))

    def may_be_dead(self, statement: Statement) -> bool:
        """ "Horn, nothing": of a part that works or does not, unless something better is said with it."""
        praised = any(
            s is not statement and s.start == statement.start and s.said.kind in ("good", "defect")
            for s in self.told.statements
        )
        return not praised and any(t.part in self.answers_not for t in statement.targets)

    def give(self, statement: Statement) -> None:
        if statement.how in ("locative", "none") or (statement.how == "later" and not self._plainly_later(statement)):
            return
        if self._with_reserve(statement):
            self.doubt(statement)
            return
        words = quote(self.doc, statement.start, statement.end)
        start, end = times(self.doc, statement.start, statement.end)
        for target in statement.targets:
            if statement.said.kind == "defect" and target.part in RUNNING and statement.said.id not in RUNNING_FAULTS:
                continue  # "no leaks anywhere on the brakes" does not say that they work
            verdict = Verdict(words, start, end, target.part, target.side, at=statement.said.start)
            self.out.verdicts.append(verdict)

    def doubt(self, statement: Statement) -> None:
        """The parts are not to be called clear on these words."""
        words = quote(self.doc, statement.start, statement.end)
        start, end = times(self.doc, statement.start, statement.end)
        self.out.doubted.extend(Row(words, start, end, t.part, t.side) for t in statement.targets)

    def _asked_for(self, statement: Statement) -> bool:
        """Whether faults were asked after or denied near by, so that a bare "no" answers that."""
        at = statement.said.start
        near = [s.said for s in self.told.statements if at - ANSWER_REACH <= s.said.start < at + ANSWER_REACH]
        return any(
            s.start != at
            and (s.status == "denied" or "nothing" in s.form or s.id == "answer" or any(c[0] == "any" for c in s.cues))
            for s in near
        )

    def _with_reserve(self, statement: Statement) -> bool:
        """ "Is the tank perfect?", "it would be perfect without that dent", "perfect. I tell a lie": no verdict."""
        said, stop = statement.said, statement.end
        before = {self.doc[i].text for i in range(max(statement.start, said.start - 3), said.start)}
        asked = self.doc._.tokens[stop - 1].mark == "?"
        spoilt = self.lexicon.says(self.doc[said.end : stop].text, "good.spoilt")
        good = statement.said.kind == "good"
        hard = said.form.split()[0] in ("struggle", "hard", "never", "find")  # "you'd struggle to fault either"
        some = self.lexicon.says(self.doc[max(statement.start, said.start - 5) : said.start].text, "good.some")
        return (
            spoilt
            or some
            or (good and (asked or (bool({"would", "'d"} & before) and not hard)))
            or self._turns_back(statement)
        )

    def _turns_back(self, statement: Statement) -> bool:
        """ "Perfect. I tell a lie", "perfect. Oh no, hang on. There.": something was seen after all."""
        said, last = statement.said, min(len(self.doc), statement.end + 4)
        cues = [e for s, e in self.terms.within("withdrawn.returns", said.end, last) if s - statement.end <= 3]
        if not cues:
            return False
        if " lie" in f" {self.doc[said.end : last + 1].text}":
            return True
        end = self.doc._.clauses.span_of(cues[-1] - 1)[1]
        following = {self.doc[i].text for i in range(cues[-1], min(len(self.doc), end + POINTING_REACH))}
        named = any(cues[-1] <= m.start < end + POINTING_REACH for m in self.told.mentions)
        return bool(following & ROWS_POINTING) and not named

    def _plainly_later(self, statement: Statement) -> bool:
        """ "Bone dry, that left fork seal": nothing but the part's own small words between."""
        mention, end = statement.mention, statement.said.end
        if self.doc[end : end + 2].text in ("on it", "in it", "on them", "in them"):
            end += 2  # "it's not got a mark on it, the belly pan"
        return mention is not None and all(self.doc[i].text in PRAISE_PASSED for i in range(end, mention.start))
