"""What the films do not give of what the checklist asks for, each with a sentence to say."""

from collections.abc import Iterable
from dataclasses import dataclass

from walkround.checklist.fitted import Fitting, Words
from walkround.checklist.items import NAMED, VERDICT, Checklist, Entry, Want
from walkround.narration.lexicon import Lexicon
from walkround.report import record as r

MENTION, SIDE, WHICH_SIDE, VIEW = "mention", "side", "which-side", "view"
#: What is asked for, the gravest first; figures stand between a verdict and the rest.
ORDER = (MENTION, SIDE, VERDICT)
#: A film is complete without these: something was said of the part, and its state is known.
SOFT = frozenset((WHICH_SIDE, VIEW))
_SIDE_WORDS = {"left": "left-hand ", "right": "right-hand ", "both": "", None: ""}


@dataclass(frozen=True)
class _Case:
    """One part (and side) of an item, with the record it is looked for in."""

    part: str
    side: str | None
    rows: list[r.ChecklistRow]

    @property
    def own(self) -> list[r.ChecklistRow]:
        """Rows of this side; of all sides where sides do not matter."""
        return [row for row in self.rows if self.side is None or row.side in (self.side, "both")]

    @property
    def loose(self) -> list[r.ChecklistRow]:
        """Rows that do not say which side."""
        return [row for row in self.rows if self.side is not None and row.side is None]

    def meets(self, side: str | None) -> bool:
        """Whether words of a side may be of this one."""
        return self.side is None or side in (self.side, "both", None)


def find_gaps(lexicon: Lexicon, checklist: Checklist, report: r.Report, fitted: Fitting, words: Words) -> list[r.Gap]:
    """All gaps, essentials first, each kind in the order of the checklist. Changes nothing."""
    gaps = []
    for entry in checklist.entries.values():
        if not entry.asked_for(fitted.kinds):
            continue
        if entry.facts:
            gaps += _of_fact(entry, report, fitted, words)
        else:
            gaps += _of_parts(entry, lexicon, checklist, report, fitted)
    return sorted(gaps, key=lambda gap: (not gap.essential, rank(gap)))


def rank(gap: r.Gap) -> int:
    """How grave a gap is, 0 the gravest: by the first thing that it lacks."""
    for number, lack in enumerate(ORDER):
        if lack in gap.lacks:
            return number
    return len(ORDER) + (set(gap.lacks) <= SOFT)


def _of_fact(entry: Entry, report: r.Report, fitted: Fitting, words: Words) -> list[r.Gap]:
    if any(fact in report.bike for fact in entry.facts):
        return []
    if any(True for phrase in entry.words for _ in words.find(phrase)):
        return []
    name = entry.name or entry.id
    return [_gap(entry, name, [], None, [MENTION], fitted, f"{name}: {entry.say}")]


def _of_parts(entry: Entry, lexicon: Lexicon, checklist: Checklist, report: r.Report, fitted: Fitting) -> list[r.Gap]:
    lacking: dict[tuple[str | None, tuple[str, ...]], list[_Case]] = {}
    for part in entry.parts:
        rows = [row for row in report.checklist if row.part == part]
        if any(row.not_fitted for row in rows):
            continue
        for side in _sides(entry, lexicon, part, fitted):
            case = _Case(part, side, rows)
            lacks = tuple(_lacks(entry, checklist, report, case))
            if lacks:
                lacking.setdefault((side, lacks), []).append(case)
    return [
        _line(entry, lexicon, checklist, fitted, side, list(lacks), cases)
        for side, lacks, cases in _both_sides(lacking)
    ]


def _sides(entry: Entry, lexicon: Lexicon, part: str, fitted: Fitting) -> tuple[str | None, ...]:
    """The sides that must each be spoken of."""
    each = lexicon.parts[part].sided and entry.sides == "each" and part not in fitted.one_side
    # Where a name is enough, the name is enough for both: "the pegs are there".
    return ("left", "right") if each and entry.wants != (NAMED,) else (None,)


def _both_sides(
    lacking: dict[tuple[str | None, tuple[str, ...]], list[_Case]],
) -> Iterable[tuple[str | None, tuple[str, ...], list[_Case]]]:
    """Left and right that lack the same of the same parts, as one."""
    done: set[tuple[str | None, tuple[str, ...]]] = set()
    for (side, lacks), cases in lacking.items():
        other = lacking.get(("right" if side == "left" else "left", lacks)) if side else None
        if (side, lacks) in done:
            continue
        if other and [c.part for c in other] == [c.part for c in cases]:
            done.add(("right" if side == "left" else "left", lacks))
            yield "both", lacks, [*cases, *other]
        else:
            yield side, lacks, cases


def _lacks(entry: Entry, checklist: Checklist, report: r.Report, case: _Case) -> list[str]:
    spoken = [row for row in (*case.own, *case.loose) if row.state != "not-mentioned"]
    if not spoken:
        return [SIDE if any(row.state != "not-mentioned" for row in case.rows) else MENTION]
    lacks = []
    if VERDICT in entry.wants and not _judged(report, case, spoken):
        judged_elsewhere = any(row.state in ("finding", "clear") for row in case.rows)
        lacks.append(SIDE if judged_elsewhere else VERDICT)
    lacks += [
        want for want in entry.wants if want in checklist.wants and not _given(checklist.wants[want], report, case)
    ]
    if not lacks and entry.wants != (NAMED,) and all(row.state == "not-mentioned" for row in case.own):
        lacks.append(WHICH_SIDE)
    if not lacks and _unseen(report, case, spoken):
        lacks.append(VIEW)
    return lacks


def _judged(report: r.Report, case: _Case, spoken: list[r.ChecklistRow]) -> bool:
    """Whether a state was told. Words that a person must look at, repairs and withdrawals tell one."""
    if any(row.state in ("finding", "clear") or row.review for row in spoken):
        return True
    told: list[r.Repaired | r.Withdrawn] = [*report.repaired, *report.withdrawn]
    return any(row.part == case.part and case.meets(row.side) for row in told)


def _given(want: Want, report: r.Report, case: _Case) -> bool:
    """Whether a figure was spoken for the part, or words that stand for it."""
    sizes = [m for m in report.measurements if m.part == case.part and case.meets(m.side)]
    if any(m.quantity in want.quantities for m in sizes):
        return True
    quotes = [m.quote for m in sizes]
    quotes += [row.quote for row in report.findings if row.part == case.part and case.meets(row.side)]
    quotes += [e.quote for row in case.rows for e in row.evidence]
    return any(_says(quote, want.words) for quote in quotes)


def _says(quote: str, phrases: Iterable[str]) -> bool:
    text = f" {' '.join(''.join(c if c.isalnum() else ' ' for c in quote.lower()).split())} "
    return any(f" {phrase}" in text for phrase in phrases)


def _unseen(report: r.Report, case: _Case, spoken: list[r.ChecklistRow]) -> bool:
    """Whether it was said and nowhere clearly shown; no picture at all is no reason to complain."""
    found: list[r.ChecklistRow | r.Finding] = [*spoken]
    found += [row for row in report.findings if row.part == case.part and case.meets(row.side)]
    return any(row.not_shown for row in found) and not any(row.still for row in found)


def _line(
    entry: Entry,
    lexicon: Lexicon,
    checklist: Checklist,
    fitted: Fitting,
    side: str | None,
    lacks: list[str],
    cases: list[_Case],
) -> r.Gap:
    parts = list(dict.fromkeys(case.part for case in cases))
    names = [_small(lexicon.parts[part].name) for part in parts]
    name = entry.name if entry.name and len(parts) == len(entry.parts) else " and ".join(names)
    name = f"{_SIDE_WORDS[side]}{_small(name)}" + (", both sides" if side == "both" else "")
    name = name[:1].upper() + name[1:]
    gap = _gap(entry, name, parts, side, lacks, fitted, f"{name}: {_to_say(entry, checklist, lacks)}")
    spoken = [e for case in cases for row in (*case.own, *case.loose) for e in row.evidence]
    if spoken and lacks[0] not in (MENTION, SIDE):
        gap.start, gap.source = spoken[0].start, spoken[0].source
    return gap


def _to_say(entry: Entry, checklist: Checklist, lacks: list[str]) -> str:
    if lacks[0] in (MENTION, SIDE):
        return entry.say
    if lacks[0] == WHICH_SIDE:
        return "say which side you mean, and show the other"
    if lacks[0] == VIEW:
        return "film it again, close and steady; it was said but not clearly shown"
    figures = [checklist.wants[lack].say for lack in lacks if lack in checklist.wants]
    asked = (["its state"] if VERDICT in lacks else []) + figures
    return f"say {'; and '.join(asked)}"


def _gap(
    entry: Entry, name: str, parts: list[str], side: str | None, lacks: list[str], fitted: Fitting, say: str
) -> r.Gap:
    essential = entry.essential_for(fitted.kinds) and not set(lacks) <= SOFT
    return r.Gap.model_validate(
        {
            "item": entry.id, "name": name, "parts": parts, "side": side, "lacks": lacks, "essential": essential,
            "say": f"{say}.", "why": entry.why,
        }
    )  # fmt: skip


def _small(name: str) -> str:
    """A name inside a sentence."""
    return name[:1].lower() + name[1:]
