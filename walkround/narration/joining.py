"""Joining the readings of several films of one walk-round into one."""

from dataclasses import fields

from walkround.narration.model import Reading


def joined(readings: list[Reading]) -> Reading:
    """One reading of them all, in order; each row knows by ``source`` which film it is of."""
    first, *further = readings
    for source, reading in enumerate(further, 1):
        _join(first, reading, source)
    return first


def _join(whole: Reading, reading: Reading, source: int) -> None:
    for key, fact in reading.facts.items():
        fact.source = source
        whole.facts.setdefault(key, fact)
    for field in fields(Reading):
        rows = getattr(reading, field.name)
        if field.name == "facts":
            continue
        for row in rows:
            row.source = source
        getattr(whole, field.name).extend(rows)
