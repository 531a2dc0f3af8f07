"""A spoken tread depth beside the legal minimum of a country: a sentence with its source, never a verdict."""

from dataclasses import dataclass

from walkround.report.record import Measurement, Report
from walkround.trade.tables import Tables, TreadRule
from walkround.trade.units import convert, written


@dataclass(frozen=True)
class Checked:
    """The sentence for the page, and whether the figure (or the low end of a range) is at or under the limit."""

    sentence: str
    at_or_under: bool


def check_tread(tables: Tables, report: Report, row: Measurement, country: str) -> Checked | None:
    """None where the country has no sure rule here, or the figure cannot be put in millimetres."""
    rule = tables.tread(country)
    if rule is None or isinstance(row.value, str):
        return None
    depth = convert(float(row.value), row.unit, "mm")
    if depth is None:
        return None
    minimum, note = _minimum(rule, report)
    place = tables.country(country) or country
    figure = (
        f"{row.value:g} {row.unit}" if row.unit == "mm" else f"{row.value:g} {row.unit}, that is {written(depth)} mm,"
    )
    if row.upper is not None:
        figure = f"{row.value:g} to {row.upper:g} {row.unit}, the low end {written(depth)} mm,"
    said = f"{'About ' if row.approximate else ''}{figure}"
    if minimum is None:
        return Checked(f"{said} as spoken. {place}: {note} ({rule.origin.words()}). {tables.caution}", depth <= 0)
    # A figure was spoken to a tenth at best: hundredths from converting units decide nothing.
    depth = round(depth, 2)
    where = "under" if depth < minimum else "at" if depth == minimum else "above"
    sentence = (
        f"{said} as spoken, {where} the legal minimum of {minimum:.1f} mm in {place}: {rule.says}{note} "
        f"({rule.origin.words()}). {tables.caution}"
    )
    return Checked(sentence[:1].upper() + sentence[1:], depth <= minimum)


def _minimum(rule: TreadRule, report: Report) -> tuple[float | None, str]:
    """The minimum that is used and what to say of a lighter class."""
    size, unit = report.bike.get("engine_size"), report.bike.get("engine_size_unit")
    cc = None
    if size and unit and not isinstance(size.value, str):
        cc = convert(float(size.value), str(unit.value), "cc")
    if rule.light_cc is None or rule.light_says is None or cc is None or cc > rule.light_cc:
        return rule.minimum, ""
    if rule.light_minimum is None:
        return None, rule.light_says
    return rule.minimum, f"; {rule.light_says}, and which class this bike is in was not looked up"
