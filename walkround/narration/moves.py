"""Where the camera goes: "Round the back, ...", "Left-hand side first", "Right.".

A place at the head of a sentence sets the side or the end of the bike for what follows. A place later in the
sentence only tells where a mark is.
"""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import Focus, Target
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms, between
from walkround.narration.owners import pieces_of
from walkround.narration.polarity import Said
from walkround.narration.sides import SideWord

#: A sentence of so few words that names a side and nothing else says where one stands.
SHORT = 6
#: So many tokens back the part was named that is meant on the other side too.
PARTNER_REACH = 30


class Moves:
    """Follows the camera; ``moves`` collects (token, place)."""

    def __init__(
        self,
        doc: Doc,
        lexicon: Lexicon,
        sides: list[SideWord],
        said: list[Said],
        focus: Focus,
        moves: list[tuple[int, str]],
    ) -> None:
        self.doc, self.lexicon, self.sides, self.said = doc, lexicon, sides, said
        self.focus, self.moves = focus, moves
        self.terms: Terms = doc._.terms
        self.clauses: Clauses = doc._.clauses
        self.pieces = pieces_of(lexicon)

    def read(self, start: int, end: int) -> None:
        """Take the moves of a sentence before anything else in it is read."""
        self._move(start, end)
        self._bare_move(start, end)

    def _move(self, start: int, end: int) -> None:
        """A place at the head of a sentence moves the camera: "Round the back, ...", "Left-hand side first"."""
        first_state = min([s.start for s in between(self.said, start, end)], default=end)
        first_thing = min([t.start for t in between(self.terms.things, start, end)], default=end)
        limit = min(first_state, first_thing, start + 9)
        for value in ("front", "rear"):
            for s, e in self.terms.within(f"place.{value}.phrases", start, end):
                if s <= limit and e <= max(limit, s + 1) + 3 and s <= start + 7:
                    self.focus.move("end", value, s)
                    self.moves.append((s, value))
        for word in between(self.sides, start, min(limit, start + 7) + 1):
            if (
                word.end <= end
                and not word.void
                and (not word.one or word.moving)
                and word.value in ("left", "right", "other", "this")
            ):
                at_head = (
                    (word.place and not self._placed(start, word.start))
                    or word.moving
                    or self._leads(start, word.start)
                )
                if at_head and word.end <= limit and not self._on_a_piece(start, word):
                    value = word.value
                    if value == "this" or (value == "other" and self.focus.targets and word.start > start + 4):
                        continue
                    if value == "other":
                        here = self.focus.side_here or self.focus.last_side
                        value = {"left": "right", "right": "left"}.get(here or "", "")
                    if value:
                        partner = self._partner(value, start, end)
                        self.focus.move("side", value)
                        self.focus.targets = partner
                        self.moves.append((word.start, value))
                        word.moved = True

        self._side_picked(start, end)
        for i in range(start, min(end, start + 30)):
            if i > min(first_state, first_thing):
                return  # "there's a crack starting low on the right"
            if self.doc[i].text in ("start", "starting", "begin", "beginning"):
                near = [w for w in between(self.sides, i + 1, i + 5) if w.value in ("left", "right")]
                if near:
                    self.focus.move("side", near[0].value)
                return

    def _placed(self, start: int, index: int) -> bool:
        """ "The chrome on the right-hand side has gone": where on something, no move."""
        words = [self.doc[i].text for i in range(start, index)]
        lead, place = words[:-2], words[2:]
        return any(a in ("the", "a", "this") and c in ("on", "down", "at") for a, c in zip(lead, place, strict=True))

    def _partner(self, value: str, start: int, end: int) -> list[Target]:
        """ "Side panel's good. T'other side, that's melted": the same part on the other side, where none is named."""
        spoken = bool(between(self.said, start, end))
        named = any(t.kind != "other" for t in between(self.terms.things, start, end))
        pair = [t for t in self.focus.targets if t.side in ("left", "right") and t.side != value]
        return (
            [Target(t.part, value) for t in pair]
            if spoken and not named and start - self.focus.at < PARTNER_REACH
            else []
        )

    def _on_a_piece(self, start: int, word: SideWord) -> bool:
        """ "The rubber on the left side's peeling": where on the part, not where the camera goes."""
        words = [self.doc[i].text for i in range(start, word.start)]
        placed = len(words) > 3 and words[-2] in ("on", "at", "down", "along") and words[-1] == "the"
        pieces = {w[0] for w in self.pieces if len(w) == 1} | set(self.lexicon.piece_of)
        return placed and words[0] in ("the", "its", "a", "one", "that") and bool(pieces & set(words[1:-2]))

    def _side_picked(self, start: int, end: int) -> None:
        """ "It's the left that's been down", "I'll do the right while I'm stood here"."""
        for word in between(self.sides, start, end):
            if word.value not in ("left", "right") or word.void or word.start < start + 2:
                continue
            lead = [self.doc[word.start - 2].text, self.doc[word.start - 1].text]
            that = word.end < end and self.doc[word.end].text in ("that", "which", "side")
            if lead[1] == "the" and ((lead[0] in ("'s", "is", "was") and that) or lead[0] in ("do", "doing", "take")):
                self.focus.move("side", word.value)
                self.moves.append((word.start, word.value))
                return

    def _bare_move(self, start: int, end: int) -> None:
        """A sentence that is nothing but a place: "Back." "Left side." "Right." """
        said = {w.value for w in between(self.sides, start, end) if not w.void and w.end <= end} - {"this"}
        empty = not between(self.said, start, end) and not between(self.terms.things, start, end)
        if empty and end - start <= SHORT and len(said) == 1 and said & {"left", "right"}:
            self.focus.move("side", min(said))  # "This side, the left."
            self.moves.append((start, min(said)))
            return
        lead = [t.text for t in self.doc[start : min(end, start + 3)]]
        if empty and lead in (["on", "the", "left"], ["on", "the", "right"]):
            self.focus.move("side", lead[2])  # "On the right nothing's ever happened to it."
            self.moves.append((start, lead[2]))
            return
        words = [
            t.text
            for t in self.doc[start:end]
            if t.text not in ("and", "now", "then", "so", "the", "ok", "hand", "side", "end", "to", "at", "on")
        ]
        if len(words) != 1 or not self.doc._.punctuated:
            return
        for axis, forms in self.lexicon.axis.items():
            if words[0] in forms:
                self.focus.move("end", axis, start)
                self.moves.append((start, axis))
        if words[0] in ("left", "right"):
            self.focus.move("side", words[0])
            self.moves.append((start, words[0]))

    def _leads(self, start: int, index: int) -> bool:
        words = {self.doc[i].text for i in range(start, index)}
        return bool(
            words
            & {
                "start",
                "starting",
                "begin",
                "go",
                "going",
                "come",
                "coming",
                "moving",
                "down",
                "up",
                "over",
                "round",
            }
        )
