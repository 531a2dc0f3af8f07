"""Plain sentences for the parts and defects that a page names, from lexicon/glossary.toml."""

from walkround.narration.lexicon import Lexicon
from walkround.report.record import Report


def terms_of(report: Report, lexicon: Lexicon) -> list[tuple[str, str]]:
    """(term, sentence) for every part and defect spoken of in the record, in alphabetical order."""
    table = lexicon.trees["glossary.toml"]
    found = [*report.findings, *report.unplaced]
    parts = {row.part for row in found if row.part} | {row.part for row in report.withdrawn if row.part}
    parts |= {row.part for row in report.repaired if row.part} | {row.part for row in report.measurements if row.part}
    parts |= {check.part for check in report.checklist if check.state != "not-mentioned"}
    defects = {row.defect for row in found} | {row.defect for row in report.withdrawn}
    defects |= {row.defect for row in report.repaired if row.defect}
    terms = [(lexicon.parts[p].name, table["parts"][p]) for p in parts if p in table["parts"] and p in lexicon.parts]
    terms += [
        (lexicon.defects[d].name.capitalize(), table["defects"][d])
        for d in defects
        if d in table["defects"] and d in lexicon.defects
    ]
    return sorted(terms, key=lambda row: (row[0].casefold(), row[1]))
