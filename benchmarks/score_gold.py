"""How well narrations are read, against their keys.

    python benchmarks/score_gold.py FOLDER... [--notes] [--calibration] [--unpunctuated] [--history FILE]

Each FOLDER holds NAME/narration.txt and NAME/gold.json. Prints one table for all of them and appends a line a
folder to the history, so that a change that costs accuracy is seen.
"""

import argparse
import csv
import json
import re
import tempfile
from pathlib import Path
from typing import Any

from scoring import Counts, fits, match, rates, score

from walkround import __version__
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, transcript_row
from walkround.report.record import Media
from walkround.speech.imported import read_transcript

BANDS = (0.0, 0.5, 0.75, 0.85, 0.9, 0.95, 1.01)


def read_all(folder: Path, reader: Reader, unpunctuated: bool) -> dict[str, tuple[dict[str, Any], dict[str, Any]]]:
    """Name to (key, report) for every narration of a folder."""
    out = {}
    for path in sorted(folder.glob("*/narration.txt")):
        with tempfile.TemporaryDirectory() as scratch:
            source = path
            if unpunctuated:
                source = Path(scratch) / "narration.txt"
                source.write_text(strip(path.read_text(encoding="utf-8")), encoding="utf-8")
            transcript = read_transcript(source)
        heard = Heard(films=[Film(media=Media(), path=None, transcript=transcript_row(transcript))])
        report, _ = assemble(heard, reader.lexicon, reader)
        key = json.loads((path.parent / "gold.json").read_text(encoding="utf-8"))
        out[path.parent.name] = (key, report.model_dump(mode="json"))
    return out


def strip(text: str) -> str:
    """Lower case and without punctuation, pauses kept."""
    lines = [s if s.startswith("[") else re.sub(r"[.,?!;:]+(?=\s|$)", "", s).lower() for s in text.splitlines()]
    return "\n".join(lines)


def total(pairs: dict[str, tuple[dict[str, Any], dict[str, Any]]], notes: bool) -> tuple[dict[str, Counts], int]:
    """Pooled counts and the number of false clears."""
    sums: dict[str, Counts] = {}
    wrong = 0
    for name, (key, report) in pairs.items():
        counts, clears, remarks = score(key, report)
        wrong += len(clears)
        for kind, (right, said, true) in counts.items():
            a, b, c = sums.get(kind, (0, 0, 0))
            sums[kind] = (a + right, b + said, c + true)
        if notes:
            print(f"{name}: finding F1 {rates(counts['finding'])[2]:.2f}")
            for remark in [*remarks, *(f"false clear {c}" for c in clears)]:
                print("   ", remark)
    return sums, wrong


def calibration(pairs: dict[str, tuple[dict[str, Any], dict[str, Any]]]) -> None:
    """How often rows of each band of confidence are right."""
    bands: dict[float, list[bool]] = {}
    for key, report in pairs.values():
        used = {j for _, j in match(report["findings"], key["findings"], lambda r, k: fits(r, k, True))}
        for number, row in enumerate(report["findings"]):
            low = max(b for b in BANDS if b <= row["confidence"])
            bands.setdefault(low, []).append(number in used)
    print(f"\n{'confidence from':16}{'rows':>6}{'right':>8}")
    for low in sorted(bands):
        print(f"{low:<16}{len(bands[low]):>6}{sum(bands[low]) / len(bands[low]):>8.2f}")


def main() -> None:
    """Parse the arguments, score, print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--notes", action="store_true", help="print what was missed (never for set-aside folders)")
    parser.add_argument("--calibration", action="store_true")
    parser.add_argument("--unpunctuated", action="store_true", help="strip punctuation and capitals first")
    parser.add_argument("--history", type=Path, default=Path(__file__).parent / "history.csv")
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    for folder in args.folders:
        pairs = read_all(folder, reader, args.unpunctuated)
        if not pairs:
            raise SystemExit(f"score_gold: no */narration.txt in {folder}")
        sums, wrong = total(pairs, args.notes)
        print(f"\n{folder}\n{'':14}{'right':>6}{'said':>6}{'key':>6}{'P':>7}{'R':>7}{'F1':>7}")
        for kind, counts in sums.items():
            precision, recall, f1 = rates(counts)
            print(f"{kind:14}{counts[0]:6}{counts[1]:6}{counts[2]:6}{precision:7.3f}{recall:7.3f}{f1:7.3f}")
        print(f"false clear   {wrong:6}")
        if args.calibration:
            calibration(pairs)
        new = not args.history.exists()
        with args.history.open("a", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            if new:
                writer.writerow(["version", "folder", "unpunctuated", "false clear", *sums])
            figures = [f"{rates(counts)[2]:.3f}" for counts in sums.values()]
            writer.writerow([__version__, folder.name, int(args.unpunctuated), wrong, *figures])


if __name__ == "__main__":
    main()
