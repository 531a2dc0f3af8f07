"""Fit the weights of walkround/narration/opinion.py, and say how well they do on narrations that were not used.

    python benchmarks/fit_opinion.py FOLDER... --held-out FOLDER... [--write]

Each FOLDER holds NAME/narration.txt and NAME/gold.json, or *.jsonl of single sentences. Two logistic regressions with
an L2 penalty (scikit-learn, of the extra "fit"): whether a sentence speaks of a fault, and of which kind. Prints for
the held-out narrations the average precision, precision and recall at 0.5, and how often the kind is right.
``--write`` writes walkround/narration/opinion.json, without the small weights.
"""

import argparse
import json
import random
import re
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from score_sentences import keyed
from score_sentences import transcript as sentence
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import average_precision_score
from spacy.tokens import Doc

import walkround.narration.opinion as op
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.speech.imported import read_transcript

sys.path.append(str(Path(__file__).parents[1] / "tests"))  # for their templates
import generator

OUT = Path(op.__file__).with_name("opinion.json")
#: Strength of the penalty (the inverse), the least number of sentences with a feature, the least weight kept.
FAULT, KINDS = (1.0, 2, 0.1), (3.0, 2, 0.2)
#: So many made sentences are added to what was given.
MADE, SEED = 1500, 7
Key = dict[str, Any]
Example = tuple[list[str], list[Key]]


def examples(folders: list[Path], reader: Reader, every: bool = False) -> Iterator[tuple[str, list[Example]]]:
    """For each narration its name and, for each sentence, its features and the findings of the key in it.

    Lines of several sentences have no key a sentence: they are left out or, with ``every``, given without examples.
    """
    for folder in folders:
        for path in sorted(folder.glob("*/narration.txt")):
            doc = reader.parse(read_transcript(path))
            key = json.loads((path.parent / "gold.json").read_text(encoding="utf-8"))
            yield path.parent.name, _sentences(doc, key["findings"])
        for number, line in enumerate(keyed(sorted(folder.glob("*.jsonl")))):
            doc = reader.parse(sentence(line["text"]))
            spans = doc._.clauses.sentences
            single = [(op.features(doc, *spans[0]), line["findings"])] if len(spans) == 1 else []
            if single or every:
                yield f"{folder.name}-{number // 25}", single


def made(reader: Reader, count: int) -> list[Example]:
    """Simple sentences from the templates of the tests: faults said, denied and doubted, and praise of sound parts."""
    chance, lexicon = random.Random(SEED), generator.lexicon()
    ways = list(generator.combinations())
    found = []
    for _ in range(count):
        defect, way, word, part = chance.choice(ways)
        mode = chance.choice(("stated", "denied", "denied", "doubted", "praised"))
        name = chance.choice(generator.names(part))
        side = chance.choice(("left", "right")) if lexicon.parts[part].sided else None
        templates = generator.PRAISE if mode == "praised" else generator.TEMPLATES[mode][way]
        fact = generator.fact_of(mode, chance.choice(templates), part, name, side, defect, word)
        doc = reader.parse(generator.transcript(fact.text))
        key = [{"defect": [fact.defect]}] if mode in ("stated", "doubted") else []
        found.append((features_of(doc), key))
    return found


def features_of(doc: Doc) -> list[str]:
    """The features of a Doc of one sentence."""
    return op.features(doc, 0, len(doc))


def _sentences(doc: Doc, findings: list[Key]) -> list[Example]:
    spans = doc._.clauses.sentences
    bags = [set(_words(" ".join(token.text for token in doc[start:end]))) for start, end in spans]
    within: list[list[Key]] = [[] for _ in spans]
    for finding in findings:
        quote = set(_words(finding["quote"]))
        best = max(range(len(spans)), key=lambda i: (len(quote & bags[i]) / max(1, len(quote)), -len(bags[i])))
        within[best].append(finding)
    return [(op.features(doc, *span), found) for span, found in zip(spans, within, strict=True)]


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+|'[a-z]+", text.lower().replace("’", "'"))


def fit(data: list[Example]) -> op.Model:
    """Both models."""
    fault = _regression([f for f, _ in data], ["fault" if found else "none" for _, found in data], *FAULT)
    single = [(f, found[0]["defect"][0]) for f, found in data if len(found) == 1]
    own = [[name for name in f if name[0] != "k" and name.count(" ") <= 2] for f, _ in single]
    kinds = _regression(own, [kind for _, kind in single], *KINDS)
    return op.Model(fault["fault"], kinds)


def _regression(found: list[list[str]], truth: list[str], strength: float, at_least: int, least: float) -> Any:
    counts = Counter(name for names in found for name in names)
    place = {name: i for i, name in enumerate(sorted(n for n, count in counts.items() if count >= at_least))}
    model = LogisticRegression(C=strength, max_iter=2000).fit(_table(found, place), truth)
    rows: NDArray[np.float64] = model.coef_ if len(model.classes_) > 2 else np.vstack([-model.coef_, model.coef_])
    bias = model.intercept_ if len(model.classes_) > 2 else np.array([-model.intercept_[0], model.intercept_[0]])
    tables = {}
    for label, row, start in zip(model.classes_, rows, bias, strict=True):
        kept = {name: round(float(row[i]), 2) for name, i in place.items() if abs(row[i]) >= least}
        tables[str(label)] = {"bias": round(float(start), 2), **kept}
    return tables


def _table(found: list[list[str]], place: dict[str, int]) -> csr_matrix:
    rows, columns, values = [], [], []
    for number, names in enumerate(found):
        known = [place[name] for name in names if name in place]
        rows += [number] * len(known)
        columns += known
        values += [op.SCALE / np.sqrt(max(1, len(names)))] * len(known)
    return csr_matrix((values, (rows, columns)), shape=(len(found), len(place)))


def check(data: list[Example], model: op.Model) -> None:
    """Print how well the model does."""
    given = [op.opinion(f, model) for f, _ in data]
    truth = np.array([bool(found) for _, found in data])
    chances = np.array([o.fault for o in given])
    said = chances >= 0.5
    right = (said & truth).sum()
    single = [(o, found[0]) for o, (_, found) in zip(given, data, strict=True) if len(found) == 1]
    print(
        f"{len(data):5d} sentences, {truth.sum():4d} with a fault: average precision "
        f"{average_precision_score(truth, chances):.3f}, precision {right / max(1, said.sum()):.3f}, recall "
        f"{right / max(1, truth.sum()):.3f}, kind right {np.mean([o.kind in key['defect'] for o, key in single]):.3f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--held-out", nargs="+", type=Path, required=True)
    parser.add_argument("--write", action="store_true")
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    given = [example for _, data in examples(args.folders, reader) for example in data]
    fitted = fit([*given, *made(reader, MADE)])
    print(f"weights kept: {len(fitted.fault)} and {sum(map(len, fitted.kinds.values()))}")
    for folder in args.held_out:
        print(folder.name, end=" ")
        check([example for _, data in examples([folder], reader) for example in data], fitted)
    if args.write:
        table = {"fault": fitted.fault, "kinds": fitted.kinds}
        OUT.write_text(json.dumps(table, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
