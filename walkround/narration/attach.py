"""Tying what is said to the part that is meant, statement by statement, with the focus carried along."""

from collections.abc import Iterable
from dataclasses import replace

from spacy.tokens import Doc

from walkround.narration.ahead import Ahead
from walkround.narration.bearing import Bearing
from walkround.narration.clauses import Clauses
from walkround.narration.focus import Focus, Mention, Target
from walkround.narration.grammar import (
    ATTACH_DENYING,
    ATTACH_PRONOUNS,
    ATTACH_REACHING,
    ATTACH_SKIP,
    ATTACH_TO,
)
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.moves import Moves
from walkround.narration.names import Names
from walkround.narration.particulars import to_come
from walkround.narration.patterns import patterns_of
from walkround.narration.polarity import Said
from walkround.narration.selectors import select
from walkround.narration.sides import SideWord
from walkround.narration.together import Together
from walkround.narration.told import Statement, Told


class Attacher:
    """Reads a Doc with terms, clauses, sides and polarity from front to back."""

    def __init__(self, doc: Doc, lexicon: Lexicon, sides: list[SideWord], said: list[Said]) -> None:
        self.doc, self.lexicon, self.sides = doc, lexicon, sides
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses
        self.said = said
        self.focus = Focus(lexicon)
        self.told = Told(families=[set(family.members.values()) for family in lexicon.families.values()])
        self.moves = Moves(doc, lexicon, self.sides, said, self.focus, self.told.moves)
        self.names = Names(doc, lexicon, sides, said, self.focus, self.told.mentions)
        self.ahead = Ahead(doc, said, self.focus)
        self.bearing = Bearing(doc, lexicon, sides, said, self.focus, self.told)
        self.together = Together(doc, lexicon, self.focus, self.told)
        self.patterns = patterns_of(lexicon)
        self.good_of: dict[str, set[str]] = {}
        for part, forms in lexicon.trees["phrases.toml"]["good"]["of_only"].items():
            for form in forms:
                self.good_of.setdefault(form, set()).add(part)

    def read(self) -> Told:
        """Tie every state of the Doc."""
        for start, end in self.clauses.sentences:
            self.moves.read(start, end)
            self._sentence(start, end)
        return self.told

    # --- a sentence -------------------------------------------------------------------------------
    def _sentence(self, start: int, end: int) -> None:
        mentions = self.names.find(start, end)
        states = list(between(self.said, start, end))
        events: list[tuple[int, int, object]] = [(m.start, 0, m) for m in mentions]
        events += [(s.start, 1, s) for s in states]
        done: list[Mention] = []
        for _, _, event in sorted(events, key=lambda e: (e[0], e[1])):
            if isinstance(event, Mention):
                self.names.resolve(event, start, end)
                if event.targets or event.other:
                    done.append(event)
                    self.told.mentions.append(event)
                    absent = len(done) > 1 and self.doc[event.start - 1].text == "no"  # "two levers, no clutch"
                    if not event.locative and not absent and not self._after_state_inside(event, states):
                        self.focus.take(event)
            elif isinstance(event, Said):
                self._tie(event, mentions, done, start, end)

    def _after_state_inside(self, mention: Mention, states: list[Said]) -> bool:
        """A part that only ends a clause whose subject is another part ("a scratch on the mirror's casing")."""
        before = [s for s in states if s.end <= mention.start]
        lead = [self.doc[i].text for i in range(max(0, mention.start - 2), mention.start)]
        means = lead in (
            ["on", "a"],
            ["with", "a"],
            ["by", "a"],
            ["on", "an"],
            ["with", "an"],
        )  # "up and down on a button"
        return bool(before) and (mention.weak or (means and before[-1].kind == "good" and not mention.owner))

    # --- a state ----------------------------------------------------------------------------------
    def _tie(self, said: Said, mentions: list[Mention], done: list[Mention], start: int, end: int) -> None:
        statement = self._find(said, mentions, done, start, end)
        if said.status == "other" and self._fellow_meant(statement):
            said.status = "said"
        own = said.own_part
        default = self.lexicon.defects[said.id].default_part if said.kind == "defect" else None
        if (
            default
            and own is None
            and statement.how in ("focus", "none")
            and (said.status == "denied" or not statement.targets)
        ):
            own = default
        mention = statement.mention
        if said.id == "left to" and mention and mention.start >= start:
            own = None  # "the chain's nice and quiet"
        how = ("subject", "forward")  # "the rim has a flat spot", "a bulb's out in the tail light"
        outright = said.kind == "defect" and statement.how in how and mention and mention.term
        named = outright and mention and mention.how == "named" and not mention.weak  # "the rim has a flat spot"
        toothed = {t.part for t in statement.targets} & set(self.bearing.holders(said))
        if own and toothed and own not in toothed and statement.how != "focus":
            return  # sharp teeth are a fault of a sprocket, none of a footrest
        if own and all(t.part != own for t in statement.targets) and not named:
            statement.targets, statement.how = [Target(own)], "subject"
            self.focus.take(Mention(said.start, said.end, statement.targets))
        if statement.how in ("focus", "before") and (mention is None or mention.start < start):
            statement.targets = self.bearing.side_said(statement.targets, start, said.start)
        if said.kind == "alone" and statement.how == "focus":
            statement.targets = self._side_within(said, statement.targets)
        statement.targets = self.bearing.refine(statement.targets, said, mention)
        if said.kind == "defect":
            targets = statement.targets
            statement.targets = [t if t.part == own else self.bearing.bearer(t, said) for t in targets]
        elif said.kind == "good":
            statement.targets = [self.bearing.surface(t, said) for t in statement.targets]
        statement.targets = self.bearing.one_of_two(statement)
        statement.targets = [self.bearing.later_side(target, said, mentions, end) for target in statement.targets]
        statement.targets = [self.bearing.nearest_side(target, statement, end) for target in statement.targets]
        if said.kind == "defect" and statement.how in ("focus", "before"):
            statement.targets = self.bearing.later_half(statement.targets, said, end)
        family = self.patterns.rule(said.form)
        fits = family is not None and any(t.part in family.only for t in statement.targets)
        if said.kind == "defect" and statement.how in ("focus", "locative", "later") and not fits:
            statement.targets = self.bearing.fitting(statement.targets, said)
        if family and family.only and not any(t.part in family.only for t in statement.targets):
            last = said.within[-1] if said.within else None
            if last and to_come(self.doc, self.lexicon, replace(said, id=last.id, start=last.start, end=last.end)):
                return  # "will run out in March"
            if last:
                self._tie(self._plain(said), mentions, done, start, end)  # "took a knock" of a tank; an engine knocks
            self.told.unfitting.add(said.start)
            return  # "reads full" of a gauge is a fault, of anything else it is talk
        following = statement.mention is not None and statement.mention.start == said.end
        if family and family.next and not (following and statement.how == "forward"):
            return  # "we've put a new bolt in the left panel"
        able = self.good_of.get(said.form) if said.kind == "good" else None
        if able and not any(t.part in able for t in statement.targets):
            return  # "gets hot" is praise of a heated grip only
        if said.kind == "defect" and said.status == "said":
            self.bearing.with_piece(statement)
            self.bearing.on_surface(statement)
            self.bearing.sounded(statement)
            self.bearing.with_coat(statement)
            self.bearing.within(statement, mentions, lambda m: self._resolve_once(m, start, end))
            self.bearing.capable(statement)
            self.bearing.told_next(statement)
        if said.kind == "good" and said.status == "said" and "new" in said.form.split() and statement.targets:
            also = self.ahead.renewed_with(said, mentions)
            if also:
                self._resolve_once(also, start, end)
                statement.targets += [t for t in also.targets if t not in statement.targets]
        self.told.statements.append(statement)

    def _plain(self, said: Said) -> Said:
        """What else the words of a family mean, where it cannot be of the part: another family, or plain words."""
        *rest, term = said.within
        generic = self.lexicon.defects[term.id].generic
        within = tuple(rest) if term.reach else ()
        plain = replace(said, id=term.id, generic=generic, form=term.form, own_part=term.own_part, within=within)
        if ATTACH_DENYING & {self.doc[i].text for i in range(said.start, term.start)} and plain.status == "said":
            plain.status = "denied"  # "not a squeak" says of a horn that it is dead, of a shock that it is quiet
        return plain

    def _find(self, said: Said, mentions: list[Mention], done: list[Mention], start: int, end: int) -> Statement:
        def made(targets: Iterable[Target], how: str, mention: Mention | None = None) -> Statement:
            return Statement(said, list(targets), how, start, end, mention)

        clause = self._clause_start(said, start)
        before = [m for m in done if not m.locative and m.end <= said.start + 1 and (m.targets or m.other)]
        before = before[:-1] if self.bearing.made_by(before, said) else before
        subject = [m for m in before if m.start >= clause]
        within = [m for m in mentions if said.kind == "alone" and said.start <= m.start < said.end]
        if within:  # "Not the right", "not on the left mirror"
            self._resolve_once(within[0], start, end)
            return made(within[0].targets, "selector", within[0])
        reaching = said.kind == "good" and self.doc[said.end - 1].text in ATTACH_REACHING
        if said.kind in ("measure", "again") or said.id == "nothing" or reaching:
            chosen = self.ahead.find(said, mentions, end)
            if reaching and chosen and not self._at_once(said, chosen):
                chosen = None
            if chosen and (said.kind != "measure" or chosen.how == "selector"):
                chosen.weak = chosen.weak and said.kind != "again"  # "and some more of it on the tail"
                self._resolve_once(chosen, start, end)
                if chosen.targets:
                    return made(chosen.targets, "forward", chosen)
        relative = (clause > start and self.doc[clause].text in ("where", "which")) or self.doc[clause - 1].text in (
            "where",
            "which",
        )
        if relative and before and not subject:
            return made(before[-1].targets, "before", before[-1])
        if subject and subject[-1].other and said.status == "said":
            thing = self.ahead.find(said, mentions, end) or self.ahead.object_of(said, mentions)
            if thing:
                self._resolve_once(thing, start, end)
                return made(thing.targets, "forward", thing)
        if subject and any(s.end <= subject[-1].start for s in between(self.said, clause, said.start)):
            further = self.ahead.find(said, mentions, end)  # "a dent in the tank and a scuff on the tail"
            if further:
                self._resolve_once(further, start, end)
                if further.targets:
                    return made(further.targets, "forward", further)
        if subject:
            return made(
                self.together.group(before, said),
                "selector" if subject[-1].how == "selector" else "subject",
                subject[-1],
            )
        pronoun = self.names.pronoun(clause, said.start)
        anaphor = (
            said.end + 1 < end
            and self.doc[said.end].text in ATTACH_TO
            and self.doc[said.end + 1].text in ATTACH_PRONOUNS
            and not any(m.start == said.end + 2 for m in mentions)  # "on that windscreen"
        )
        there = "there" in [token.text for token in self.doc[clause : min(clause + 3, said.start)]]
        told = bool(before) and not there  # "and there's a bit of fluid round the cap of the reservoir"
        forward = None if anaphor else self.ahead.find(said, mentions, end, pronoun, told)
        if forward:
            self._resolve_once(forward, start, end)
            if forward.targets:
                return made(forward.targets, "forward", forward)
        if not before and not pronoun and said.status == "said":
            thing = self.ahead.object_of(said, mentions)  # "salt has eaten the front spokes"
            if thing:
                self._resolve_once(thing, start, end)
                if thing.targets:
                    return made(thing.targets, "forward", thing)
        unknown = None if pronoun else self._unknown_subject(clause, said)
        if said.kind == "good" and self._whole_bike(clause, said, end):
            return made([], "none")
        if not before and said.status != "said" and (self._whole_side(start, said) or self._all_over(said, end)):
            return made([], "none")
        if before and not before[-1].other:
            picked = [m.how for m in before].count("selector") == 1  # "the back's on old spokes and they're rusty"
            meant = self.together.group(before, said)
            tied = meant if picked and said.kind == "defect" else self.together.they(clause, said, meant)
            statement = made(tied, "before", before[-1])
        elif before:
            statement = made([], "none")
        elif self.focus.targets:
            statement = made(self.together.they(clause, said, self.focus.targets), "focus")
        else:
            near = [m for m in done if m.targets] or [m for m in mentions if m.start >= said.end and m.term]
            if not near:
                return made([], "none")
            self._resolve_once(near[0], start, end)
            statement = made(near[0].targets, "locative" if near[0].locative else "later", near[0])
        statement.unknown_subject = unknown
        return statement

    def _side_within(self, said: Said, targets: list[Target]) -> list[Target]:
        """ "Not on the right": the side that the denial names."""
        words = [w.value for w in between(self.sides, said.start, said.end) if not w.void]
        if words and words[0] in ("left", "right", "other"):
            return select(self.focus, words[0], said.start)
        return targets

    def _at_once(self, said: Said, mention: Mention) -> bool:
        """ "No oil at the seals", "nothing wrong with the left one": the part follows at once."""
        gap = range(said.end, mention.start)
        return mention.start >= said.end and all(self.doc[i].text in ATTACH_SKIP for i in gap)

    def _resolve_once(self, mention: Mention, start: int, end: int) -> None:
        if mention.term is None or not mention.targets:
            self.names.resolve(mention, start, end)
        mention.locative = False

    def _clause_start(self, said: Said, start: int) -> int:
        """The start of the clause that holds a state: back to a comma or an opener, not through a list."""
        i = said.start
        while i > start:
            if self.clauses.before[i] >= 1:
                return i
            i -= 1
        return start

    def _unknown_subject(self, clause: int, said: Said) -> str | None:
        """A noun that opens the clause and that the lexicon does not know: "the alarm's loose"."""
        first = clause
        while first < said.start and self.doc[first].text in (
            "and",
            "but",
            "so",
            "because",
            "then",
            "well",
            "now",
        ):
            first += 1
        if first < said.start - 1 and self.doc[first].text in ("the", "your", "his"):
            return self.doc[first + 1].text
        return None

    def _whole_side(self, start: int, said: Said) -> bool:
        """ "All this side's the same, but without the crack": said of a side, of no part."""
        return any(w.place for w in between(self.sides, start, min(said.start, start + 6)))

    def _whole_bike(self, clause: int, said: Said, end: int) -> bool:
        return any(
            clause <= s and e <= end and s - said.end < 4 for s, e in self.terms.within("good.whole_bike", clause, end)
        )

    def _all_over(self, said: Said, end: int) -> bool:
        """ "No oil leaks anywhere": of the whole bike, not of the part that was spoken of before."""
        return self.lexicon.says(self.doc[said.start : end].text, "good.all_over")

    def _fellow_meant(self, statement: Statement) -> bool:
        """ "The left one's shiny. The one over there's got dots on it": the other one of this bike, no other bike."""
        mention, cues = statement.mention, statement.said.cues
        if mention is None or mention.value != "other" or not any(t.side for t in statement.targets):
            return False
        return any(mention.start <= s < mention.end for _, s, _ in cues)
