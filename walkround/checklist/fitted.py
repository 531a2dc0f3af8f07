"""Which parts the bike does not have: by hand, by its kind, or by what the narration says of how it is built."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from walkround.checklist.items import Checklist
from walkround.narration.lexicon import Lexicon
from walkround.speech.transcript import Transcript, Word

#: Words before and after a match that are quoted with it, and how far before it a denial may stand.
AROUND, DENIED_WITHIN = 6, 4


@dataclass(frozen=True)
class Heard:
    """Words that were looked for and found, with their place."""

    quote: str
    start: float
    source: int
    denied: bool
    at: int  #: number of the first word in its film


@dataclass
class Fitting:
    """What the bike does not have, with the reason in words, and of which sided parts it has one only."""

    kinds: tuple[str, ...] = ()
    kind_heard: Heard | None = None
    not_fitted: dict[str, str] = field(default_factory=dict)
    by_narration: dict[str, Heard] = field(default_factory=dict)  #: those that rest on words of the narration
    one_side: set[str] = field(default_factory=set)


@dataclass
class _Film:
    """The folded words of a film, the written word each is of, and where each folded word stands."""

    folded: list[str] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    places: dict[str, list[int]] = field(default_factory=dict)


class Words:
    """The words of all films, to look phrases up in."""

    def __init__(self, lexicon: Lexicon, films: Iterable[Transcript]) -> None:
        self._lexicon = lexicon
        self._films: list[_Film] = []
        for transcript in films:
            film = _Film(words=list(transcript.words()))
            for number, word in enumerate(film.words):
                for token in lexicon.fold(word.text):
                    film.places.setdefault(token, []).append(len(film.folded))
                    film.folded.append(token)
                    film.owner.append(number)
            self._films.append(film)

    def find(self, phrase: str, after: Iterable[str] = ()) -> Iterator[Heard]:
        """Each place where a phrase was said; ``denied`` where a phrase of ``after`` stands shortly before it."""
        wanted = list(self._lexicon.fold(phrase))
        if not wanted:
            return
        for source, film in enumerate(self._films):
            for at in film.places.get(wanted[0], ()):
                if film.folded[at : at + len(wanted)] != wanted:
                    continue
                before = " ".join(film.folded[max(0, at - DENIED_WITHIN) : at])
                first, last = film.owner[at], film.owner[at + len(wanted) - 1]
                denied = self._lexicon.holds(before, after)
                yield Heard(_around(film.words, first, last), film.words[first].start, source, denied, first)


def _around(words: list[Word], first: int, last: int) -> str:
    """The words from ``first`` to ``last`` with a few before and after them, of the same sentence."""
    start, end = first, last
    while start > max(0, first - AROUND) and not words[start - 1].text.endswith((".", "?", "!")):
        start -= 1
    while end < min(len(words) - 1, last + AROUND) and not words[end].text.endswith((".", "?", "!")):
        end += 1
    return " ".join(word.text.strip() for word in words[start : end + 1])


def fitting(
    checklist: Checklist, words: Words, by_hand: Mapping[str, str], kinds_given: tuple[str, ...] | None
) -> Fitting:
    """What the bike lacks. A person's word comes first, then the narration's, then what is usual for the kind."""
    found = Fitting(kinds=kinds_given or (), not_fitted=dict(by_hand))
    if kinds_given is None:
        _hear_kinds(checklist, words, found)
    for rule in checklist.told:
        heard = _first(words, rule.words, checklist.kind_after)
        if heard is None:
            continue
        found.one_side.update(rule.one_side)
        for part in rule.not_fitted:
            if part not in found.not_fitted:
                found.not_fitted[part] = f"the narrator said “{heard.quote.rstrip('.,')}”"
                found.by_narration[part] = heard
    for kind in found.kinds:
        found.one_side.update(checklist.kinds[kind].one_side)
        for part in checklist.kinds[kind].not_fitted:
            found.not_fitted.setdefault(part, f"a bike of this kind ({kind}) usually has none")
    return found


def _hear_kinds(checklist: Checklist, words: Words, found: Fitting) -> None:
    kinds: dict[str, Heard] = {}
    for name, kind in checklist.kinds.items():
        heard = _first(words, kind.words, checklist.kind_after, checklist.kind_within)
        if heard:
            kinds[name] = heard
    found.kinds = tuple(kinds)
    found.kind_heard = min(kinds.values(), key=lambda h: (h.source, h.start)) if kinds else None


def _first(words: Words, phrases: Iterable[str], after: tuple[str, ...], within: int | None = None) -> Heard | None:
    every = [heard for phrase in phrases for heard in words.find(phrase, after) if not heard.denied]
    near = [heard for heard in every if within is None or (heard.at < within and heard.source == 0)]
    return min(near, key=lambda heard: (heard.source, heard.start), default=None)
