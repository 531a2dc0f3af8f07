"""The trade step: what was spoken, held against published values. A pure function from record to record.

It fills ``meaning``, ``checked_against``, ``severity`` and ``review`` of measurements, ``meaning`` of facts, and
``questions``; a finding on a part whose figure is at or under a limit becomes serious. It takes nothing away, changes
no value and no quote, and says nothing of a figure whose unit, part or number is unsure: that one goes to a person.
"""

from datetime import date

from walkround.narration.lexicon import Lexicon
from walkround.report.record import Fact, Finding, Measurement, Question, Report, Spoken
from walkround.trade import datecodes, plausibility, registration, tyres, vin
from walkround.trade.days import day_of
from walkround.trade.pairs import tyre_questions
from walkround.trade.tables import DEFAULT_COUNTRY, Tables
from walkround.trade.tread import Checked, check_tread
from walkround.trade.units import convert, written

#: Defects that a figure at or under a limit makes serious: they are about what the figure measures.
WORN = ("wear", "out-of-date", "something-wrong")


def trade_checked(report: Report, lexicon: Lexicon) -> Report:
    """The record with what its numbers mean. The country is ``bike["country"]`` where given, else Great Britain."""
    tables = Tables(lexicon)
    today = day_of(report.media.recorded_at)
    country = tables.code(str(report.bike["country"].value)) if "country" in report.bike else DEFAULT_COUNTRY
    questions = list(report.questions)
    looked = [_measured(tables, report, row, country, today) for row in report.measurements]
    rows = [row for row, _ in looked]
    questions += _country_questions(tables, country, rows)
    questions += [_asked(lexicon, row, ask) for row, ask in looked if ask]
    questions += tyre_questions(report, rows) + _wear_bars(tables, lexicon, report, country)
    questions += _bike_questions(tables, lexicon, report, today)
    serious = {(row.part, row.source) for row in rows if row.severity == "serious"}
    return report.model_copy(
        update={
            "measurements": rows,
            "findings": [_raised(f, rows) if (f.part, f.source) in serious else f for f in report.findings],
            "bike": _meanings(tables, report, today),
            "questions": _once(questions),
        }
    )


# --- one measurement ---------------------------------------------------------------------------------
def _measured(
    tables: Tables, report: Report, row: Measurement, country: str, today: date | None
) -> tuple[Measurement, str | None]:
    """One figure with what it means and what it is held against, and what to ask a person about it."""
    found: dict[str, str | None] = {}
    ask: str | None = None
    reasons = [row.review] if row.review else []
    if row.quantity == "tyre size":
        found["meaning"], ask = tyres.meaning(tables, str(row.value))
    elif row.quantity == "date code":
        found["meaning"], ask = datecodes.meaning(tables, str(row.value), today)
    else:
        ask = _implausible(tables, row)
        if ask is None and not reasons and row.part is not None:
            found |= _held(tables, report, row, country)
            if found.get("severity"):
                reasons.append("at or under a published limit: a person must look before anyone relies on it")
    reasons += [ask] if ask else []
    return row.model_copy(update={**found, "review": "; ".join(reasons) or None}), ask


def _held(tables: Tables, report: Report, row: Measurement, country: str) -> dict[str, str | None]:
    """What a sure figure is held against: only tread has published limits; those of pads and discs are the maker's."""
    limits = tables.tree["makers_limit"]
    if kind := {"pad thickness": "pads", "disc thickness": "disc"}.get(row.quantity):
        return {"checked_against": f"{limits[kind]} ({tables.origin('makers_limit').source}). {tables.caution}"}
    if row.quantity == "tread depth" and row.part in ("front-tyre", "rear-tyre"):
        checked: Checked | None = check_tread(tables, report, row, country)
        if checked:
            return {"checked_against": checked.sentence, "severity": "serious" if checked.at_or_under else None}
    if row.quantity == "age" and row.part in ("front-tyre", "rear-tyre") and not isinstance(row.value, str):
        years, origin = tables.tree["tyre_age"]["years"], tables.origin("tyre_age")
        if row.value >= years:
            return {"meaning": f"{years} years or more: many change a motorcycle tyre by then ({origin.source})."}
    return {}


def _implausible(tables: Tables, row: Measurement) -> str | None:
    """A figure outside what can be: more likely misheard than true."""
    bounds = tables.plausible(row.quantity)
    if bounds is None or isinstance(row.value, str):
        return None
    unit, low, high = bounds
    for value in (row.value, row.upper):
        known = convert(float(value), row.unit, unit) if value is not None else None
        if known is not None and not low <= known <= high:
            return (
                f"{written(float(value or 0))} {row.unit} is outside {low:g} to {high:g} {unit}, what is usual for "
                f"{row.quantity}; was it heard right?"
            )  # fmt: skip
    return None


def _raised(finding: Finding, rows: list[Measurement]) -> Finding:
    """A finding about wear, on a part whose figure is at or under a limit, is serious and for a person to see."""
    if finding.defect not in WORN:
        return finding
    figure = next(r for r in rows if r.severity == "serious" and (r.part, r.source) == (finding.part, finding.source))
    reason = f"the figure spoken of this part (“{figure.quote}”) is at or under a published limit"
    review = f"{finding.review}; {reason}" if finding.review else reason
    return finding.model_copy(update={"severity": "serious", "review": review})


# --- questions ---------------------------------------------------------------------------------------
def _country_questions(tables: Tables, country: str, rows: list[Measurement]) -> list[Question]:
    name = tables.country(country)
    if name is None:
        known = ", ".join(sorted(tables.tree["countries"]))
        text = f"“{country}” is no country that is known here ({known}), so nothing was compared. Which law applies?"
        return [Question(about="country", text=text)]
    if tables.tread(country) is None and any(row.quantity == "tread depth" for row in rows):
        text = (
            f"No published minimum of tread is kept for {name}, so nothing was compared. What does the law there say?"
        )
        return [Question(about="country", text=text)]
    return []


def _asked(lexicon: Lexicon, row: Measurement, ask: str) -> Question:
    name = lexicon.parts[row.part].name if row.part in lexicon.parts else "part not known"
    return Question(about=f"{name}: {row.quantity}", text=_sentence(ask), evidence=[_said(row)])


def _wear_bars(tables: Tables, lexicon: Lexicon, report: Report, country: str) -> list[Question]:
    """ "Down to the wear bars" is not "at the legal limit": the bar stands lower than some minimums."""
    rule, bar = tables.tread(country), tables.tree["wear_bar"]
    said = [
        f
        for f in (*report.findings, *report.unplaced)
        if lexicon.holds(" ".join(lexicon.fold(f.quote)), bar["words"]) and (f.part is None or f.part.endswith("tyre"))
    ]
    if not said or rule is None or bar["depth"] >= rule.minimum:
        return []
    text = (
        f"A wear bar of a motorcycle tyre shows {bar['depth']} mm ({bar['source']}), which is under the "
        f"{rule.minimum:.1f} mm that the law asks for in {tables.country(country)} ({rule.origin.source}). "
        f"How deep is the tread? {tables.caution}"
    )
    return [Question(about="wear bars", text=text, evidence=[_said(f) for f in said[:3]])]


def _bike_questions(tables: Tables, lexicon: Lexicon, report: Report, today: date | None) -> list[Question]:
    bike, asked = report.bike, []
    name = bike.get("name")
    if name and name.review and "title" not in bike:
        text = f"What is the bike called? “{name.value}” was read, but {name.review}."
        asked.append(Question(about="name", text=text, evidence=plausibility.evidence(name)))
    year = plausibility.year_said(report)
    mark, plate = bike.get("registration"), bike.get("plate_age")
    if mark and mark.value:
        odd = registration.form_question(tables, str(mark.value))
        asked += [Question(about="registration", text=odd, evidence=plausibility.evidence(mark))] if odd else []
    identifier = str(plate.value) if plate else registration.identifier_of(str(mark.value)) if mark else None
    if mark and plate and (own := registration.identifier_of(str(mark.value))) and own != str(plate.value):
        text = f"The age on the plate was said as {plate.value}, and the mark {mark.value} has {own}. Which is right?"
        asked.append(Question(about="registration", text=text, evidence=plausibility.evidence(plate, mark)))
    if identifier and year:
        odd = registration.year_question(tables, identifier, year)
        if odd:
            asked.append(
                Question(about="year and plate", text=odd, evidence=plausibility.evidence(bike.get("year"), plate))
            )
    number = bike.get("vin")
    if number:
        last = today.year + 1 if today else 2039
        asked += [
            Question(about="frame number", text=text, evidence=plausibility.evidence(number))
            for text in vin.questions(tables, str(number.value), year, last)
        ]
    asked += plausibility.day_questions(report, today)
    asked += plausibility.mileage_questions(tables, report, today)
    asked += plausibility.paper_questions(report, today)
    asked += plausibility.key_questions(report)
    asked += plausibility.history_questions(report, *_history(lexicon, report))
    return asked


def _history(lexicon: Lexicon, report: Report) -> tuple[list[Spoken], bool]:
    """Where a full service history was said, and whether anything that proves it was mentioned."""
    table = lexicon.trees["glossary.toml"]["history"]
    claims: list[Spoken] = []
    proof = False
    transcripts = [report.transcript, *report.added_transcripts]
    for source, transcript in enumerate(transcripts):
        for segment in transcript.segments:
            folded = " ".join(lexicon.fold(segment.text))
            if lexicon.holds(folded, table["full"]) and not lexicon.holds(folded, table["denied"]):
                claims.append(Spoken(quote=segment.text, start=segment.start, end=segment.end, source=source))
            proof = proof or lexicon.holds(folded, table["proof"])
    return claims, proof


# --- what facts mean -----------------------------------------------------------------------------------
def _meanings(tables: Tables, report: Report, today: date | None) -> dict[str, Fact]:
    bike = dict(report.bike)
    plate, mileage = bike.get("plate_age"), bike.get("mileage")
    meaning = registration.meaning(tables, str(plate.value)) if plate else None
    if plate and meaning:
        bike["plate_age"] = plate.model_copy(update={"meaning": meaning})
    worked = plausibility.use(report, today)
    if mileage and worked:
        bike["mileage"] = mileage.model_copy(update={"meaning": f"{worked.sum}."})
    return bike


def _said(row: Spoken) -> Spoken:
    return Spoken(quote=row.quote, start=row.start, end=row.end, source=row.source)


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?")) else f"{text}."


def _once(questions: list[Question]) -> list[Question]:
    """Each question once, in order."""
    kept: list[Question] = []
    for question in questions:
        if all((q.about, q.text) != (question.about, question.text) for q in kept):
            kept.append(question)
    return kept
