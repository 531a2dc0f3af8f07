"""Fit the weights of walkround/narration/certainty.py on narrations with keys, and check them on others.

    python benchmarks/fit_certainty.py FOLDER... --held-out FOLDER... [--write]

Each FOLDER holds NAME/narration.txt and NAME/gold.json, or *.jsonl of single sentences. A logistic regression with an
L2 penalty, solved by Newton's method. Prints, for the held-out narrations, how often rows of each band of confidence
are right, and the area under the ROC curve. ``--write`` writes walkround/narration/certainty.json.
"""

import argparse
import json
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import fit_opinion
import numpy as np
from numpy.typing import NDArray
from score_sentences import keyed
from score_sentences import transcript as sentence
from scoring import fits, match

import walkround.narration.certainty as certainty
import walkround.narration.making as making
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.speech.imported import read_transcript
from walkround.speech.transcript import Transcript

PENALTY, ROUNDS, AT_LEAST, FOLDS = 2.0, 60, 8, 4
BANDS = (0.0, 0.35, 0.5, 0.6, 0.7, 0.8, 0.9, 1.01)
OUT = Path(certainty.__file__).with_name("certainty.json")
Example = tuple[list[str], bool]


def examples(folders: list[Path], reader: Reader, only: Callable[[int], bool] = lambda number: True) -> list[Example]:
    """Features of every finding that the reading made, and whether the key has it (part and defect)."""
    seen: dict[int, list[str]] = {}

    def keep(doc: Any, statement: Any, row: Any, earlier: Any) -> None:
        seen[id(row)] = certainty.features_of(doc, statement, row, earlier)

    original, making.sureness = making.sureness, keep  # type: ignore[assignment]
    found = []
    try:
        for number, (transcript, key) in enumerate(_read(folders)):
            if not only(number):
                continue
            seen.clear()
            findings = reader.read(transcript).findings
            plain = [{"part": r.part, "side": r.side, "defect": r.defect} for r in findings]
            right = {j for _, j in match(plain, key["findings"], lambda row, gold: fits(row, gold, False))}
            found += [(seen[id(r)], j in right) for j, r in enumerate(findings) if id(r) in seen]
    finally:
        making.sureness = original
    return found


def _crossed(folders: list[Path], reader: Reader) -> list[Example]:
    """The same, each narration with a second opinion that was fitted on the others."""
    made = fit_opinion.made(reader, fit_opinion.MADE)
    heard = [sentences for _, sentences in fit_opinion.examples(folders, reader, every=True)]
    found = []
    shipped = reader.opinions
    for fold in range(FOLDS):
        others = [sentence for n, sentences in enumerate(heard) if _fold(n) != fold for sentence in sentences]
        reader.opinions = fit_opinion.fit([*others, *made])
        found += examples(folders, reader, lambda number, fold=fold: _fold(number) == fold)  # type: ignore[misc]
    reader.opinions = shipped
    return found


def _fold(number: int) -> int:
    return number * 7919 % 104729 % FOLDS  # spread, the same in each run


def _read(folders: list[Path]) -> Iterator[tuple[Transcript, dict[str, Any]]]:
    for folder in folders:
        for path in sorted(folder.glob("*/narration.txt")):
            yield read_transcript(path), json.loads((path.parent / "gold.json").read_text(encoding="utf-8"))
        for line in keyed(sorted(folder.glob("*.jsonl"))):
            yield sentence(line["text"]), line


def fit(data: list[Example]) -> dict[str, float]:
    """Feature to weight, with "bias"."""
    counts: dict[str, int] = {}
    for features, _ in data:
        for feature in features:
            counts[feature] = counts.get(feature, 0) + 1
    names = sorted(f for f, n in counts.items() if n >= AT_LEAST)
    place = {name: i for i, name in enumerate(names)}
    table: NDArray[np.float64] = np.zeros((len(data), len(names) + 1))
    table[:, -1] = 1
    for i, (features, _) in enumerate(data):
        for feature in features:
            if feature in place:
                table[i, place[feature]] = 1
    truth = np.array([right for _, right in data], dtype=float)
    weights = np.zeros(table.shape[1])
    penalty = np.full(len(weights), PENALTY)
    penalty[-1] = 1e-6
    for _ in range(ROUNDS):
        chance = 1 / (1 + np.exp(-table @ weights))
        slope = table.T @ (chance - truth) + penalty * weights
        curve = table.T @ (table * (chance * (1 - chance))[:, None]) + np.diag(penalty)
        weights -= np.linalg.solve(curve, slope)
    return {name: round(float(w), 3) for name, w in zip([*names, "bias"], weights, strict=True)}


def check(data: list[Example], model: dict[str, float]) -> None:
    """Print the bands and the area under the ROC curve."""
    chances = np.array([certainty.chance(features, model) for features, _ in data])
    truth = np.array([right for _, right in data])
    print("confidence from   rows   right")
    for low, high in pairwise(BANDS):
        band = (chances >= low) & (chances < high)
        print(f"{low:<15} {band.sum():7d}   {truth[band].mean() if band.any() else float('nan'):.2f}")
    order = np.argsort(chances)
    rank = np.empty(len(order))
    rank[order] = np.arange(len(order))
    wins = rank[truth].sum() - truth.sum() * (truth.sum() - 1) / 2
    print(f"area under the ROC curve {wins / max(1, truth.sum() * (~truth).sum()):.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--held-out", nargs="+", type=Path, required=True)
    parser.add_argument("--write", action="store_true")
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    data = _crossed(args.folders, reader)
    model = fit(data)
    print(f"fitted on {len(data)} rows, {np.mean([right for _, right in data]):.3f} of them right")
    check(examples(args.held_out, reader), model)
    if args.write:
        OUT.write_text(json.dumps(model, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
