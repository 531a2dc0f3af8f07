"""Words that pick one of several: "the left one", "the other one", "the back one", and what they pick."""

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.focus import TOPIC_REACH, Focus, Target, flipped
from walkround.narration.grammar import FOCUS_BEHIND, FOCUS_ONE, FOCUS_PLACED, FOCUS_SELECTED
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import Terms
from walkround.narration.sides import SideWord


def find_selectors(
    doc: Doc, words: list[SideWord], terms: Terms, clauses: Clauses, lexicon: Lexicon
) -> list[tuple[int, int, str]]:
    """Words that stand for a part without naming it: (start, end, left/right/other/front/rear)."""
    found = [(w.start, w.end, f"{_axis_before(doc, lexicon, w.start)}{w.value}") for w in words if w.one and not w.void]
    found += _one_on(doc, words)
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
            if following in FOCUS_ONE:
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
    for i in range(len(texts) - 1):
        if texts[i] in FOCUS_PLACED and texts[i + 1] == "one" and i not in inside and not clauses.before[i + 1]:
            found.append((i, i + 2, "same"))
    return sorted(found)


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


def _one_on(doc: Doc, words: list[SideWord]) -> list[tuple[int, int, str]]:
    """ "The one on the left": it stands for the left one."""
    found = []
    for word in words:
        lead = [doc[i].text for i in range(max(0, word.start - 3), word.start)]
        if not word.one and not word.void and word.value in ("left", "right") and lead == ["one", "on", "the"]:
            found.append((word.start - 3, word.end, word.value))
    return found


def _axis_before(doc: Doc, lexicon: Lexicon, index: int) -> str:
    """The axis word right before a side word ("the front left one"), as "front " or "rear "."""
    word = doc[index - 1].text if index else ""
    return next((f"{axis} " for axis, forms in lexicon.axis.items() if word in forms), "")


def select(focus: Focus, value: str, index: int) -> list[Target]:
    """What "the left one", "the other one", "the front" mean now; empty when nothing fits."""
    if " " in value:
        axis, wanted = value.split(" ")
        return [Target(t.part, wanted) for t in select(focus, axis, index)] or select(focus, wanted, index)
    if value in ("front", "rear"):
        if focus.targets and focus.family_at < focus.at and index - focus.at < 6:
            return list(focus.targets)  # "sprockets, the back one's hooked"
        if focus.family and index - focus.family_at <= TOPIC_REACH:
            member = focus.lexicon.families[focus.family].members[value]
            sided = focus.lexicon.parts[member].sided
            side = next((t.side for t in focus.targets if t.side), None) if sided else None
            return [Target(member, side)]
        return []
    if value == "same":  # "the lower one": of the part in focus
        return list(focus.targets)
    if value == "other":
        unsided = focus.targets and not focus.lexicon.parts[focus.targets[0].part].sided
        if unsided and (focus.sided is None or index - focus.at < 8 or index - focus.sided_at > TOPIC_REACH):
            return list(focus.targets)
        return [Target(focus.sided.part, flipped(focus.sided.side))] if focus.sided else []
    if value not in ("left", "right"):
        return []
    if focus.targets and not any(focus.lexicon.parts[t.part].sided for t in focus.targets) and index - focus.at < 22:
        return [Target(t.part, value) for t in focus.targets]  # "rear shocks, and the left one's weeping"
    if focus.sided is None:
        return []
    together = [t.part for t in focus.targets if focus.lexicon.parts[t.part].sided]
    if focus.sided.part in together and index - focus.at < 6:  # "both indicators are fine, the left one is cracked"
        return [Target(part, value) for part in dict.fromkeys(together)]
    return [Target(focus.sided.part, value)]
