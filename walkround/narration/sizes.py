"""Rows for the sizes that were spoken, and the extent of a mark."""

from spacy.tokens import Doc

from walkround.narration.attach import Statement, Told
from walkround.narration.focus import Target
from walkround.narration.lexicon import Lexicon
from walkround.narration.measures import Measured, quantity_of
from walkround.narration.model import DefectRow, Reading, SizeRow, Step
from walkround.narration.text import quote, times

#: How far (tokens) before and after a tyre's age something may be held against it.
AGE_BEFORE, AGE_AFTER = 8, 16
_LENGTHS = ("mm", "cm", "in", "1/32 in")


def read_sizes(doc: Doc, lexicon: Lexicon, told: Told, measures: list[Measured], reading: Reading) -> None:
    """Fill measurements; give findings their extent; a tyre's age said as a point against it is a finding."""
    for statement in told.statements:
        if statement.said.kind != "measure":
            continue
        measured = measures[int(statement.said.id)]
        for target in _fitting(lexicon, measured, statement.targets):
            _add(doc, lexicon, statement, measured, target, reading)
    _extents(doc, lexicon, reading)


def _fitting(lexicon: Lexicon, measured: Measured, targets: list[Target]) -> list[Target]:
    """A bare number and a tyre size fit only tyres and pads."""
    depth = {p for f in ("tyre", "pads") for p in lexicon.families[f].members.values()}
    tyres = set(lexicon.families["tyre"].members.values())
    if measured.unit is None:
        return [t for t in targets if t.part in tyres]
    return [t for t in targets if not measured.bare or t.part in depth]


def _add(
    doc: Doc, lexicon: Lexicon, statement: Statement, measured: Measured, target: Target, reading: Reading
) -> None:
    start, end = times(doc, measured.start, measured.end)
    quantity = measured.quantity or quantity_of(lexicon, target.part, measured.unit)
    row = SizeRow(
        quote(doc, statement.start, statement.end), start, end, target.part, target.side,
        quantity=quantity, value=measured.value, unit=measured.unit, approximate=measured.approximate,
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
        _aged(doc, lexicon, statement, measured, target, reading)


def _aged(
    doc: Doc, lexicon: Lexicon, statement: Statement, measured: Measured, target: Target, reading: Reading
) -> None:
    table = lexicon.trees["measures.toml"]["age"]
    text = set(doc[max(0, measured.start - AGE_BEFORE) : min(len(doc), measured.end + AGE_AFTER)].text.split())
    if isinstance(measured.value, str) or measured.value < table["tyre_years"] or not text & set(table["against"]):
        return
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
    if not any(r.part == row.part and r.defect == row.defect for r in reading.findings):
        reading.findings.append(row)


def _extents(doc: Doc, lexicon: Lexicon, reading: Reading) -> None:
    for finding in reading.findings:
        sizes = [
            m
            for m in reading.measurements
            if m.part == finding.part and m.unit in _LENGTHS and m.quote == finding.quote
        ]
        sizes = [m for m in sizes if m.quantity in ("length", "size")]
        if sizes:
            finding.extent = f"{sizes[0].value:g} {sizes[0].unit}"
            continue
        start, end = doc._.clauses.span_of(finding.at)
        for s, _ in doc._.terms.within("extent.phrases", start, end):
            stop = doc._.clauses.span_of(s, 1)[1]
            finding.extent = quote(doc, s, stop)
            break
