"""Chapters of the film: the best cut of the whole talk into stretches, each about one place on the bike.

Every statement costs something in a chapter about another place, and every cut costs something, less where the
narrator pauses, names a place or announces a part. The cut with the least cost over the whole film is found by
dynamic programming; nothing is decided at a single word. A chapter begins where a statement begins: its time is
never moved. The weights were tuned on tests/gold alone.
"""

from dataclasses import dataclass
from math import inf, log2

import numpy as np
import numpy.typing as npt

from walkround.narration.lexicon import Lexicon
from walkround.narration.model import Reading
from walkround.report.places import GREETING, Place, Statement, places_of, statements, usual_silence
from walkround.report.record import Chapter, Report
from walkround.report.titles import Titles

Costs = npt.NDArray[np.float64]

#: A chapter lasts at least so many whole seconds, and there are at least so many: video hosts ask for both.
SHORTEST = 10
FEWEST = 3


@dataclass(frozen=True)
class Weights:
    """What a cut costs, and what a statement costs in a chapter that is about another place."""

    cut: float = 1.1
    silence: float = 0.35  #: off the cut for each doubling of the usual silence before it
    most_silence: float = 2.0  #: doublings that count
    moved: float = 0.45  #: off the cut where the words name this place
    announced: float = 0.5  #: off the cut before "Tank." or "Up top."
    least: float = 0.2  #: what is left of the cost of a cut at the least
    elsewhere: float = 0.6  #: more for a chapter that is about another place than the words name
    wrong_side: float = 1.0
    no_side: float = 0.5  #: a part with no side said, in a chapter about one side of the bike
    narrow: float = 0.03  #: a part in any place but the narrowest that has it
    flank: float = 0.75  #: more for a chapter about one side of the bike where no words go there
    greeting: float = 0.9  #: a statement about a part, in the greeting
    said_place: float = 0.6  #: a chapter takes the place that its first words name, at this mean cost at the most
    after_greeting: float = 0.5  #: a statement of the greeting, in any other chapter


WEIGHTS = Weights()


@dataclass(frozen=True)
class Stretch:
    """A chapter before it has its title: seconds, and the place; ``source`` is the film."""

    source: int
    start: float
    end: float
    place: str


def chapters(lexicon: Lexicon, reading: Reading, report: Report) -> list[Chapter]:
    """The chapters of every film of a record, in order, with titles. The first of each film begins at 0."""
    titles = Titles(report)
    made = []
    for stretch in stretches(lexicon, reading, report):
        title = titles.of(stretch.source, stretch.start, stretch.end, stretch.place)
        made.append(Chapter(source=stretch.source, start=round(stretch.start, 3), title=title, group=stretch.place))
    return made


def stretches(lexicon: Lexicon, reading: Reading, report: Report, weights: Weights = WEIGHTS) -> list[Stretch]:
    """Where the chapters of every film begin and end, and what place each is about."""
    places = places_of(lexicon)
    made = []
    films = zip((report.media, *report.added), (report.transcript, *report.added_transcripts), strict=False)
    for source, (media, transcript) in enumerate(films):
        talk = statements(lexicon, reading, transcript, source)
        if not any(s.about for s in talk):
            continue
        end = media.duration if media.duration is not None else transcript.segments[-1].end
        cut = best_cut(talk, places, end, weights)
        starts = [0.0, *(talk[n].start for n, _ in cut[1:])]
        for (_, place), start, stop in zip(cut, starts, [*starts[1:], end], strict=True):
            made.append(Stretch(source, start, stop, place))
    return made


def best_cut(
    talk: list[Statement], places: list[Place], end: float, weights: Weights = WEIGHTS
) -> list[tuple[int, str]]:
    """The cut with the least cost: (number of the first statement, id of the place) for each chapter.

    Where that gives fewer chapters than video hosts ask for, cuts are made cheaper, until there are enough or
    the film is too short for them.
    """
    ids = [GREETING, *(place.id for place in places)]
    inside = _inside(talk, places, weights)
    cut_costs = _cut_costs(talk, places, weights)
    found: list[tuple[int, str]] = [(0, ids[0])]
    for price in (1.0, 0.5, 0.25, 0.1, 0.0):
        found = [(n, ids[label]) for n, label in _least(talk, inside, cut_costs * price, end)]
        if len(found) >= FEWEST:
            break
    stops = [*(n for n, _ in found[1:]), len(talk)]
    return [
        (n, _named(talk[n:stop], inside[n:stop], ids, place, weights))
        for (n, place), stop in zip(found, stops, strict=True)
    ]


def _inside(talk: list[Statement], places: list[Place], weights: Weights) -> Costs:
    """What each statement costs in a chapter of the greeting, and in one about each place: the mean of its parts."""
    told = {about for s in talk for about in s.about}
    of_part = {(part, side): [_part_cost(part, side, p, places, weights) for p in places] for part, side in told}
    inside: Costs = np.zeros((len(talk), 1 + len(places)))
    for number, s in enumerate(talk):
        if s.about:
            inside[number] = [weights.greeting, *np.mean([of_part[about] for about in s.about], axis=0)]
    inside[: _greeting_ends(talk), 1:] += weights.after_greeting
    return inside


def _named(talk: list[Statement], inside: Costs, ids: list[str], place: str, weights: Weights) -> str:
    """The place of a chapter: the one that its first words name ("Down the left side"), unless the rest speaks
    against it."""
    said = talk[0].place
    speaking = sum(bool(s.about) for s in talk)
    if said in ids and speaking and inside[:, ids.index(said)].sum() / speaking <= weights.said_place:
        return said
    return place


def _part_cost(part: str, side: str | None, place: Place, places: list[Place], weights: Weights) -> float:
    """What words of a part cost in a chapter about a place: 0 where it belongs there, about 1 where it does not."""
    if place.side:
        if side == place.side:
            return weights.narrow
        return weights.no_side if side in (None, "both") and part in place.parts else weights.wrong_side
    if part not in place.parts:
        return 1.0
    narrowest = min(len(p.parts) for p in places if part in p.parts and not p.side)
    return 0.0 if len(place.parts) == narrowest else weights.narrow


def _greeting_ends(talk: list[Statement]) -> int:
    """The number of the first statement that speaks of a part or goes to a place."""
    return next((n for n, s in enumerate(talk) if s.about or s.place), len(talk))


def _cut_costs(talk: list[Statement], places: list[Place], weights: Weights) -> Costs:
    """What it costs to begin a chapter about each place at each statement."""
    usual = usual_silence(talk)
    ids = [GREETING, *(place.id for place in places)]
    flanks = np.array([False, *(bool(place.side) for place in places)])
    costs = np.full((len(talk), len(ids)), float(weights.cut))
    for number, statement in enumerate(talk):
        doublings = min(weights.most_silence, max(0.0, log2(max(statement.silence, usual) / usual)))
        costs[number] -= weights.silence * doublings + weights.announced * statement.announced
        if statement.place:
            here = np.array([label == statement.place for label in ids])
            costs[number] += np.where(here, -weights.moved, weights.elsewhere)
        else:
            costs[number] += weights.flank * flanks
    capped: Costs = np.maximum(costs, weights.least)
    return capped


def _least(talk: list[Statement], inside: Costs, cut_costs: Costs, end: float) -> list[tuple[int, int]]:
    """The cheapest cut as (statement, label). One pass: the best cut up to each statement, from all before it."""
    seconds = [0, *(int(s.start) for s in talk[1:])]
    count, labels = inside.shape
    total = np.vstack([np.zeros(labels), np.cumsum(inside, axis=0)])
    best = np.full(count + 1, inf)  # the least cost of everything before a statement, with a cut at it
    back = [(0, 0)] * (count + 1)
    best[0] = 0.0
    open_cost = np.full(labels, inf)  # the least cost of a chapter that may end here, for each label
    open_from = np.zeros(labels, dtype=int)
    candidate = 0
    for number in range(1, count + 1):
        now = seconds[number] if number < count else int(end)
        while candidate < number and now - seconds[candidate] >= SHORTEST:
            begun = best[candidate] + (cut_costs[candidate] if candidate else 0.0) - total[candidate]
            if candidate:
                begun[0] = inf  # one greeting, at the beginning
            better = begun < open_cost
            open_cost = np.where(better, begun, open_cost)
            open_from = np.where(better, candidate, open_from)
            candidate += 1
        ending = open_cost + total[number]
        label = int(np.argmin(ending))
        if ending[label] < inf:
            best[number], back[number] = ending[label], (int(open_from[label]), label)
    if best[count] == inf:  # the film is shorter than a chapter
        return [(0, int(np.argmin(total[count])))]
    found: list[tuple[int, int]] = []
    number = count
    while number > 0:
        first, label = back[number]
        found.append((first, label))
        number = first
    return found[::-1]
