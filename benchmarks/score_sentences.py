"""How well single sentences with keys are read: one part, and what is wrong or right with it.

    python benchmarks/score_sentences.py FILE.jsonl... [--notes]

Each line is {"text", "findings": [{"part": [...], "side", "defect": [...]}], "clear": [[part, side], ...]}; lists hold
what counts as right. A finding counts with its side where the key names one.
"""

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from scoring import match

from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, transcript_row
from walkround.report.record import Media, Report
from walkround.speech.transcript import Segment, Transcript, Word

WORD, STEP = 0.25, 0.3  # seconds


def transcript(text: str) -> Transcript:
    """The words of a text, spoken without pauses."""
    words = [Word(word, 1 + i * STEP, 1 + i * STEP + WORD) for i, word in enumerate(text.split())]
    return Transcript((Segment(words[0].start, words[-1].end, tuple(words)),), "given", "text")


def keyed(paths: list[Path]) -> Iterator[dict[str, Any]]:
    """The lines of the files."""
    for path in paths:
        for line in path.read_text(encoding="utf-8").splitlines():
            yield json.loads(line)


def fits(row: dict[str, Any], key: dict[str, Any]) -> bool:
    """Whether a finding is what the key names."""
    sided = not key.get("side") or row["side"] == key["side"]
    return row["part"] in key["part"] and row["defect"] in key["defect"] and sided


def false_clears(report: Report, keys: list[dict[str, Any]]) -> int:
    """Parts called clear that the key has a fault of, on the same side."""
    clear = [(row.part, row.side) for row in report.checklist if row.state == "clear"]
    return sum(
        part == key["part"][0] and (not side or not key.get("side") or side in (key["side"], "both"))
        for part, side in clear
        for key in keys
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--notes", action="store_true")
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    for path in args.files:
        right = said = true = wrong = shown = cleared = clear = 0
        for line in keyed([path]):
            film = Film(media=Media(), path=None, transcript=transcript_row(transcript(line["text"])))
            report, _ = assemble(Heard(films=[film]), reader.lexicon, reader)
            rows = [row.model_dump() for row in report.findings]
            keys = line["findings"]
            pairs = len(match(rows, keys, fits))
            right, said, true = right + pairs, said + len(rows), true + len(keys)
            shown += len(keys) if rows or report.unplaced else 0
            wrong += false_clears(report, keys)
            good = {(row.part, row.side) for row in report.checklist if row.state == "clear"}
            wanted = [tuple(c) for c in line.get("clear", [])]
            cleared += sum(any(p == q and (s in (t, None) or t in ("both", None)) for q, t in good) for p, s in wanted)
            clear += len(wanted)
            if args.notes and (pairs < len(rows) or pairs < len(keys)):
                print(line["text"], "->", [(r["part"], r["side"], r["defect"]) for r in rows])
        precision, recall = right / max(1, said), right / max(1, true)
        f1 = 2 * precision * recall / max(1e-9, precision + recall)
        print(
            f"{path.name:24} finding F1 {f1:.3f} (P {precision:.3f} R {recall:.3f} of {true})  "
            f"shown {shown / max(1, true):.3f}  clear {cleared / max(1, clear):.3f} of {clear}  false clear {wrong}"
        )


if __name__ == "__main__":
    main()
