"""Seconds that the reading takes, from the words to the rows: 10 minutes of narration, and the curve to 10 hours.

    python benchmarks/bench_reading.py

The words are those of tests/gold, repeated. Prints the ratio of seconds to words against the first row.
"""

import time
from pathlib import Path

from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.speech.transcript import Segment, Transcript, Word

GOLD = Path(__file__).resolve().parents[1] / "tests" / "gold"
WORDS_A_MINUTE = 160


def transcript(minutes: int) -> Transcript:
    """A narration of that many minutes."""
    texts = [p.read_text(encoding="utf-8") for p in sorted(GOLD.glob("*/narration.txt"))]
    words = [w for text in texts for line in text.splitlines() if not line.startswith("[") for w in line.split()]
    wanted = minutes * WORDS_A_MINUTE
    words = (words * (wanted // len(words) + 1))[:wanted]
    step = 60 / WORDS_A_MINUTE
    timed = tuple(Word(w, i * step, (i + 1) * step) for i, w in enumerate(words))
    return Transcript((Segment(0.0, timed[-1].end, timed),), "given", "repeated gold")


def main() -> None:
    """Time and print."""
    start = time.perf_counter()
    reader = Reader(load_lexicon())
    reader.read(transcript(1))
    print(f"loading the lexicon and compiling it: {time.perf_counter() - start:.2f} s")
    print(f"{'minutes':>8}{'words':>8}{'seconds':>9}{'ms a word':>11}{'ratio':>7}")
    base = None
    for minutes in (10, 30, 60, 150, 300, 600):
        words = transcript(minutes)
        start = time.perf_counter()
        reader.read(words)
        seconds = time.perf_counter() - start
        each = 1000 * seconds / (minutes * WORDS_A_MINUTE)
        base = base or each
        print(f"{minutes:8}{minutes * WORDS_A_MINUTE:8}{seconds:9.2f}{each:11.3f}{each / base:7.2f}")


if __name__ == "__main__":
    main()
