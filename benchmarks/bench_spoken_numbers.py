"""Spoken measurements through a real voice and the real recogniser.

    python benchmarks/bench_spoken_numbers.py [--model SIZE|FOLDER] [--wrong]

Says the sentences of tests/trade (written and made) with a pause between them, listens once, reads each sentence from
what was heard between its own times, and prints how many are right in value and unit, beside the same from text.
"""

import argparse
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "trade"), str(ROOT)]

import generator  # noqa: E402
from spoken_cases import Case, made, right, written  # noqa: E402
from spoken_hearing import heard  # noqa: E402

from walkround.narration.reader import Reader  # noqa: E402


def line(name: str, good: int, all_of: int) -> str:
    """One line of the printed table."""
    return f"{name:28}{good:>5} of {all_of:<5}{good / all_of:7.3f}"


def main() -> None:
    """Parse, speak, listen, read, print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--model", default=None)
    parser.add_argument("--wrong", action="store_true", help="print what was read wrongly")
    parser.add_argument("--only", type=int, default=None, help="the first so many of each half")
    args = parser.parse_args()
    reader = Reader(generator.lexicon())
    for name, cases in (("written", written()[: args.only]), ("made", made()[: args.only])):
        from_text = sum(right(c, reader.read(generator.transcript(c.said))) for c in cases)
        results: list[tuple[Case, str, bool]] = []
        for case, talk in zip(cases, heard([c.said for c in cases], args.model), strict=True):
            words = " ".join(w.text for w in talk.words())
            results.append((case, words, right(case, reader.read(talk))))
        print(line(f"{name}, text", from_text, len(cases)))
        print(line(f"{name}, spoken and heard", sum(ok for *_, ok in results), len(cases)))
        for case, words, ok in results if args.wrong else ():
            if not ok:
                print(f"    {case.said}\n        heard: {words}")


if __name__ == "__main__":
    main()
