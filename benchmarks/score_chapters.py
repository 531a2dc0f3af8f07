"""How well the chapters begin where the narrations go to another place: boundary F1 at 5 s.

    python benchmarks/score_chapters.py [--each] [gold|gold_open ...]

The reference is tests/report/places.toml, marked by hand. Narrations are timed as plain text is: 170 words a
minute, the written pauses kept. ``--even`` takes away the longer pauses between paragraphs, which a narrator need
not make: all silences but the written ones are then of one length. A cut each 20 s stands beside as a baseline.
"""

import argparse
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests" / "report"))

from boundaries import annotated, narrations, pooled, proposed  # noqa: E402

from walkround.narration.lexicon import load_lexicon  # noqa: E402
from walkround.narration.reader import Reader  # noqa: E402


def main() -> None:
    """Print precision, recall and F1 for each set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sets", nargs="*", default=["gold", "gold_open"])
    parser.add_argument("--each", action="store_true")
    parser.add_argument("--even", action="store_true")
    chosen = parser.parse_args()
    reader = Reader(load_lexicon())
    for name in chosen.sets:
        counts, flat = [], []
        for folder in narrations(name):
            true = annotated(name, folder, even=chosen.even)
            found = proposed(reader, folder, even=chosen.even)
            starts = [start for start, _ in found]
            counts.append((starts[1:], true))
            flat.append(([20.0 * n for n in range(1, int(found.end / 20))], true))
            if chosen.each:
                right, said, wanted = pooled(counts[-1:])[:3]
                print(f"{folder.name:28} {right} of {wanted}, {said} said")
                for start, title in found:
                    near = any(abs(start - t) <= 5 for t in true)
                    print(f"   {'+' if near or not start else '-'} {start:7.1f} {title}")
                for moment in true:
                    if all(abs(start - moment) > 5 for start in starts[1:]):
                        print(f"   lost {moment:7.1f}")
        for label, rows in (("chapters", counts), ("a cut each 20 s", flat)):
            right, said, wanted, f1 = pooled(rows)
            print(f"{name:10} {label:16} right {right} said {said} true {wanted}  F1 {f1:.3f}")


if __name__ == "__main__":
    main()
