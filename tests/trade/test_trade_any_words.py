"""Whatever numbers and trade words come in whatever order: no crash, no figure without its words, nothing compared
that is unsure."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from made_records import Make

WORDS = """
one two three four five six seven eight nine ten twelve twenty thirty fifty seventy ninety hundred thousand point half
and a an oh nought 0 7 12 36 120 190 2019 2322 18055 4.5 6.30 1/2 3-4 11,206 190-19 ½ zed R ZR W H M/C (73W) mil mm
inch inches psi bar volts thou pounds cc litre miles kilometres thirty-seconds months years old about roughly to or
between maybe nearly front rear back left the tyre tyres pads disc chain battery tank on of in at has got is it's
date code week DOT plate reg registration VIN frame number MOT until March May 2027 service due serviced keys key both
owners no worn scratch limit minimum pressure matching pair wear bars . , ? sorry
""".split()


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=40), st.sampled_from(["GB", "DE", "FR", "??", ""]))
def test_any_words(make: Make, words: list[str], country: str) -> None:
    text = " ".join(words)
    report = make(text, country=country)
    for row in report.measurements:
        assert row.quote
        assert row.part or row.review
        assert not row.checked_against or (row.part and row.unit)
        assert row.severity is None or row.review
        assert row.upper is None or isinstance(row.value, int | float)
    for fact in report.bike.values():
        assert fact.given or fact.quote
    for question in report.questions:
        assert question.text[-1] in ".?"
