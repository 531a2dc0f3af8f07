"""Words that pick one of several: "the left one", "the other one", "the back one", and what they pick."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import TOPIC_REACH, Focus, Target, flipped
from walkround.narration.grammar import FOCUS_BEHIND, FOCUS_ONE, FOCUS_PLACED, FOCUS_SEATED, FOCUS_SELECTED
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.sides import SideWord

#: So far back (tokens) may the first of two have been told of which the other is meant now.
PARTNER_REACH = 60


def find_selectors(
    doc: Doc, words: list[SideWord], terms: Terms, clauses: Clauses, lexicon: Lexicon
) -> list[tuple[int, int, str]]:
    """Words that stand for a part without naming it: (start, end, left/right/other/front/rear)."""
    rest = {start: (start, end, "others") for start, end in _the_rest(doc)}
    found = [(w.start, w.end, f"{_axis_said_with(doc, lexicon, w)}{w.value}") for w in words if w.one and not w.void]
    found = [f for f in found if not any(f[0] <= start < f[1] or start == f[1] for start in rest)]
    found += [*rest.values(), *_one_on(doc, words)]
    inside = {i for t in terms.things for i in range(t.start, t.end)}
    places = {i for c in ("place.front.phrases", "place.rear.phrases") for s, e in terms.cue(c) for i in range(s, e)}
    texts: list[str] = doc._.folds
    for axis, forms in lexicon.axis.items():
        for i, text in enumerate(texts):
            if text not in forms or i in inside:
                continue
            following = texts[i + 1] if i + 1 < len(texts) else ""
            previous = texts[i - 1] if i else ""
            before = texts[i - 2] if i > 1 and previous == "the" else ""
            # "The sprocket on the back", "at the back": it only tells where something is.
            only_where = before == "at" or (before == "on" and i - 3 in inside)
            only_where = only_where or (i in places and following not in ("'s", "has"))
            if following in FOCUS_ONE and not clauses.before[i + 1]:
                found.append((i, i + 2, axis))
            elif only_where:
                continue
            elif (
                (previous == "the" and (clauses.ends_at(i + 1) or following in FOCUS_SELECTED or following.isdigit()))
                or (previous in ("mil", "second", "psi") and (clauses.ends_at(i + 1) or following in ("and",)))
                or (clauses.before[i] >= 1 and (following in ("'s", "has", "is", "got") or clauses.ends_at(i + 1)))
                or (doc._.tokens[i].plural and (clauses.before[i] >= 1 or previous == "the"))  # "rears have four"
            ):
                found.append((i, i + 1, axis))
    found += _behind(doc, clauses)
    found += _seated_ones(doc, clauses, {t.start for t in terms.states})
    for i in range(len(texts) - 1):
        if texts[i] in FOCUS_PLACED and texts[i + 1] == "one" and i not in inside and not clauses.before[i + 1]:
            found.append((i, i + 2, "same"))
    return sorted(f for f in found if not _compared(texts, f[0], clauses))


def _compared(texts: list[str], start: int, clauses: Clauses) -> bool:
    """ "The right cover, same as the left, has gone white": what it is like is not what is spoken of."""
    lead = texts[max(0, start - 3) : start]
    if lead[-1:] != ["the"] or clauses.before[start]:
        return False
    alike = lead[-2:-1] == ["like"] or lead[:2] == ["same", "as"]
    return alike and start + 1 < len(texts) and bool(clauses.before[start + 1])


def _seated_ones(doc: Doc, clauses: Clauses, states: set[int]) -> list[tuple[int, int, str]]:
    """ "Passenger ones", "the rider's one's fine", "Rider's good. Passenger's, perfect"."""
    texts: list[str] = doc._.folds
    found = []
    for i in range(len(texts) - 1):
        if texts[i] not in FOCUS_SEATED or clauses.before[i + 1]:
            continue
        at = i + 2 if texts[i + 1] == "'s" else i + 1
        following = texts[at] if at < len(texts) else ""
        heads = clauses.before[i] >= 1 or not i or texts[i - 1] == "the"
        bare = at == i + 2 and (clauses.ends_at(at) or following in FOCUS_SELECTED or at in states)
        fronted = i > 1 and texts[i - 2 : i] == ["for", "the"] and (i == 2 or clauses.before[i - 2] >= 2)
        if fronted and at == i + 1:
            found.append((i - 2, i + 1, FOCUS_SEATED[texts[i]]))  # "For the passenger the left one ..."
        elif following == "one" and not clauses.before[at]:
            found.append((i, at + 1, FOCUS_SEATED[texts[i]]))
        elif bare and heads:
            found.append((i, at, FOCUS_SEATED[texts[i]]))
    return found


def _behind(doc: Doc, clauses: Clauses) -> list[tuple[int, int, str]]:
    """ "In front the pads are new. Behind, they're finished": said for "at the back" at the head of a statement."""
    found = []
    texts: list[str] = doc._.folds
    for i in range(len(doc) - 1):
        if texts[i] not in ("behind", "in"):
            continue
        heads = clauses.before[i] >= 1 or (i > 0 and texts[i - 1] in ("and", "but"))
        if texts[i] == "behind" and heads and (doc._.tokens[i].mark == "," or texts[i + 1] in FOCUS_BEHIND):
            found.append((i, i + 1, "rear"))
        fronted = heads and texts[i] == "in" and texts[i + 1] == "front" and i + 2 < len(doc)
        if fronted and texts[i + 2] != "of":
            found.append((i, i + 2, "front"))
    return found


def _the_rest(doc: Doc) -> list[tuple[int, int]]:
    """ "The other three", "the others", "the rest of them": of four, all but the one that was spoken of."""
    found = []
    folds: list[str] = doc._.folds
    for i in range(1, len(doc)):
        if folds[i - 1] == "other" and folds[i] in ("three", "two"):
            found.append((i - 1, i + 1))
        elif folds[i] in ("other", "others") and doc._.tokens[i].plural and folds[i - 1] == "the":
            found.append((i, i + 1))
    return found


def _one_on(doc: Doc, words: list[SideWord]) -> list[tuple[int, int, str]]:
    """ "The one on the left": it stands for the left one."""
    found = []
    for word in words:
        lead = [doc[i].text for i in range(max(0, word.start - 3), word.start)]
        if not word.one and not word.void and word.value in ("left", "right") and lead == ["one", "on", "the"]:
            found.append((word.start - 3, word.end, word.value))
        near = [doc[i].text for i in range(max(0, word.start - 2), word.start)]
        if (
            word.place
            and not word.void
            and word.value in ("left", "right", "other")
            and near in (["one", "on"], ["one", "at"])
        ):
            found.append((word.start - 2, word.end, word.value))  # "the one on the other side"
    return found


def _axis_said_with(doc: Doc, lexicon: Lexicon, side: SideWord) -> str:
    """The axis word beside a side word ("the front left one", "left rear"), as "front " or "rear "."""
    words = {doc[side.start - 1].text if side.start else "", doc[side.end - 1].text}
    return next((f"{axis} " for axis, forms in lexicon.axis.items() if words & set(forms)), "")


def _seated(focus: Focus, value: str, index: int) -> list[Target]:
    """ "The passenger ones": of footrests or seats, whichever were spoken of last."""
    axis = "front" if value == "rider" else "rear"
    near = [(at, f) for f, at in focus.seen.items() if index - at <= TOPIC_REACH]
    of = [(at, f) for at, f in near if focus.lexicon.families[f].members["rear"].startswith("pillion")]
    return [Target(focus.lexicon.families[max(of)[1]].members[axis])] if of else []


def _awaited(focus: Focus, value: str, index: int) -> str | None:
    """ "Front wheel's true. The mudguard's fine. Rear one's buckled": the partner of the one that was named so."""
    if focus.many:
        return None  # "Sprockets. The rear one's hooked."
    waiting = [(at, f) for f, (axis, at) in focus.awaited.items() if axis == value and index - at <= TOPIC_REACH]
    return focus.lexicon.families[max(waiting)[1]].members[value] if waiting else None


def _partner(focus: Focus, value: str, index: int) -> bool:
    """ "Left mirror's tidy. The seat's nice. The right one's cracked": the other of two, of which one was told."""
    return (
        not focus.many
        and focus.sided is not None
        and focus.sided.side == flipped(value)
        and index - focus.sided_at < PARTNER_REACH
    )


def select(focus: Focus, value: str, index: int, apart: bool = False, ones: bool = True) -> list[Target]:
    """What "the left one", "the other one", "the front" mean now; empty when nothing fits.

    ``apart``: what was spoken of last was in another sentence; ``ones``: "one" was said ("the back one", "the back").
    """
    if " " in value:
        axis, wanted = value.split(" ")
        chosen = select(focus, axis, index, apart, ones)
        return [Target(t.part, wanted) for t in chosen] or select(focus, wanted, index, apart, ones)
    if value in ("rider", "pillion"):
        return _seated(focus, value, index)
    if value in ("front", "rear"):
        partner = _awaited(focus, value, index) if apart else None
        if partner:
            return [Target(partner)]
        if focus.targets and (focus.many or not ones) and focus.family_at < focus.at and index - focus.at < 6:
            return list(focus.targets)  # "sprockets, the back one's hooked"
        if focus.family and index - focus.family_at <= TOPIC_REACH:
            member = focus.lexicon.families[focus.family].members[value]
            sided = focus.lexicon.parts[member].sided
            side = next((t.side for t in focus.targets if t.side), None) if sided else None
            return [Target(member, side)]
        return []
    if value == "same":  # "the lower one": of the part in focus
        return list(focus.targets)
    if value == "others":
        return _others(focus)
    if value == "other":
        unsided = focus.targets and not focus.lexicon.parts[focus.targets[0].part].sided
        if unsided and (focus.sided is None or index - focus.at < 8 or index - focus.sided_at > TOPIC_REACH):
            return list(focus.targets)
        return [Target(focus.sided.part, flipped(focus.sided.side))] if focus.sided else []
    if value not in ("left", "right"):
        return []
    unsided = focus.targets and not any(focus.lexicon.parts[t.part].sided for t in focus.targets)
    if unsided and index - focus.at < 22 and not (apart and _partner(focus, value, index)):
        return [Target(t.part, value) for t in focus.targets]  # "rear shocks, and the left one's weeping"
    if focus.sided is None:
        return []
    together = [t.part for t in focus.targets if focus.lexicon.parts[t.part].sided]
    if focus.sided.part in together and index - focus.at < 6:  # "both indicators are fine, the left one is cracked"
        return [Target(part, value) for part in dict.fromkeys(together)]
    return [Target(focus.sided.part, value)]


def _others(focus: Focus) -> list[Target]:
    """Of four, two in front and two behind, the three that are left; of two, the other one."""
    if focus.sided is None or focus.sided.side not in ("left", "right"):
        return []
    first = Target(focus.sided.part, flipped(focus.sided.side))
    known = focus.family_of(focus.sided.part)
    members = [known[0].members[axis] for axis in ("front", "rear")] if known else []
    return [first, *(Target(m, "both") for m in members if m != first.part and focus.lexicon.parts[m].sided)]
