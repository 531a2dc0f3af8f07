"""Two denials that make one: "there ain't no rust on it", "it don't make no noise", "hasn't got no dents"."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.grammar import CONCORD_BETWEEN, CONCORD_SECOND

#: A denial as (category, start, end).
Denial = tuple[str, int, int]


def in_concord(doc: Doc, denials: list[Denial], said: range, clauses: Clauses) -> list[Denial]:
    """The denials without those that a "no" of the same clause only says once more.

    ``said``: the words that are denied, which may say no themselves ("ain't nothing wrong", "don't read nothing").
    """
    seconds = {d[1] for d in denials} | set(said)
    return [d for d in denials if not _agrees(doc, d, seconds, said, clauses)]


def _agrees(doc: Doc, denial: Denial, seconds: set[int], said: range, clauses: Clauses) -> bool:
    """Whether a verb is denied here, and a word of ``seconds`` says no again before anything else is said."""
    verbs = [i for i in range(denial[1], denial[2]) if doc[i].text.endswith("n't") or doc[i].text == "never"]
    for i in range(verbs[0] + 1, said.stop) if verbs else ():
        if clauses.before[i]:
            return False
        if doc[i].text in CONCORD_SECOND:
            return i in seconds
        if doc[i].text not in CONCORD_BETWEEN and i not in said:
            return False
    return False
