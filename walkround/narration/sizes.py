"""Rows for the sizes that were spoken, and the extent of a mark."""

from spacy.tokens import Doc

from walkround.narration.certainty import GUESSED, WEAK_WORD
from walkround.narration.figures import Measured
from walkround.narration.focus import Target
from walkround.narration.lexicon import Family, Lexicon
from walkround.narration.matches import between
from walkround.narration.measures import quantity_of
from walkround.narration.model import DefectRow, Reading, SizeRow, Step
from walkround.narration.numbers import number_at
from walkround.narration.text import quote, times
from walkround.narration.told import Statement, Told

#: How far (tokens) before and after a tyre's age something may be held against it.
AGE_BEFORE, AGE_AFTER = 8, 16
#: A tyre that is told to be perished within so many tokens of its age has one fault.
AGE_BESIDE = 30
_LENGTHS = ("mm", "cm", "in", "1/32 in")
#: Small words between a size and the end of the bike that it is of ("on the front", "at the back").
_TO_AXIS = frozenset("on at up out in for the of left about all and 's has got is one".split())
#: After one of these an end of the bike is the subject of what follows ("five mil, the back has three").
_SUBJECT_VERBS = frozenset("'s has have is got about had was".split())
#: Families whose members are told apart by "front" and "back" alone.
_ENDS = ("tyre", "pads", "disc")


def read_sizes(doc: Doc, lexicon: Lexicon, told: Told, measures: list[Measured], reading: Reading) -> None:
    """Fill measurements; give findings their extent; a tyre's age said as a point against it is a finding."""
    for statement in told.statements:
        if statement.said.kind != "measure":
            continue
        measured = measures[int(statement.said.id)]
        targets, sure = _meant(doc, lexicon, told, statement, measured)
        if statement.how in ("focus", "none", *GUESSED) or not targets:
            targets, sure = _by_marking(doc, lexicon, statement, measured, measures) or (targets, sure)
        fitting = _fitting(lexicon, measured, targets)
        fitting = _worn_piece(doc, lexicon, measured, fitting)
        if not fitting or not _usual(lexicon, measured, fitting):
            fitting = _named_beside(doc, lexicon, told, statement, measured) or fitting
        for target in fitting:
            _add(doc, lexicon, told, statement, measured, target, reading, sure)
        money = measured.unit == "psi" and doc[measured.end - 1].text == "pound"
        if not fitting and (measured.quantity or not (targets or measured.bare or money)):
            _unplaced(doc, statement, measured, lexicon, reading)
    _extents(doc, lexicon, reading)


# --- which part was measured -----------------------------------------------------------------------
def _meant(
    doc: Doc, lexicon: Lexicon, told: Told, statement: Statement, measured: Measured
) -> tuple[list[Target], bool]:
    """The parts that the size was tied to, put right by "front" and "back" beside it, and whether that is sure."""
    targets, sure = list(statement.targets), statement.how not in GUESSED
    mention = statement.mention
    if (
        statement.how == "forward"
        and mention
        and _not_measured(doc, lexicon, statement.said.end, mention.start, mention.end)
    ):
        before = [m for m in told.mentions if statement.start <= m.start and m.end <= measured.start and m.targets]
        targets = list(before[-1].targets) if before else []
    only = lexicon.trees["measures.toml"]["only"].get(measured.unit)
    family = _family(lexicon, targets) or (lexicon.families[only] if only and not targets else None)
    if family is None and measured.quantity:
        family = lexicon.families["tyre"] if not targets else None
    axis = (measured.end_said or _axis(doc, lexicon, statement, measured)) if family else None
    if family and axis in family.members:
        return [Target(family.members[axis or ""], next((t.side for t in targets), None))], True
    return targets, sure


def _by_marking(
    doc: Doc, lexicon: Lexicon, statement: Statement, measured: Measured, measures: list[Measured]
) -> tuple[list[Target], bool] | None:
    """ "Four mil on the front, and they're a twenty-three date code": where a tyre's marking stands beside a depth and
    no part is named, tyres are meant."""
    start, end = doc._.clauses.span_of(measured.start)
    marked = any(m.quantity for m in between(measures, start, end))
    named = any(t.kind in ("part", "family") for t in between(doc._.terms.things, start, end))
    if not marked or named or not (measured.quantity or measured.unit in ("mm", "1/32 in", "psi", "bar")):
        return None
    members = lexicon.families["tyre"].members
    axis = measured.end_said or _axis(doc, lexicon, statement, measured)
    if axis in members:
        return [Target(members[axis or ""], None)], True
    several = {"they", "both", "'re"} & {t.text for t in doc[max(start, measured.start - 5) : measured.start]}
    return ([Target(part, None) for part in members.values()], True) if several else None


def _family(lexicon: Lexicon, targets: list[Target]) -> Family | None:
    for name in _ENDS:
        family = lexicon.families[name]
        if any(t.part in family.members.values() for t in targets):
            return family
    return None


def _not_measured(doc: Doc, lexicon: Lexicon, end: int, start: int, stop: int) -> bool:
    """Whether what follows a size is only the tool it was taken with ("with the gauge"), or the subject of what is
    said next ("three to four mil, front one's worn")."""
    words = lexicon.trees["measures.toml"]["tools"]["with"]
    if any(doc[i].text in words for i in range(max(end, start - 3), start)):
        return True
    after = doc[stop].text if stop < len(doc) else ""
    return any(doc._.clauses.before[i] for i in range(end, start + 1)) and after in _SUBJECT_VERBS


def _axis(doc: Doc, lexicon: Lexicon, statement: Statement, measured: Measured) -> str | None:
    """The end of the bike said right after the size, right before it, or at the head of the sentence."""
    near = between(doc._.terms.things, statement.start - 8, measured.end + 8)
    inside = {i for t in near for i in range(t.start, t.end)}
    axis = {w: name for name, words in lexicon.axis.items() for w in words}

    def word(i: int) -> str | None:
        return axis.get(doc[i].text) if i not in inside else None

    for i in range(measured.end, min(measured.end + 4, statement.end)):
        after = doc[i + 1].text if i + 1 < statement.end else ""
        counted = bool(after and number_at([after], 0)) and not doc._.tokens[i].mark  # "front, forty-two rear"
        if word(i) and not (after in _SUBJECT_VERBS or counted or after == "one"):
            return word(i)
        if doc[i].text not in _TO_AXIS or doc[i].text == "and" or doc._.clauses.before[i] > 1:
            break
    for i in range(measured.start - 1, max(statement.start, measured.start - 5) - 1, -1):
        if word(i) and not (i and doc[i - 1].text in ("on", "at")):
            return word(i)
        if doc[i].text not in _TO_AXIS or doc[i].text == "and" or doc._.clauses.before[i + 1] > 0:
            break
    head = statement.start + (doc[statement.start].text == "the")
    either = statement.how == "forward" and len(statement.targets) > 1  # "rear's a 190/55, that tyre"
    if (either or statement.how in ("focus", "before", "none")) and head < measured.start and word(head):
        return word(head)
    return None


def _fitting(lexicon: Lexicon, measured: Measured, targets: list[Target]) -> list[Target]:
    """A bare number fits only what is measured so, a tyre's markings only tyres, a pressure only tyres."""
    table = lexicon.trees["measures.toml"]

    def of(families: list[str]) -> set[str]:
        return {p for f in families for p in (lexicon.families[f].members.values() if f in lexicon.families else (f,))}

    if measured.unit is None:
        return [t for t in targets if t.part in of(["tyre"])]
    if measured.unit in table["only"]:
        return [t for t in targets if t.part in of([table["only"][measured.unit]])]
    if measured.bare:
        return [t for t in targets if t.part in of([*table["bare"]["parts"], *table["bare"]["volts"]])]
    return targets


def _worn_piece(doc: Doc, lexicon: Lexicon, measured: Measured, targets: list[Target]) -> list[Target]:
    """ "The pads in the rear caliper have three mil": the size is that of the pads, at the end of the caliper."""
    table = lexicon.trees["measures.toml"]["instead"]
    if measured.unit not in _LENGTHS or not targets or any(t.part not in table for t in targets):
        return targets
    name = table[targets[0].part]
    family = lexicon.families[name]
    start, end = doc._.clauses.span_of(measured.start)
    named = any(t.id == name or t.id in family.members.values() for t in between(doc._.terms.things, start, end))
    ends = [next((end for end in family.members if t.part.startswith(end)), None) for t in targets]
    return [Target(family.members[end], None) for end in dict.fromkeys(ends) if end] if named else targets


def _usual(lexicon: Lexicon, measured: Measured, targets: list[Target]) -> bool:
    """Whether a unit that is usual of one part ("volts" of the battery) was tied to that part."""
    usual = lexicon.trees["measures.toml"]["usual"].get(measured.unit)
    return usual is None or any(t.part == usual for t in targets)


def _named_beside(doc: Doc, lexicon: Lexicon, told: Told, statement: Statement, measured: Measured) -> list[Target]:
    """What the size fits among the parts named in the same sentence, where it was tied to one that it does not fit."""
    start, end = doc._.clauses.span_of(measured.start)
    for mention in sorted(between(told.mentions, start, end), key=lambda m: abs(m.start - measured.start)):
        if mention.term and not mention.other:
            fitting = _fitting(lexicon, measured, mention.targets)
            if len(fitting) == 1 and _usual(lexicon, measured, fitting) and (measured.unit != "mm" or measured.bare):
                return fitting
    return []


# --- rows --------------------------------------------------------------------------------------------
def _add(
    doc: Doc,
    lexicon: Lexicon,
    told: Told,
    statement: Statement,
    measured: Measured,
    target: Target,
    reading: Reading,
    sure: bool,
) -> None:
    start, end = times(doc, measured.start, measured.end)
    unit, review = measured.unit, measured.review
    if measured.bare and target.part in lexicon.trees["measures.toml"]["bare"]["volts"]:
        unit, review = "V", "no unit was said; volts are only assumed"
    quantity = measured.quantity or quantity_of(lexicon, target.part, unit)
    row = SizeRow(
        quote(doc, statement.start, statement.end), start, end, target.part, target.side,
        quantity=quantity, value=measured.value, unit=unit, approximate=measured.approximate,
        upper=measured.upper, review=_doubt(doc, measured, review or _end_doubt(lexicon, measured, target), sure),
    )  # fmt: skip
    corrected = any(measured.start - 6 <= s < measured.start for s, _ in doc._.terms.cue("joining.corrections"))
    for old in reading.measurements:
        if (
            corrected
            and (old.part, old.side, old.quantity) == (row.part, row.side, quantity)
            and old.quote == row.quote
        ):
            reading.measurements.remove(old)
            break
    if row not in reading.measurements:
        reading.measurements.append(row)
    if quantity == "age" and target.part in lexicon.families["tyre"].members.values():
        _aged(doc, lexicon, told, statement, measured, target, reading)


def _end_doubt(lexicon: Lexicon, measured: Measured, target: Target) -> str | None:
    """Two figures were said of front and rear together: why this one may be that of the other end."""
    return measured.end_doubt if _family(lexicon, [target]) else None


def _doubt(doc: Doc, measured: Measured, known: str | None, sure: bool) -> str | None:
    """Why a person must look at the size before anything is held against it."""
    reasons = [known] if known else []
    if not sure:
        reasons.append("it is not certain which part is meant")
    toks = doc._.tokens[measured.start : measured.end]
    if any(t.probability is not None and t.probability < WEAK_WORD for t in toks):
        reasons.append(f"the recogniser was unsure of “{quote(doc, measured.start, measured.end)}”")
    return "; ".join(reasons) or None


def _unplaced(doc: Doc, statement: Statement, measured: Measured, lexicon: Lexicon, reading: Reading) -> None:
    """A size of which nobody said what it is of: kept for a person, held against nothing."""
    start, end = times(doc, measured.start, measured.end)
    reading.measurements.append(
        SizeRow(
            quote(doc, statement.start, statement.end), start, end,
            quantity=measured.quantity or quantity_of(lexicon, "", measured.unit), value=measured.value,
            unit=measured.unit, approximate=measured.approximate, upper=measured.upper,
            review="it was not said which part this is of",
        )
    )  # fmt: skip


def _aged(
    doc: Doc, lexicon: Lexicon, told: Told, statement: Statement, measured: Measured, target: Target, reading: Reading
) -> None:
    table = lexicon.trees["measures.toml"]["age"]
    text = set(doc[max(0, measured.start - AGE_BEFORE) : min(len(doc), measured.end + AGE_AFTER)].text.split())
    if isinstance(measured.value, str) or measured.value < table["tyre_years"] or not text & set(table["against"]):
        return
    praised = measured.value < table["tyre_years_kept"] and only_praised(doc, told, measured.end)
    start, end = times(doc, statement.start, statement.end)
    row = DefectRow(
        quote(doc, statement.start, statement.end),
        start,
        end,
        target.part,
        None,
        defect="out-of-date",
        at=measured.start,
    )
    row.severity, row.confidence = "moderate", 0.8
    row.trace = [Step("age", quote(doc, measured.start, measured.end), f"tyre of {table['tyre_years']} years or more")]
    beside = [r for r in reading.findings if r.part == row.part and abs(r.at - row.at) <= AGE_BESIDE]
    if any(r.defect == "perished" for r in beside):
        return  # "it's gone hard, ten years old": the age is why
    if praised:
        row.part, row.confidence, row.review = None, 0.4, AGE_ASKED
        if not any(r.review == AGE_ASKED and abs(r.at - row.at) <= AGE_BESIDE for r in reading.unplaced):
            reading.unplaced.append(row)
    elif not any(r.part == row.part and r.defect == row.defect for r in reading.findings):
        reading.findings.append(row)


#: What is asked of an age that only good words follow.
AGE_ASKED = "an age, and what follows speaks for the tyre: is it a fault?"


def only_praised(doc: Doc, told: Told, start: int) -> bool:
    """ "Six years old but it's not cracked": what follows the age speaks for the tyre, and nothing against it."""
    end = doc._.clauses.span_of(start - 1)[1]
    said = [s.said for s in told.statements if start <= s.said.start < end]
    after = [s for s in said if s.kind in ("good", "defect")]
    well = [(s.kind, s.status) in (("good", "said"), ("defect", "denied")) for s in after]
    return bool(well) and all(well)


def _extents(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    for finding in reading.findings:
        sizes = [
            m
            for m in reading.measurements
            if m.part == finding.part and m.unit in _LENGTHS and m.quote == finding.quote
        ]
        sizes = [m for m in sizes if m.quantity in ("length", "size")]
        if sizes:
            size = sizes[0]
            upper = f" to {size.upper:g}" if size.upper is not None else ""
            finding.extent = f"{'about ' if size.approximate else ''}{size.value:g}{upper} {size.unit}"
            continue
        start, end = doc._.clauses.span_of(finding.at)
        for s, _ in doc._.terms.within("extent.phrases", start, end):
            stop = doc._.clauses.span_of(s, 1)[1]
            finding.extent = quote(doc, s, stop)
            break
