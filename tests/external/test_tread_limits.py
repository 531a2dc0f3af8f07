"""Spoken tread beside the published legal minimum.

Great Britain: SI 1986/1078, regulation 27(1)(f) and (g): over 50 cc at least 1.0 mm (value seen on two police pages).
Germany: StVZO section 36, 1.6 mm, 1.0 mm for mopeds, Klein- and Leichtkrafträder (four pages quoting it). Austria:
KDV section 4(4), 1.6 mm (a court decision quoting it). United States: a wear bar shows 0.8 mm (49 CFR 571.119 S6.4,
a letter of the NHTSA), which is under the minimum of all of them: no wear bar is a legal limit. Ireland: 1.0 mm,
a page of the Road Safety Authority. Italy: Law 142/1992, article 66 (Gazzetta Ufficiale), 1.00 mm, mopeds 0.50 mm.
"""

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.report.record import Fact, Measurement, Media, Report, Tool, TranscriptRow
from walkround.trade.tables import Tables
from walkround.trade.tread import Checked, check_tread

TABLES = Tables(load_lexicon())


def report(**bike: float | str) -> Report:
    return Report(
        tool=Tool(version="0", lexicon_sha256="0"), media=Media(),
        transcript=TranscriptRow(source="none", language="en", timing="given", segments=[]),
        bike={key: Fact(value=value) for key, value in bike.items()},
    )  # fmt: skip


def tread(value: float, unit: str | None = "mm", upper: float | None = None) -> Measurement:
    return Measurement(
        part="rear-tyre", quantity="tread depth", value=value, upper=upper, unit=unit, quote="words", start=0, end=1
    )


def checked(
    value: float, country: str, unit: str | None = "mm", upper: float | None = None, **bike: float | str
) -> Checked | None:
    return check_tread(TABLES, report(**bike), tread(value, unit, upper), country)


@pytest.mark.parametrize(
    ("value", "country", "where", "at_or_under"),
    [
        (1.0, "GB", "at the legal minimum of 1.0 mm in Great Britain", True),
        (0.9, "GB", "under the legal minimum of 1.0 mm", True),
        (1.1, "GB", "above the legal minimum of 1.0 mm", False),
        (1.5, "GB", "above the legal minimum of 1.0 mm", False),
        (1.5, "DE", "under the legal minimum of 1.6 mm in Germany", True),
        (1.6, "DE", "at the legal minimum of 1.6 mm in Germany", True),
        (1.7, "DE", "above the legal minimum of 1.6 mm", False),
        (1.6, "AT", "at the legal minimum of 1.6 mm in Austria", True),
        (0.8, "GB", "under the legal minimum", True),
        (1.0, "IE", "at the legal minimum of 1.0 mm in Ireland", True),
        (1.1, "IE", "above the legal minimum of 1.0 mm", False),
        (1.0, "IT", "at the legal minimum of 1.0 mm in Italy", True),
        (0.9, "IT", "under the legal minimum of 1.0 mm in Italy", True),
    ],
)
def test_boundaries(value: float, country: str, where: str, at_or_under: bool) -> None:
    found = checked(value, country)
    assert found is not None
    assert where in found.sentence
    assert found.at_or_under is at_or_under


def test_every_sentence_has_its_source_and_the_caution() -> None:
    for country, source in (
        ("GB", "SI 1986/1078"),
        ("DE", "StVZO"),
        ("AT", "KDV"),
        ("IE", "Road Safety Authority"),
        ("IT", "Law 142"),
    ):
        found = checked(4.0, country)
        assert found is not None
        assert source in found.sentence
        assert "nobody measured it here" in found.sentence
        assert "licensed tester" in found.sentence


def test_american_thirty_seconds() -> None:
    """2/32 in is 1.59 mm: above the British minimum, under the German one."""
    british, german = checked(2, "GB", "1/32 in"), checked(2, "DE", "1/32 in")
    assert british is not None
    assert german is not None
    assert (british.at_or_under, german.at_or_under) == (False, True)
    assert "1.59 mm" in german.sentence


def test_a_range_is_held_by_its_low_end() -> None:
    found = checked(1.0, "GB", upper=2.0)
    assert found is not None
    assert found.at_or_under
    assert "1 to 2 mm" in found.sentence


def test_fifty_cc_in_great_britain_has_no_depth() -> None:
    found = checked(0.5, "GB", engine_size=50, engine_size_unit="cc")
    assert found is not None
    assert "no depth is set" in found.sentence
    assert not found.at_or_under


def test_a_light_class_is_named_and_the_greater_minimum_kept() -> None:
    found = checked(1.2, "DE", engine_size=125, engine_size_unit="cc")
    assert found is not None
    assert found.at_or_under
    assert "1.0 mm is enough for mopeds" in found.sentence


@pytest.mark.parametrize("country", ["US", "FR", "XX", ""])
def test_nothing_is_compared_where_no_rule_is_sure(country: str) -> None:
    assert checked(0.5, country) is None


@pytest.mark.parametrize("unit", [None, "psi", "furlong"])
def test_nothing_is_compared_where_the_unit_is_none_of_length(unit: str | None) -> None:
    assert checked(0.5, "GB", unit) is None


def test_a_wear_bar_stands_under_every_minimum() -> None:
    bar = float(TABLES.tree["wear_bar"]["depth"])
    assert bar == 0.8
    rules = [TABLES.tread(country) for country in ("GB", "DE", "AT", "IE", "IT")]
    assert all(rule is not None and bar < rule.minimum for rule in rules)
