"""Fit the weights of walkround/narration/marks.py on punctuated narrations, and say how well they do on others.

    python benchmarks/fit_marks.py FOLDER... [--held-out FOLDER...] [--write]

An averaged perceptron; each FOLDER holds NAME/narration.txt. Prints precision and recall of sentence ends and of any
mark on the held-out narrations. ``--write`` writes walkround/narration/marks.json.
"""

import argparse
import json
import random
import re
from collections import defaultdict
from pathlib import Path

from score_gold import strip
from spacy.tokens import Doc

import walkround.narration.marks as marks
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.narration.text import build_doc
from walkround.speech.imported import read_transcript

ROUNDS, SEED, AT_LEAST = 12, 7, 3
OUT = Path(marks.__file__).with_name("marks.json")


def docs(folders: list[Path], reader: Reader, scratch: Path) -> list[tuple[Doc, list[str]]]:
    """Each narration without its marks, and the marks it had (after each token)."""
    found = []
    for folder in folders:
        for path in sorted(folder.glob("*/narration.txt")):
            full = build_doc(read_transcript(path), reader.lexicon, reader.nlp.vocab)
            scratch.write_text(strip(path.read_text(encoding="utf-8")), encoding="utf-8")
            bare = reader.finder(build_doc(read_transcript(scratch), reader.lexicon, reader.nlp.vocab))
            truth = [{"?": "."}.get(t.mark, t.mark) for t in full._.tokens]
            if [t.text for t in full] != [t.text for t in bare]:
                print(f"left out, since its words differ without marks: {path.parent.name}")
                continue
            for tok in bare._.tokens:
                tok.mark = ""
            found.append((bare, truth))
    return found


def fit(examples: list[tuple[Doc, list[str]]]) -> dict[str, list[float]]:
    """The averaged weights."""
    weights: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    seen: dict[str, int] = defaultdict(int)
    rng, step = random.Random(SEED), 1
    for turn in range(ROUNDS):
        rng.shuffle(examples)
        for doc, truth in examples:
            toks = doc._.tokens
            for i, features in marks.walk(doc):
                scores = [sum(weights[f][k] for f in features) for k in range(3)]
                guess, right = max(range(3), key=scores.__getitem__), marks.MARKS.index(truth[i - 1])
                for f in features if turn == 0 else ():
                    seen[f] += 1
                if guess != right:
                    for f in features:
                        weights[f][right] += 1
                        weights[f][guess] -= 1
                        sums[f][right] += step
                        sums[f][guess] -= step
                step += 1
                # Half the time as it was, half as guessed: it must live with its own mistakes.
                toks[i - 1].mark = truth[i - 1] if rng.random() < 0.5 else marks.MARKS[guess]
    averaged = {f: [round(w - s / step, 2) for w, s in zip(weights[f], sums[f], strict=True)] for f in weights}
    return {f: w for f, w in sorted(averaged.items()) if seen[f] >= AT_LEAST and any(abs(x) >= 0.3 for x in w)}


def measure(examples: list[tuple[Doc, list[str]]], model: dict[str, list[float]]) -> None:
    """Print precision, recall and F1 of sentence ends and of any mark."""
    pairs = []
    for doc, truth in examples:
        for tok in doc._.tokens:
            tok.mark = ""
        silences = [t.silence for t in doc._.tokens]
        for t in doc._.tokens:
            t.silence = 0.0
        marks.restore(doc, model)
        for t, s in zip(doc._.tokens, silences, strict=True):
            t.silence = s
        pairs += [(t.mark, m) for t, m in zip(doc._.tokens[:-1], truth[:-1], strict=True)]
    for name, wanted in (("sentence ends", {"."}), ("any mark", {".", ","})):
        right = sum(g in wanted and t in wanted for g, t in pairs)
        said, true = sum(g in wanted for g, _ in pairs), sum(t in wanted for _, t in pairs)
        p, r = right / max(1, said), right / max(1, true)
        print(f"{name:14} precision {p:.3f} recall {r:.3f} F1 {2 * p * r / max(1e-9, p + r):.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--held-out", nargs="*", type=Path, default=[])
    parser.add_argument("--write", action="store_true")
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    scratch = Path("/tmp") / "narration-without-marks.txt"
    model = fit(docs(args.folders, reader, scratch))
    print(f"{len(model)} features")
    if args.held_out:
        measure(docs(args.held_out, reader, scratch), model)
    if args.write:
        lines = ",\n".join(f"{json.dumps(f, ensure_ascii=False)}: {json.dumps(w)}" for f, w in model.items())
        OUT.write_text("{\n" + re.sub(r"\.0(?=[,\]])", "", lines) + "\n}\n", encoding="utf-8")
    scratch.unlink(missing_ok=True)


if __name__ == "__main__":
    main()
