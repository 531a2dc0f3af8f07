"""Chapters of the video: the stretches in which one group of parts is spoken of."""

from walkround.narration.lexicon import GROUP_NAMES, Lexicon
from walkround.narration.model import Reading
from walkround.report.record import Chapter

#: A stretch shorter than this joins its neighbour: video hosts ask for chapters of at least 10 s.
SHORTEST = 10.0


def chapters(lexicon: Lexicon, reading: Reading, duration: float, source: int = 0) -> list[Chapter]:
    """Chapters of one film in order, the first from 0. Times are those of words, never moved; short ones are merged."""
    rows = sorted((row for row in reading.named if row.part and row.source == source), key=lambda row: row.start)
    stretches: list[tuple[float, str]] = []
    for row in rows:
        group = lexicon.parts[row.part or ""].group
        if not stretches or stretches[-1][1] != group:
            stretches.append((row.start, group))
    if not stretches:
        return []
    kept: list[tuple[float, str]] = [(0.0, stretches[0][1])]
    for index, (start, group) in enumerate(stretches[1:], 1):
        end = stretches[index + 1][0] if index + 1 < len(stretches) else duration
        if start - kept[-1][0] >= SHORTEST and end - start >= SHORTEST and group != kept[-1][1]:
            kept.append((start, group))
    return [
        Chapter(source=source, start=round(start, 3), title=GROUP_NAMES[group], group=group) for start, group in kept
    ]
