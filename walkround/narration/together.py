"""Several parts meant at once: "both", "either of them", a list of names, what was measured one after the other."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Focus, Mention, Target
from walkround.narration.grammar import ATTACH_GLUE, ATTACH_SKIP
from walkround.narration.lexicon import Lexicon
from walkround.narration.polarity import Said
from walkround.narration.told import Told


class Together:
    """Widens what a state was tied to, where its words mean more than the part named last."""

    def __init__(self, doc: Doc, lexicon: Lexicon, focus: Focus, told: Told) -> None:
        self.doc, self.lexicon, self.focus, self.told = doc, lexicon, focus, told
        self.clauses: Clauses = doc._.clauses

    def they(self, clause: int, said: Said, meant: list[Target]) -> list[Target]:
        """ "They" after "five mil on the front and six on the back" means both."""
        words = {self.doc[i].text for i in range(clause, said.start)}
        if said.kind == "good":
            words |= {"both"} & {self.doc[i].text for i in range(said.start, min(len(self.doc), said.end + 1))}
        group = self.focus.group
        if said.kind == "good" and len(meant) == 1 and meant[0].side in ("left", "right") and self._of_either(said):
            return [Target(meant[0].part, "both")]
        together = self._measured(clause, said, words, meant)
        if together:
            return together
        old = "old" in self.doc[said.start : said.end + 1].text.split()  # "they're nine years old" heard as "there are"
        if (
            (words & {"they", "them", "those", "both"} or (old and {"there", "are"} <= words))
            and len(meant) == 1
            and meant[0].part in {t.part for t in group}
            and said.start - self.focus.group_at < 40
        ):
            return list(group)
        return meant

    def _of_either(self, said: Said) -> bool:
        """ "There's nothing wrong with either", "no oil on either of them"."""
        words = [self.doc[i].text for i in range(max(said.start, said.end - 3), min(len(self.doc), said.end + 1))]
        if "of" in words or words[-1] not in ("either", "both", "any"):
            return " ".join(words).endswith(("either of them", "both of them", "any of them"))
        return self.clauses.ends_at(said.end + 1) or self.clauses.ends_at(said.end)

    def _measured(self, clause: int, said: Said, words: set[str], meant: list[Target]) -> list[Target]:
        """ "Four mil on the front, four on the back, so both of those pass": of all just measured."""
        start = self.clauses.span_of(said.start)[0]
        words = words | {self.doc[i].text for i in range(said.start, said.end)}
        bare = words <= {self.doc[i].text for i in range(said.start, said.end)} and clause == said.start
        if said.kind != "good" or not (bare or words & {"they", "both", "those", "them"}):
            return []
        sized = [s for s in self.told.statements if s.said.kind == "measure" and start <= s.said.start < said.start]
        found = list(dict.fromkeys(t for s in sized for t in s.targets))
        others = any(s.said.kind != "measure" for s in self.told.statements if start <= s.said.start < said.start)
        return found if len(found) == 2 and set(meant) <= set(found) and not others else []

    def group(self, mentions: list[Mention], said: Said) -> list[Target]:
        """The last mention with those joined to it: "chain and sprockets", "tank, seat, panels, all clean"."""
        rest = {self.doc[i].text for i in range(mentions[-1].end, max(mentions[-1].end, said.start))}
        rest |= {self.doc[said.start].text}
        every = bool(rest & {"all", "both"}) and not rest & {"but", "except"}
        group = [mentions[-1]]
        if group[0].how == "selector":
            return list(group[0].targets)
        for earlier in reversed(mentions[:-1]):
            gap = range(earlier.end, group[0].start)
            words = [self.doc[i].text for i in gap]
            joined = bool({"and", "or", "plus", "with", "also", "then"} & set(words))
            glued = joined and all(word in ATTACH_GLUE for word in words)
            short = all(word in ATTACH_SKIP for word in words)
            listed = short and (len(group) > 1 or every) and self.clauses.before[earlier.end] == 1
            if not (glued or listed) or earlier.how != "named" or earlier.other:
                break
            group.insert(0, earlier)
        self._share_side(group)
        targets: list[Target] = []
        for mention in group:
            targets.extend(t for t in mention.targets if t not in targets)
        return targets

    def _share_side(self, group: list[Mention]) -> None:
        """ "The left mirror, bar end and grip": a side said of the first belongs to all of the list."""
        side = group[0].targets[0].side if group[0].targets else None
        for mention in group[1:] if side in ("left", "right") else ():
            mention.targets = [
                Target(t.part, side) if t.side is None and self.lexicon.parts[t.part].sided else t
                for t in mention.targets
            ]
