"""What each defect word and good word amounts to: said, denied, doubted, wished, or said of another bike.

Doubt is looked for before denial ("can't rule out a leak"). Two denials make a statement ("I'm not going to tell
you there isn't a loose spoke"). A denial reaches the first state after it, and on through a list ("no rips,
tears or splits"); it ends at "but", "except", a new clause or a new subject.
"""

from dataclasses import dataclass, field

from spacy.tokens import Doc

from walkround.narration.clauses import Clauses
from walkround.narration.concord import in_concord
from walkround.narration.grammar import (
    POLARITY_ARTICLES,
    POLARITY_FILLERS,
    POLARITY_GENERAL_VERBS,
    POLARITY_HAVING,
    POLARITY_LIST_WORDS,
    POLARITY_NOS,
    POLARITY_NOT,
    POLARITY_OTHERS_DO,
)
from walkround.narration.idle import idle
from walkround.narration.lexicon import Lexicon
from walkround.narration.matches import FAULTS, Term, Terms, between
from walkround.narration.validity import is_meant

if not Doc.has_extension("said"):
    Doc.set_extension("said", default=None)

#: A denial must be this close (in tokens) to what it denies; one that takes a clause may be further away.
REACH, CLAUSE_REACH = 7, 11
#: "Not slack, and it's not tight": how far (tokens) the second may stand from the first.
NEITHER_REACH = 5


@dataclass(slots=True)
class Said:
    """A defect or a good word with what it amounts to.

    ``status``: said, denied, unreal, belief or other. ``cues`` are the words that decided, as (category, start,
    end), kept for the trace.
    """

    kind: str  # "defect" or "good"
    id: str
    start: int
    end: int
    status: str = "said"
    tentative: bool = False
    generic: bool = False
    form: str = ""
    own_part: str | None = None
    cues: list[tuple[str, int, int]] = field(default_factory=list)
    within: tuple[Term, ...] = ()  #: what else its words mean, should it mean nothing of the part


def judge(doc: Doc, lexicon: Lexicon) -> list[Said]:
    """All states of a Doc with terms and clauses, in order, with their status."""
    terms: Terms = doc._.terms
    clauses: Clauses = doc._.clauses
    unpraised = {lexicon.fold(word)[0] for word in lexicon.phrases("good.manner_not")}
    valid = [t for t in terms.states if is_meant(doc, t, terms, clauses, unpraised)]
    found: list[Said] = []
    for index, term in enumerate(valid):
        kind = "defect" if term.kind in FAULTS else "good"
        within = tuple(t for t in term.within if is_meant(doc, t, terms, clauses, unpraised))
        said = Said(kind, term.id, term.start, term.end, form=term.form, own_part=term.own_part, within=within)
        if kind == "defect":
            said.generic = lexicon.defects[term.id].generic
        praised = found[-1].start if found and (found[-1].kind, found[-1].status) == ("good", "said") else 0
        _judge_one(doc, said, valid[max(0, index - 12) : index], terms, clauses, praised)
        if found and _neither_way(doc, found[-1], said, clauses):
            for one in (found[-1], said):
                one.status, one.tentative = "denied", False
        found.append(said)
    return found


def region_start(doc: Doc, index: int, terms: Terms, clauses: Clauses) -> int:
    """Where the words that can deny or doubt the token ``index`` begin."""
    ends, inside, subjects = terms.stops, terms.inside_takers, terms.subjects
    i = index
    while i > 0:
        if i in inside:
            i = inside[i]
            continue
        if clauses.before[i] >= 2 or i in ends:
            return i
        if i in clauses.openers and i != index:
            linked = list(terms.takers.get(i, ()))
            if doc[i - 1].text in ("that", "if", "any", "whether"):
                linked += terms.takers.get(i - 1, ())
            linked.sort()
            if not linked:
                return i
            i = linked[0][0]
            continue
        if i in subjects and i != index and clauses.before[i] >= 1:
            return i
        i -= 1
    return 0


def _judge_one(doc: Doc, said: Said, earlier: list[Term], terms: Terms, clauses: Clauses, praised: int = 0) -> None:
    """``praised``: where the good word begins that was said right before ("no chips, lovely and clear"), or 0."""
    start = region_start(doc, said.start, terms, clauses)
    sentence = clauses.span_of(said.start)
    for s, e in terms.within("unreal.other_bike", sentence[0], said.start):
        if doc[e - 1].text == "'s" and doc[e].text in POLARITY_OTHERS_DO:
            continue  # "my dad's put a new one on": he has done it, to this one
        if not any(doc[i].text == "this" and doc[i + 1].text != "same" for i in range(e, said.start)):
            said.status = "other"
            said.cues.append(("unreal.other_bike", s, e))
            return
    will = terms.within("promise.will", start, said.start)
    if (
        said.kind == "good"
        and will
        and said.start - will[-1][1] <= 4
        and doc[will[-1][1]].text not in ("find", "see", "feel", "hear", "say")  # "I can find no fault"
        and not any(clauses.before[will[-1][1] : said.start + 1])
    ):
        said.status = "unreal"  # "it'll be fine", "that's having a new one": not so yet
        return
    if said.kind == "good" and _in_hand(doc, said):
        said.status = "unreal"
        return
    for s, e in terms.within("unreal.other_bike", said.end, sentence[1]):
        if said.kind == "good" and said.form.startswith("~good new"):
            break  # "I put new seals in last month"
        if (
            s - said.end <= 3
            and not any(clauses.before[said.end : s + 1])
            and (doc[s].text == "in" or doc[s - 1].text in ("'s", "is", "on", "of"))
        ):
            said.status = "other"
            said.cues.append(("unreal.other_bike", s, e))
            return
    beliefs = set(terms.cue("unreal.belief"))
    for s, e in terms.within("unreal.phrases", start, said.start):
        if doc[s].text in ("if", "where") and any(clauses.before[i] for i in range(e, said.start + 1)):
            continue  # "if I turn the bars, there's a notch": the condition is met before the eyes
        if doc[e - 1].text == "get" and doc[e].text in POLARITY_ARTICLES and said.start - e <= 5:
            continue  # "you'll get a rattle off the cam chain": whoever rides it does
        if any(a <= s < b for a, b in terms.within("doubt.phrases", start, said.start)):
            continue  # "I don't know if that's a dent": doubted, not supposed
        said.status = "belief" if (s, e) in beliefs else "unreal"
        said.cues.append(("unreal.phrases", s, e))
    if said.status == "said" and _is_supposed(doc, said, sentence, clauses):
        said.status = "unreal"
        said.cues.append(("if ... would", said.start - 1, said.end))
    why = None
    if said.status == "said" and said.kind == "defect":
        why = idle(doc, said, sentence, terms, clauses)
    if why:
        said.status = "unreal"
        said.cues.append((why, max(sentence[0], said.start - 1), said.end))
    if said.status == "said" and _is_general(doc, said):
        said.status = "unreal"
        said.cues.append(("these + verb", said.start - 1, said.end))
    if said.status in ("unreal", "belief"):
        return
    _doubt(said, start, sentence, terms, earlier, doc)
    denials = [
        (c, s, e)
        for c, reach in (("denial.before", REACH), ("denial.before_clause", CLAUSE_REACH))
        for s, e in terms.within(c, start, said.start)
        if _reaches(doc, s, e, said, earlier, reach, clauses)
        and not (said.kind == "good" and (e <= praised or _other_kind(doc, e, said, earlier)))
    ]
    starts = {s for _, s, _ in denials}
    denials = [d for d in denials if not (d[2] in starts and doc[d[1]].text == "not" and doc[d[2]].text == "no")]
    denials = in_concord(doc, _nearest(doc, denials, earlier), range(said.start, said.end), clauses)
    denials += _post_denial(doc, said, sentence, terms, clauses)
    said.cues += denials
    doubts = [c[1] for c in said.cues if c[0] == "doubt"]
    answered = any(d[0] == "denial.after" for d in denials)  # "is that a crack? No"
    if said.kind == "defect" and denials and not answered and doubts and min(doubts) < min(d[1] for d in denials):
        said.status = "said"  # "I can't be sure there isn't a leak": not denied, only doubted
        said.tentative = True
    elif len(denials) % 2:
        said.status = "denied"
        said.tentative = False
    elif not denials and said.kind == "defect" and _asked(doc, said, start) and not _owned_up(doc, sentence[1]):
        said.status = "unreal"
        said.cues.append(("any", said.start - 1, said.start))


def _neither_way(doc: Doc, before: Said, said: Said, clauses: Clauses) -> bool:
    """ "It's not slack, it's not tight": a fault in whose words "not" stands, right beside its opposite denied."""
    first, second = (said, before) if said.status == "said" else (before, said)
    if (first.status, second.status) != ("said", "denied") or doc[first.start].text not in POLARITY_NOT:
        return False
    together = clauses.span_of(said.start)[0] <= before.start and said.start - before.end <= NEITHER_REACH
    return together and said.id == before.id and not {"but", "just"} & {t.text for t in doc[before.end : said.start]}


def _in_hand(doc: Doc, said: Said) -> bool:
    """ "It's snapped, and I've got a good one in a drawer": the good one is not on the bike."""
    lead = {token.text for token in doc[max(0, said.start - 3) : said.start]}
    mine = bool(lead & {"i", "we", "'ve"} and lead & POLARITY_HAVING)
    return mine and doc[said.end - 1].text in ("one", "ones")


def _is_general(doc: Doc, said: Said) -> bool:
    return (
        said.start > 0
        and doc[said.start - 1].text in ("these", "these all")
        and doc[said.start].text in POLARITY_GENERAL_VERBS
    )


def _is_supposed(doc: Doc, said: Said, sentence: tuple[int, int], clauses: Clauses) -> bool:
    """ "If the shock was leaking I'd say so"."""
    clause = clauses.span_of(said.start, 1)[0]
    supposed = "if" in {doc[i].text for i in range(clause, min(clause + 2, said.start))}
    return supposed and bool({"'d", "would"} & {doc[i].text for i in range(said.end, min(sentence[1], said.end + 6))})


def _doubt(said: Said, start: int, sentence: tuple[int, int], terms: Terms, earlier: list[Term], doc: Doc) -> None:
    weak = set(terms.cue("doubt.weak"))
    for s, e in terms.within("doubt.phrases", start, said.start):
        passive = doc[s:e].text in (
            "sort of a",
            "kind of a",
            "look like a",
            "feel a bit",
            "seem a bit",
            "sound like",
        )
        if ((s, e) not in weak or said.start - e <= 4) and not passive:
            said.tentative = True
            said.cues.append(("doubt", s, e))
    following = min([t.start for t in between(terms.states, said.end, sentence[1])], default=sentence[1])
    stop = min(sentence[1], max(following, said.end))
    for s, e in terms.within("doubt.phrases", said.end, sentence[1]):
        if (s, e) not in weak and s <= stop + 1:
            said.tentative = True
            said.cues.append(("doubt", s, e))


def _reaches(doc: Doc, start: int, end: int, said: Said, earlier: list[Term], reach: int, clauses: Clauses) -> bool:
    if doc[end - 1].text in POLARITY_NOT and {t.text for t in doc[end : said.start]} <= POLARITY_FILLERS:
        return True  # "it's not, like, holes"
    if end < len(doc) and clauses.before[end] >= 1 and end not in clauses.openers and end <= said.start:
        return False  # "No, there's a scratch": an answer, not a denial of what follows
    if doc[end - 1].text == "not" and doc._.tokens[end - 1].mark and end <= said.start:
        return False  # "the horn's not, somebody's had it off"
    if end < len(doc) and doc[end].text == "the" and said.start == end + 1 and doc[start].text in ("can't", "couldn't"):
        return False  # "you can't see the scratch": there is one
    if doc[start:end].text == "rather than" and "and" in {doc[i].text for i in range(end, said.start)}:
        return False  # "boards rather than pegs, and the rubbers are worn"
    if "seen" in doc[start:end].text and said.start and doc[said.start - 1].text in ("this", "so", "that"):
        return False  # "I've never seen a chain this rusty"
    between = [t for t in earlier if end <= t.start and t.end <= said.start]
    if not between:
        crossed = any(clauses.before[i] and i not in clauses.openers for i in range(end, said.start + 1))
        return said.start - end <= reach and not crossed
    if said.kind == "good" and any(t.kind in FAULTS for t in between):
        return False  # "no chips, lovely and clear"
    return _listed(doc, between[-1].end, said, clauses)


def _other_kind(doc: Doc, end: int, said: Said, earlier: list[Term]) -> bool:
    """ "No cracks and plenty of tread": the denial is spent on the fault, the good word is meant."""
    faults = [t for t in earlier if end <= t.start and t.kind in FAULTS]
    return bool(faults) and not {"or", "nor"} & {token.text for token in doc[faults[-1].end : said.start]}


def _nearest(doc: Doc, denials: list[tuple[str, int, int]], earlier: list[Term]) -> list[tuple[str, int, int]]:
    """Of a list's denials ("no dents and no scratches") only those after the last state before this one count."""
    last = earlier[-1].end if earlier else 0
    direct = [d for d in denials if d[1] >= last] or denials
    plain = [d for d in direct if d[0] == "denial.before" and doc[d[1]].text in POLARITY_NOS]
    if len(plain) > 1 and doc[plain[-1][1] - 1].text in ("and", "or", "nor"):
        return [d for d in direct if d not in plain[:-1]]  # "no edge and no grooves"
    return direct


def _listed(doc: Doc, start: int, said: Said, clauses: Clauses) -> bool:
    """Whether a state goes on the list of what was denied before it."""
    gap = [doc[i].text for i in range(start, said.start)]
    plural = doc._.tokens[said.end - 1].plural
    if not gap and not clauses.before[said.start]:
        return True  # "no untoward noises"
    if not gap:
        following = doc[said.end].text if said.end < len(doc) else ""
        return clauses.before[said.start] == 1 and (plural or following in ("or", "nor"))
    if gap[-1] in ("or", "nor"):
        return True
    if any(w in POLARITY_ARTICLES for w in gap):
        return "or" in gap or "nor" in gap
    return all(w in POLARITY_LIST_WORDS for w in gap) or (gap[-1] == "and" and plural)


def _post_denial(
    doc: Doc, said: Said, sentence: tuple[int, int], terms: Terms, clauses: Clauses
) -> list[tuple[str, int, int]]:
    """ "Any rust? None." and "Dents, none.": denied after it was named."""
    if said.kind != "defect":
        return []
    asked = _asked(doc, said, sentence[0]) or doc._.tokens[said.end - 1].mark == "?"
    bare = said.start == sentence[0] or (said.start - sentence[0] <= 2 and doc[sentence[0]].text in ("and", "any"))
    for s, e in terms.within("denial.after", said.end, min(len(doc), said.end + 12)):
        if not 0 <= s - said.end <= 4 or not clauses.ends_at(e):
            continue
        words = doc[s:e].text
        if asked or (bare and words not in ("no", "nothing", "free", "absent")):
            return [("denial.after", s, e)]
    return []


def _owned_up(doc: Doc, end: int) -> bool:
    """ "Any rust on the frame? Plenty." """
    words = [doc[i].text for i in range(end, min(len(doc), end + 3))]
    said = ("plenty", "load", "loads", "yes", "yep", "yeah", "aye", "some", "lot", "bit", "one", "two", "few", "couple")
    articles = ("a", "just", "only", "the", "well")
    first = next((word for word in words if word not in articles), "")
    return first in said


def _asked(doc: Doc, said: Said, start: int) -> bool:
    return any(doc[i].text == "any" for i in range(max(start, said.start - 3), said.start))
