"""When a second fault word speaks of the fault just named ("it's perished, it's gone hard") and not of another.

People name a mark and then go on about it. A further fault of the same part in the same sentence is a fault of its
own where it is joined as one: "and there's some rust", "a scuff, a scratch". It is the same fault where the talk
goes on with "it": "it droops, the stalk's gone soft", "and it's worn a line".
"""

from spacy.tokens import Doc

from walkround.narration.grammar import ELABORATION_JOINING, ELABORATION_LISTED, ELABORATION_SAME
from walkround.narration.model import DefectRow, Step
from walkround.narration.severity import worse

#: Faults that say little: where a closer word follows for the same fault, the closer word is its name, once.
_LOOSE_NAMES = frozenset({"mark"})
#: A fault that only says how it looks, and the fault behind it.
_BEHIND = {"misaligned": frozenset({"bent", "broken"})}
_CLOSER = "a closer name follows"


def elaborates(doc: Doc, first: int, second: int) -> bool:
    """Whether the fault word at token ``second`` goes on about the fault whose words end before ``first``."""
    words = [doc[i].text for i in range(first, second)]
    joins = [k for k, word in enumerate(words) if word in ELABORATION_JOINING]
    following = [doc[i].text for i in range(second, min(len(doc), second + 6))]
    if joins:
        rest = " ".join(words[joins[-1] + 1 :]).removesuffix(" a bit").removesuffix(" a little").split()
        counted = any(
            word in ("a", "an", "some", "few", "couple", "one", "two", "three", "several", "least") for word in rest
        )
        besides = "on top of" in " ".join(following) or "as well" in " ".join(following[:4]) or "too" in following[:3]
        return not counted and not besides and bool({*words[joins[-1] + 1 : joins[-1] + 3]} & ELABORATION_SAME)
    if "there" in words and {"a", "an", "some"} & set(words):
        return False  # "the wheel's bent, there's a crack in it"
    listed = len(words) <= 4 and all(word in ELABORATION_LISTED for word in words)
    return not listed


def take_in(row: DefectRow, further: DefectRow, words: str, loose: bool = False) -> None:
    """Keep what the further words add: the worse severity, the closer name, a step of the trace."""
    renamed = any(step.step == _CLOSER for step in row.trace)
    vague = row.defect in _LOOSE_NAMES and further.defect not in _LOOSE_NAMES
    if not renamed and (loose or vague or further.defect in _BEHIND.get(row.defect, ())):
        row.trace.append(Step(_CLOSER, words, f"{row.defect} -> {further.defect}"))
        row.defect = further.defect
    else:
        row.trace.append(Step("more of the same fault", words, further.defect))
    row.severity = worse(row.severity, further.severity)
    row.severity_said = row.severity_said or further.severity_said
    row.extent = row.extent or further.extent
