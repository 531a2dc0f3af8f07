"""The names of parts in a sentence, and the words that stand for one: what each of them means here."""

from dataclasses import replace
from itertools import pairwise

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.comparing import akin, cause, compared, head_of, measured_by
from walkround.narration.focus import Focus, Mention, Target, axis_beside, family_targets, side_of
from walkround.narration.grammar import ATTACH_PRONOUNS, NAMES_FIRST, NAMES_THAT
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Term, Terms, between
from walkround.narration.owners import find_owners, pieces_of, whole_of
from walkround.narration.polarity import Said
from walkround.narration.selectors import find_selectors, select
from walkround.narration.sides import SideWord, own_side
from walkround.narration.text import quote
from walkround.narration.whereabouts import beside, is_locative, taken_off, tells_of

#: How far back (tokens) the side of a part may have been told.
SIDE_REACH = 40
#: How far back (tokens) the part may have been spoken of that a piece belongs to.
NEAR_REACH = 45
#: "One's fine, the other one's worn": the first of two may stand so many tokens before the other.
ONE_REACH = 14
#: Which piece of a part is meant is told within so many tokens behind its name.
PLACE_REACH = 12
#: So far back (tokens) may the part have been spoken of whose piece is named now.
NEXT_REACH = 25
#: What made a mark is told within so many tokens of it.
CAUSE_REACH = 14
#: "Engine guards, that's your chrome bars": how many words lie between the name and the plainer one.
GLOSS_REACH = 6
#: Words that are a piece of a part just spoken of or nothing.
PIECES_ONLY = frozenset({"leg", "guard", "rail"})


class Names:
    """Finds and resolves mentions; ``mentions`` are those read so far."""

    def __init__(
        self,
        doc: Doc,
        lexicon: Lexicon,
        sides: list[SideWord],
        said: list[Said],
        focus: Focus,
        mentions: list[Mention],
    ) -> None:
        self.doc, self.sides, self.said, self.focus, self.mentions = doc, sides, said, focus, mentions
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses
        self.selectors = find_selectors(doc, sides, self.terms, self.clauses, lexicon)
        self.lexicon = lexicon
        self.pieces = pieces_of(lexicon)

    def find(self, start: int, end: int) -> list[Mention]:
        found: list[Mention] = []
        for term in between(self.terms.things, start, end):
            if (
                term.end < end
                and self.doc[term.end].text == "one"
                and term.axis is None
                and not self.clauses.before[term.end]
            ):
                continue  # "the heated seat one": it only describes
            if any(w.place and w.start <= term.start and term.end < w.end for w in self.sides):
                continue  # "on the clutch side"
            if term.kind == "other" and term.start - self.clauses.span_of(term.start, 1)[0] > 3:
                continue  # only as a subject does another thing draw words to itself
            if measured_by(self.doc, term.start) or self._only_compared(term, found) or self._only_cause(term):
                continue
            mention = Mention(term.start, term.end, [], term, weak=term.weak, other=term.kind == "other")
            mention.locative = is_locative(self.doc, term, self.terms, self.clauses)
            if term.kind == "family" and term.weak and axis_beside(self.focus, self.doc, term, start, end):
                mention.weak = False  # "corrosion on the hub at the back": it names its wheel
            if term.heard:
                mention.how = "heard"
            if tells_of(self.doc, term.start):
                mention.meant, mention.weak, mention.locative = "instruments", False, False
            if term.form in PIECES_ONLY and self._near(term):
                mention.weak = False  # "chrome covers on the legs"
            found.append(mention)
        taken = {i for m in found for i in range(m.start, m.end)}
        for s, e, value in self.selectors:
            named = value == "other" and e in taken and not self.clauses.before[e]  # "the other mirror"
            if start <= s < end and s not in taken and not named and not self._end_of_part(s, value, found):
                told = any(x.kind == "defect" and x.status == "said" for x in between(self.said, start, s))
                if not told and compared(self.doc, s) and (self.focus.targets or any(m.start < s for m in found)):
                    continue  # "rear tyre's the same as the front, it's cracked"
                found.append(Mention(s, e, [], None, how="selector", value=value))
        found.sort(key=lambda m: m.start)
        found = self._without_glosses(found, start)
        find_owners(self.doc, self.pieces, found)
        self._beside(found)
        strong = [m for m in found if not m.locative]
        aside = bool(found) and bool(self.focus.targets) and taken_off(self.doc, found[0].start, self.clauses)
        if not strong and found and not aside and not self.pronoun(start, found[0].start):
            found[0].locative = self._only_where(found[0], start)
        return found

    def _only_where(self, mention: Mention, start: int) -> bool:
        """ "Tank. The lacquer's peeling in front of the cap": a mark beside a part, on what is spoken of."""
        faults = [s for s in between(self.said, start, mention.start) if s.kind == "defect"]
        if not faults or faults[-1].id not in self.lexicon.surface_faults:
            return False
        if not mention.term:
            return False
        head = head_of(self.doc, mention.start)
        under = head > 0 and self.doc[head - 1].text in ("under", "underneath", "beneath", "below")
        under = under and mention.term.id in self.lexicon.surface_of  # "a ding just under the filler cap"
        if not under and not beside(self.doc, mention.start, self.terms):
            return False
        mention.meant = self.lexicon.surface_of.get(mention.term.id)
        return bool(self.focus.targets) and mention.meant is None

    def _only_compared(self, term: Term, found: list[Mention]) -> bool:
        """ "The right silencer, like the left silencer, is rusty"."""
        if not compared(self.doc, term.start):
            return False
        return akin(self.lexicon, term, [m.term.id for m in found if m.term] + [t.part for t in self.focus.targets])

    def _only_cause(self, term: Term) -> bool:
        """ "A scratch on the lid, I believe from a luggage strap": after a mark that can be made so."""
        if not cause(self.doc, term.start):
            return False
        before = [s for s in between(self.said, term.start - CAUSE_REACH, term.start) if s.kind == "defect"]
        return bool(before) and before[-1].id in self.lexicon.surface_faults

    def _without_glosses(self, found: list[Mention], start: int) -> list[Mention]:
        """ "Engine guards, that's your chrome bars there": the same thing in plainer words, no other part."""
        kept = found[:1]
        for after in found[1:]:
            before = kept[-1]
            words = [self.doc[i].text for i in range(before.end, after.start)]
            headed = before.term is not None and before.start - start <= 2 and after.term is not None
            glossed = words[:1] and words[0] in NAMES_THAT and words[1:2] and words[1] in ("'s", "is", "are", "'re")
            plain = words[2:3] and words[2] in ("the", "your", "them", "those", "these", "my")
            silent = not between(self.said, before.end, after.start) and after.start - before.end <= GLOSS_REACH
            if not (headed and glossed and plain and silent and self.clauses.before[before.end]):
                kept.append(after)
        return kept

    def _end_of_part(self, at: int, value: str, found: list[Mention]) -> bool:
        """ "Front fender, there's a crease at the bottom edge on the back": where on the part, not another part."""
        if value not in ("front", "rear") or at < 2 or self.doc[at - 1].text != "the":
            return False
        clause = self.clauses.span_of(at, 1)[0]
        faults = [s for s in between(self.said, clause, at) if s.kind == "defect"]
        between_them = range(faults[-1].end, at - 1) if faults else range(0)
        if not between_them or {self.doc[i].text for i in between_them} & {"and", "but", "one", "then"}:
            return False
        before = [m for m in found if m.start < faults[-1].start and not m.locative]
        last = before[-1] if before else None
        return last is not None and (last.term is None or last.term.axis is not None or last.term.kind == "part")

    def _beside(self, found: list[Mention]) -> None:
        """ "Coolant hose there at the back of the rad": the second only tells where the first is."""
        for before, after in pairwise(found):
            gap = range(before.end, after.start)
            if before.locative or before.weak or after.locative or not before.term or not after.term:
                continue
            if not gap or len(gap) > 8 or any(self.clauses.before[i] for i in range(before.end, after.start + 1)):
                continue
            words = [self.doc[i].text for i in gap]
            quiet = not between(self.said, before.start, after.start) and not {"and", "or", "but"} & set(words)
            if quiet and any(
                w in ("at", "of", "in", "for", "behind", "under", "below", "above", "near", "by") for w in words
            ):
                after.locative = True

    def resolve(self, mention: Mention, start: int, end: int) -> None:
        term = mention.term
        if term is None:
            mention.targets = mention.targets or self._selected(mention)
            return
        if mention.other:
            return
        if mention.owner is not None:
            if not mention.owner.targets:
                self.resolve(mention.owner, start, end)
            owned = mention.owner.targets
            if whole_of(self.lexicon, mention) and mention.term:
                owned = [Target(mention.term.id, t.side) for t in owned]
            mention.targets = list(dict.fromkeys(owned))
            mention.locative = False
            return
        if mention.weak and self._of_it(mention.end):
            mention.targets, mention.weak = self._piece_of_last(mention), False
            if mention.targets:
                return
        if mention.weak and (self._explained(mention, start) or self._describes(mention)):
            return
        if mention.meant:
            mention.targets = [Target(mention.meant)]
            return
        near = self._near(term)
        held = self._piece_of_last(mention) if near is None else []
        if held:
            mention.targets, mention.weak = held, False
            return
        if near is None and term.form in PIECES_ONLY:
            return
        upto = min([t.start for t in between(self.terms.things, term.end, term.end + 60)], default=len(self.doc))
        ids = family_targets(self.focus, term, self.doc, start, end) if term.kind == "family" else [near or term.id]
        ids = [self._placed(i, term, end) for i in ids]
        found = [side_of(self.focus, i, term, self.doc, self.sides, self.clauses, upto) for i in ids]
        mention.targets = [
            Target(i, side or self._side_told(i, term.start)) for i, side in zip(ids, found, strict=True)
        ]

    def _selected(self, mention: Mention) -> list[Target]:
        """What "the left one" or "the other one" stands for."""
        apart = any(self.clauses.before[i] >= 2 for i in range(self.focus.at, mention.start + 1))
        ones = self.doc[mention.end - 1].text == "one"
        targets = select(self.focus, mention.value, mention.start, apart, ones)
        if ones and quote(self.doc, mention.end - 1, mention.end).lower().strip(".,;") == "ones":
            sided = [t for t in targets if t.side is None and self.lexicon.parts[t.part].sided]
            targets = [replace(t, side="both") if t in sided else t for t in targets]  # "the rear ones"
        first = {self.doc[i].text for i in range(max(0, mention.start - ONE_REACH), mention.start)} & NAMES_FIRST
        if mention.value != "other" or len(targets) != 1 or first:
            return targets
        fellow = self.focus.fellow(targets[0])
        return [fellow] if fellow else targets

    def _near(self, term: Term) -> str | None:
        """What a word such as "slider" or "panel" is a piece of: the part just spoken of that has one."""
        holders = self.lexicon.near.get(term.form)
        if holders is None:
            return None
        for mention in reversed(between(self.mentions, term.start - NEAR_REACH, term.start)):
            named = {t.part for t in mention.targets}
            for part, seen in holders.items():
                if not mention.other and named & set(seen):
                    return part
        return None

    def _placed(self, part: str, term: Term, end: int) -> str:
        """ "The exhaust, where it comes out of the engine, has gone blue": the header."""
        rules = self.lexicon.placed.get(part, {})
        if term.form not in rules.get("names", ()):
            return part
        stop = min([end, term.end + PLACE_REACH, *self._joined(term.end, end)])
        text = self.doc[term.start : stop].text
        return next((p for p, words in rules.items() if p != "names" and self.lexicon.holds(text, words)), part)

    def _joined(self, start: int, end: int) -> list[int]:
        """Where something further is said."""
        return [i for i in range(start, end) if self.doc[i].text in ("and", "but")]

    def _piece_of_last(self, mention: Mention) -> list[Target]:
        """ "I missed the mirror. The glass is there but the casing's cracked": of what was spoken of last."""
        term = mention.term
        holders = self.lexicon.next_to.get(term.form) if term and term.axis is None else None  # not "the front rim"
        of_it = mention.weak and self._of_it(mention.end)
        if term is None or (holders is None and not of_it):
            return []
        before = [m for m in between(self.mentions, mention.start - NEXT_REACH, mention.start) if not m.locative]
        if not before or not set(self.focus.targets) & set(before[-1].targets):
            return []
        if own_side(self.doc, term, self.sides, self.clauses):
            return []
        if term.plural and "of" not in [t.text for t in self.doc[max(0, mention.start - 2) : mention.start]]:
            return []  # "the covers", "the pegs": those of the bike; "one of the pegs that hold it"
        many = len(before[-1].targets) > 1 or before[-1].targets[0].side == "both"
        if many and self.clauses.before[head_of(self.doc, mention.start)] >= 2:
            return []  # "Mirrors are fine. Casing's scratched."
        return [t for t in before[-1].targets if of_it or (holders and t.part in holders)]

    def _of_it(self, end: int) -> bool:
        """ "The chrome rim round it": a piece of what was spoken of last, whatever it is."""
        words = [self.doc[i].text for i in range(end, min(end + 2, len(self.doc)))]
        return len(words) == 2 and words[0] in ("round", "around", "of", "on") and words[1] == "it"

    def _side_told(self, part: str, start: int) -> str | None:
        """The side that was told a moment ago: "Pipes are on the right. The lower muffler ..." """
        if not self.lexicon.parts[part].sided:
            return None
        for mention in reversed(between(self.mentions, start - SIDE_REACH, start)):
            for target in mention.targets:
                if target.part == part:
                    return target.side if target.side in ("left", "right") else None
        return None

    def _explained(self, mention: Mention, start: int) -> bool:
        """A weak word is explained by a part already named in the sentence."""
        before = [m for m in between(self.mentions, start, mention.start) if m.targets]
        if not before:
            return False
        assert mention.term is not None
        family = self.lexicon.families.get(mention.term.id)
        if family and mention.term.form in family.inner:
            return True
        if own_side(self.doc, mention.term, self.sides, self.clauses) in ("left", "right"):
            return False
        clause = self.clauses.span_of(mention.start, 1)
        gap = {self.doc[i].text for i in range(before[-1].end, mention.start)}
        own = bool(between(self.said, before[-1].start, mention.start)) or before[-1].locative
        apart = clause[0] >= before[-1].end and (own or bool(gap & {"and", "but", "so"}))  # not "mirror, the casing's"
        predicate = bool(between(self.said, mention.end, clause[1])) or (
            self.clauses.ends_at(mention.end) and mention.end in self.clauses.openers
        )
        return not (apart and predicate and mention.start - clause[0] <= 4)

    def _describes(self, mention: Mention) -> bool:
        """A weak word before another noun only describes it ("cap screws")."""
        return any(s == mention.end and not self.clauses.before[s] for s, _ in self.terms.cue("joining.small_things"))

    def pronoun(self, start: int, end: int) -> bool:
        return any(self.doc[i].text in ATTACH_PRONOUNS for i in range(start, end))
