"""Which part can bear what was said of it: the piece that has it, the one that can have such a fault, the side told."""

from collections.abc import Callable

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Focus, Mention, Target
from walkround.narration.grammar import (
    ATTACH_COUNTED,
    ATTACH_SIDE_ENDS,
    ATTACH_TO,
    BEARING_AND,
    BEARING_BESIDE,
    BEARING_GOES_ON,
    BEARING_HAS,
    BEARING_LOWER,
    BEARING_MARKS,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.polarity import Said
from walkround.narration.sides import SideWord
from walkround.narration.told import Statement, Told

#: So many parts at once are a group; which of them are meant may be told within so many tokens.
MANY, NEXT_REACH = 3, 24
#: A piece stands within so many tokens of a clause's head; the part that has it was named within so many.
PIECE_REACH, HOLDER_REACH = 5, 70
#: How far behind a noise (tokens) what makes it may be told.
SOUND_REACH = 6
#: How far back (tokens) another part may have been named that a fault is of.
BACK = 30
#: The side that a sentence speaks of stands within so many tokens of its head.
SIDE_HEAD = 5

#: "A plug in the tyre": the part stands within so many tokens of the fault.
NEAR = 3
#: Faults that are called by what made them ("a chain mark", "a strap rub").
MADE_BY = frozenset(("mark", "scuff", "scratch", "stain", "residue"))


class Bearing:
    """Corrects the parts that a state was tied to, by what the lexicon knows of parts and faults."""

    def __init__(
        self, doc: Doc, lexicon: Lexicon, sides: list[SideWord], said: list[Said], focus: Focus, told: Told
    ) -> None:
        self.doc, self.lexicon, self.sides, self.said = doc, lexicon, sides, said
        self.focus, self.told = focus, told
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses

    def fitting(self, targets: list[Target], said: Said) -> list[Target]:
        """Parts that can have such a fault; of a seat that "leaks" something else was meant."""
        defect = self.lexicon.defects[said.id]
        if not defect.fits or any(t.part in defect.fits for t in targets):
            return targets
        return [Target(defect.default_part)] if defect.default_part else []

    def side_said(self, targets: list[Target], start: int, end: int) -> list[Target]:
        """ "The right, nothing. On the left there's a pit": the side that the sentence begins with."""
        words = [w for w in between(self.sides, start, min(end, start + SIDE_HEAD)) if not w.void and not w.one]
        if len(words) != 1 or words[0].value not in ("left", "right") or words[0].end > end:
            return targets
        following = self.doc[words[0].end].text
        if following not in ATTACH_SIDE_ENDS and not self.clauses.ends_at(words[0].end):
            return targets  # "on the left edge", "on the left of it"
        return list(
            dict.fromkeys(Target(t.part, words[0].value) if self.lexicon.parts[t.part].sided else t for t in targets)
        )

    def holders(self, said: Said) -> tuple[str, ...]:
        """The parts that have the piece which the words of a fault name ("the teeth are sharp")."""
        words = [self.doc[i].text for i in range(said.start, said.end)]
        return next((self.lexicon.piece_of[word] for word in words if word in self.lexicon.piece_of), ())

    def with_piece(self, statement: Statement) -> None:
        """ "One badge has a corner lifting", after a brake disc: of the last part that has such a piece."""
        if statement.how != "focus":
            return
        said = statement.said
        clause = self.clauses.span_of(said.start, 1)[0]
        pieces = [self.doc[i].text for i in range(clause, min(said.start, clause + PIECE_REACH))]
        holders = next((self.lexicon.piece_of[piece] for piece in pieces if piece in self.lexicon.piece_of), None)
        behind = holders is None  # "there's a scratch across the lid"
        if behind:
            stop = min(self.clauses.span_of(said.end - 1, 1)[1], said.end + PIECE_REACH)
            pieces = [self.doc[i].text for i in range(said.end, stop)]
            holders = next((self.lexicon.piece_of[piece] for piece in pieces if piece in self.lexicon.piece_of), None)
        if holders is None or any(t.part in holders for t in statement.targets):
            return
        if not behind:
            statement.targets = self.focus.targets = []
        for mention in reversed(between(self.told.mentions, said.start - HOLDER_REACH, said.start)):
            held = [t for t in mention.targets if t.part in holders]
            if held:
                statement.targets, statement.mention = held, mention
                self.focus.targets = held  # "lid's faded, that was red once"
                return

    def sounded(self, statement: Statement) -> None:
        """ "Hear that rattle? That's the bash plate": a noise is heard first, and then said what makes it."""
        said = statement.said
        if said.id != "noise" or (statement.mention and statement.mention.start >= statement.start):
            return
        at = said.end
        while at < min(len(self.doc), said.end + SOUND_REACH) and not self.clauses.before[at]:
            at += 1
        if self.doc[at : at + 2].text not in ("that 's", "it 's", "that is", "it is"):
            return
        made = [t for t in between(self.terms.things, at + 2, at + 4) if t.kind == "part" and not t.weak]
        if made and not between(self.said, at, self.clauses.span_of(at)[1]):
            statement.targets, statement.how = [Target(made[0].id)], "forward"

    def with_coat(self, statement: Statement) -> None:
        """ "Tank. The cap locks. The paint's been done, there's a run in it": of the tank, not of the cap."""
        parts = {t.part for t in statement.targets}
        if statement.how not in ("focus", "before") or not parts or parts - self.lexicon.surface_of.keys():
            return
        text = self.doc[statement.start : statement.said.end].text
        if self.lexicon.holds(text, self.lexicon.coats):
            statement.targets = [Target(part) for part in dict.fromkeys(self.lexicon.surface_of[p] for p in parts)]

    def on_surface(self, statement: Statement) -> None:
        """ "The tank, lovely paint, only there's a ding under the filler cap": on the tank that the cap sits in."""
        said, mention = statement.said, statement.mention
        if statement.how != "forward" or mention is None or mention.term is None:
            return
        surface = self.lexicon.surface_of.get(mention.term.id)
        lead = {self.doc[i].text for i in range(max(said.end, mention.start - 4), mention.start)}
        if surface is None or said.id not in self.lexicon.surface_faults or not lead & BEARING_BESIDE:
            return
        for earlier in between(self.told.mentions, statement.start, said.start):
            if any(t.part == surface for t in earlier.targets):
                statement.targets, statement.mention = list(earlier.targets), earlier

    def told_next(self, statement: Statement) -> None:
        """ "Plastics. There's scratches. Front mudguard, the shrouds, ...": of the parts that are named next."""
        parts = {t.part for t in statement.targets}
        if statement.how != "focus" or len(parts) < MANY:
            return
        start, end = statement.said.end, min(len(self.doc), statement.said.end + NEXT_REACH)
        named = {t.id for t in between(self.terms.things, start, end) if t.kind == "part"}
        for term in between(self.terms.things, start, end):
            family = self.lexicon.families.get(term.id)
            named |= set(family.members.values()) if family else set()
        if parts & named:
            statement.targets = [t for t in statement.targets if t.part in named]

    def capable(self, statement: Statement) -> None:
        """A fault that the part cannot have is of the part named before it, if that one can, else of no part."""
        said, able = statement.said, self.able(statement.said, statement.targets)
        if able == statement.targets:
            return
        inside = statement.how in ("subject", "before")  # "swingarm, the chain's been rubbing"
        if not able and (statement.how == "focus" or inside) and not statement.unknown_subject:
            first = max(statement.start, said.start - BACK) if inside else said.start - BACK
            for mention in reversed(between(self.told.mentions, first, said.start)):
                able = [] if mention.other else self.able(said, mention.targets)
                if able:
                    statement.how, statement.mention = "later", mention  # a guess: a person is asked
                    break
        statement.targets, statement.beside = able, list(statement.targets)

    def within(self, statement: Statement, mentions: list[Mention], resolve: Callable[[Mention], None]) -> None:
        """ "The back wheel's had a plug in the tyre": of the part it is in, where the other cannot have it."""
        said = statement.said
        if not statement.targets or self.able(said, statement.targets):
            return
        for mention in mentions:
            gap = {self.doc[i].text for i in range(said.end - 1, mention.start)}
            near = said.end < mention.start <= said.end + NEAR and gap & ATTACH_TO
            if near and not any(self.clauses.before[said.end : mention.start + 1]):
                resolve(mention)
                able = self.able(said, mention.targets)
                statement.targets, statement.mention = able or statement.targets, mention
                return

    def made_by(self, before: list[Mention], said: Said) -> bool:
        """ "The swingarm's got a chain mark on it", "some strap marks": what made the mark, where a part was named."""
        if len(before) < 2 or said.id not in MADE_BY or before[-1].end != said.start or before[-1].term is None:
            return False
        counted = self.doc[before[-1].start - 1].text in ATTACH_COUNTED
        return counted and before[-2].how == "named" and not self.clauses.before[before[-1].start]

    def able(self, said: Said, targets: list[Target]) -> list[Target]:
        """Those of the parts that can have such a fault."""
        never = self.lexicon.defects[said.id].never
        form = self.lexicon.fold(said.form)
        return [t for t in targets if t.part not in never or self.lexicon.becomes(said.id, form, t.part) != said.id]

    def later_side(self, target: Target, said: Said, mentions: list[Mention], end: int) -> Target:
        """The side said after the fault: "... missing off the front left caliper", "that's the right one"."""
        part = self.lexicon.parts.get(target.part)
        if part is None or not part.sided or target.side is not None:
            return target
        stop = min([s.start for s in between(self.said, said.end, end)], default=end)
        for mention in mentions:
            if said.end <= mention.start < stop:
                sides = {t.side for t in mention.targets if t.part == target.part and t.side}
                if mention.term is None and mention.value in ("left", "right"):
                    sides = {mention.value}
                if len(sides) == 1:
                    return Target(target.part, sides.pop())
        return target

    def later_half(self, targets: list[Target], said: Said, end: int) -> list[Target]:
        """ "Seat. It's had a slash, on the back half": which half of it, told behind the fault."""
        stop = min([s.start for s in between(self.said, said.end, end) if s.kind != "measure"], default=end)
        text = self.doc[said.end : stop].text
        for family in self.lexicon.families.values():
            front = family.members.get("front")
            if family.rear_places and any(t.part == front for t in targets) and len(targets) == 1:
                if self.lexicon.holds(text, family.rear_places):
                    return [Target(family.members["rear"])]
                if self.lexicon.holds(text, family.whole):
                    return [Target(part) for part in family.members.values()]
        return targets

    def one_of_two(self, statement: Statement) -> list[Target]:
        """ "Mirrors, one's loose": of one of them, and which one was not said."""
        at = statement.said.start
        clause = self.clauses.span_of(at, 1)[0]
        first = next((i for i in range(clause, at) if self.doc[i].text not in BEARING_AND), at)
        one = (
            self.doc[first].text == "one"
            and first + 1 < at
            and (self.doc[first + 1].text in BEARING_HAS or self.doc[first + 1 : first + 3].text == "of them")
        )
        return [Target(t.part) if one and t.side == "both" else t for t in statement.targets]

    def nearest_side(self, target: Target, statement: Statement, end: int) -> Target:
        """ "Clean on the left and on the right there's a scrape", "the tubes are clean, bar a pit on the left"."""
        part, at = self.lexicon.parts.get(target.part), statement.said.start
        if part is None or not part.sided:
            return target
        words = [w for w in between(self.sides, statement.start, at) if not w.void and w.value in ("left", "right")]
        if any(w.one for w in words):
            return target
        mention, after = statement.mention, between(self.sides, statement.said.end, min(end, statement.said.end + 3))
        here = mention is not None and mention.start >= statement.start and mention.how == "named"
        plural = here and mention is not None and self.doc._.tokens[mention.end - 1].plural
        behind = [w for w in after if w.value in ("left", "right") and self._on_the(w) and self._ends(w)]
        if plural and behind:
            return Target(target.part, behind[0].value)
        told = any(statement.start <= s.start < words[-1].start for s in self.said) if words else False
        two = len({w.value for w in words}) == 2 and told and self._on_the(words[-1])
        return Target(target.part, words[-1].value) if two else target

    def _ends(self, word: SideWord) -> bool:
        """Whether a side word ends what is said, or goes on with where: not "on the left edge", "on the left of it"."""
        return self.clauses.ends_at(word.end) or self.doc[word.end].text in BEARING_GOES_ON

    def _on_the(self, word: SideWord) -> bool:
        return self.doc[word.start - 2 : word.start].text in ("on the", "at the", "to the")

    def bearer(self, target: Target, said: Said) -> Target:
        """The engine as it runs has no scratches: its casing has."""
        part = self.lexicon.parts.get(target.part)
        generic = self.lexicon.defects[said.id].generic and not BEARING_MARKS & set(said.form.split())
        if part is None or not part.otherwise or said.id in part.bears or generic:
            return target
        side = self.focus.side_here if self.lexicon.parts[part.otherwise].sided else None
        return Target(part.otherwise, side)

    def surface(self, target: Target, said: Said) -> Target:
        """ "Engine. On the left, no marks at all": of its casing, whose the marks would be."""
        part = self.lexicon.parts.get(target.part)
        if part is None or not part.otherwise or not BEARING_MARKS & {t.text for t in self.doc[said.start : said.end]}:
            return target
        return Target(part.otherwise, target.side if self.lexicon.parts[part.otherwise].sided else None)

    def refine(self, targets: list[Target], said: Said, mention: Mention | None = None) -> list[Target]:
        """Some words settle which of a family is meant: forks that leak leak at the seals."""
        placed = [self.doc[i].text for i in range(mention.start, mention.end)] if mention else []
        if mention and mention.how == "named" and BEARING_LOWER & set(placed):
            return targets  # "the lower legs are pitted"
        word = said.id if said.kind == "defect" else said.form
        if said.id == "nothing" and self.doc[said.end - 1].text not in ("on", "the"):
            word = "dry"  # "nothing out of the forks"
        called = mention.term.id if mention and mention.term else ""
        for family in self.lexicon.families.values():
            wanted = family.when.get(word)
            if not wanted or not targets:
                continue
            bare = {family.bare, family.plural} if called == family.id else {family.bare}
            if said.form == "~good no-oil":
                bare |= set(family.members.values())  # "tubes, no pits on either and no oil"
            refined = [Target(wanted, t.side) if t.part in bare else t for t in targets]
            if refined != targets:
                return refined
        return targets
