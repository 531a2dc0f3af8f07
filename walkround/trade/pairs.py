"""Front and rear tyre beside one another: what was said of make, model and date, and what of it does not meet."""

from walkround.report.record import Fact, Measurement, Question, Report, Spoken
from walkround.trade import datecodes
from walkround.trade.plausibility import evidence

#: Days by which the date codes may differ before it is asked whether the tyres are a pair, and where the same date was
#: said. Our own choice, no source.
APART, APART_SAME = 730, 183
_MAKES = ("front_tyre_make", "rear_tyre_make")
#: What a pair was said to be, where names or dates that differ speak against it.
_SAYS_MAKE, _SAYS_DATE = ("matching", "same make", "same model"), ("matching", "same date")


def tyre_questions(report: Report, rows: list[Measurement]) -> list[Question]:
    """What to ask about the tyres as a pair: nothing published forbids an odd pair, so these are questions."""
    return [*_unsure(report), *_names(report), *_dates(report, rows)]


def _unsure(report: Report) -> list[Question]:
    """Makes and pairs that were less than surely read, once each."""
    asked: dict[str, Question] = {}
    for key in (*_MAKES, "tyre_pair"):
        fact = report.bike.get(key)
        if fact and fact.review:
            text = f"{fact.review[:1].upper()}{fact.review[1:]}. What was meant?"
            asked.setdefault(text, Question(about="tyres", text=text, evidence=evidence(fact)))
    return list(asked.values())


def _names(report: Report) -> list[Question]:
    front, rear = (report.bike.get(key) for key in _MAKES)
    if front is None or rear is None or _plain(front) == _plain(rear):
        return []
    said = report.bike.get("tyre_pair")
    text = f"The front tyre was called “{front.value}” and the rear “{rear.value}”. "
    if said and any(word in _SAYS_MAKE for word in _values(said)):
        text += f"They were said to be {_words(said)}. Which is right?"
    elif said:
        return []  # it was said that they differ, so there is nothing to ask
    else:
        text += "Are they a pair?"
    return [Question(about="tyres", text=text, evidence=evidence(said, front, rear))]


def _dates(report: Report, rows: list[Measurement]) -> list[Question]:
    """Front and rear made years apart by their date codes; months, where the same date was said."""
    made = {}
    for row in rows:
        if row.quantity == "date code" and row.part in ("front-tyre", "rear-tyre"):
            code = datecodes.read_code(str(row.value))
            if code.first and not code.ask:
                made[row.part] = (code.first, row)
    said = report.bike.get("tyre_pair")
    same = bool(said and any(word in _SAYS_DATE for word in _values(said)))
    most = APART_SAME if said and "same date" in _values(said) else APART
    if len(made) < 2 or abs((made["front-tyre"][0] - made["rear-tyre"][0]).days) < most:
        return []
    (front, one), (rear, two) = made["front-tyre"], made["rear-tyre"]
    text = f"The front tyre was made in {front.year} and the rear in {rear.year} by their date codes. "
    text += "They were said to match. Which is right?" if same else "Are they a pair?"
    spoken = [Spoken(quote=row.quote, start=row.start, end=row.end, source=row.source) for row in (one, two)]
    return [Question(about="tyres", text=text, evidence=[*evidence(said), *spoken])]


def _values(said: Fact) -> list[str]:
    return str(said.value).split(", ")


def _words(said: Fact) -> str:
    return " and ".join(f"of the {v}" if v.startswith("same ") else v for v in _values(said))


def _plain(fact: Fact) -> str:
    """A name without case and plural: "Roadlines" is "Roadline"."""
    return " ".join(word.removesuffix("s") for word in str(fact.value).casefold().split())
