"""Whose piece it is: "the cap's missing off the shock", "the seal on the pannier lid", "the radiator's end tank".

Words such as cap, seal, cover and hose name a part of their own where nothing else is named with them; beside another
part they are a piece of that part.
"""

from spacy.tokens import Doc

from walkround.narration.focus import Mention
from walkround.narration.grammar import ATTACH_SKIP, OWNER_PREPOSITIONS
from walkround.narration.lexicon import Lexicon

#: How many words may stand between a piece and the part that it belongs to.
REACH = 9


def pieces_of(lexicon: Lexicon) -> set[tuple[str, ...]]:
    """The words that beside another part are a piece of it, folded."""
    return {lexicon.fold(form) for form in lexicon.phrases("joining.pieces")}


def find_owners(doc: Doc, pieces: set[tuple[str, ...]], mentions: list[Mention]) -> None:
    """Set ``owner`` of the mentions of a sentence that are a piece of another part named in the same clause."""
    for index, mention in enumerate(mentions):
        if not _is_piece(doc, mention, pieces):
            continue
        before = mentions[index - 1] if index else None
        if before and before.term and not before.weak and not before.other and _compound(doc, before, mention):
            mention.owner = before
            continue
        reach = 0 if _linked(doc, mention) else REACH  # "a dent on the tank": it only tells where
        for after in mentions[index + 1 :]:
            gap = [doc[i].text for i in range(mention.end, after.start)]
            direct = sum(word not in ATTACH_SKIP for word in gap) <= 1
            if (len(gap) > reach and not direct) or any(doc._.clauses.before[mention.end : after.start + 1]):
                break
            if {"and", "another", "one"} & set(gap):
                break
            if after.term and not after.other and not _is_piece(doc, after, pieces):
                if _linked(doc, after):
                    mention.owner = after
                    after.locative = True
                break


def _is_piece(doc: Doc, mention: Mention, pieces: set[tuple[str, ...]]) -> bool:
    term = mention.term
    if term is None or mention.other:
        return False
    return mention.weak or tuple(token.text for token in doc[mention.start : mention.end]) in pieces


def whole_of(lexicon: Lexicon, mention: Mention) -> bool:
    """Whether the piece is a part of its own within the owner's family: the seal on the fork is the fork seal."""
    owner = mention.owner
    if owner is None or owner.term is None or mention.term is None or mention.term.kind != "part":
        return False
    family = lexicon.families.get(owner.term.id)
    members = family.members.values() if family else [owner.term.id]
    return mention.term.id in members


def _compound(doc: Doc, before: Mention, mention: Mention) -> bool:
    """ "the battery strap", "the shock's hose"."""
    gap = [doc[i].text for i in range(before.end, mention.start)]
    return (not gap or gap == ["'s"]) and not any(doc._.clauses.before[before.end : mention.start + 1])


def _linked(doc: Doc, owner: Mention) -> bool:
    """Whether a preposition stands before the name of the owner, its articles and side words."""
    at = owner.start - 1
    while at > 0 and (doc[at].text in ATTACH_SKIP or doc[at].text in ("rider", "pillion")):
        at -= 1
    return at >= 0 and doc[at].text in OWNER_PREPOSITIONS
