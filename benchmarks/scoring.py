"""Scoring a report against the key of a narration.

finding        part and defect right, one row of the report to one of the key
finding+side   and the side right, where the key names one
disclosed      findings of the key whose words some finding or unplaced row quotes, whatever it calls them
false clear    parts reported in order on which the key has a fault on the same side: must be 0
clear, not mentioned, covered, measurement, severity, tentative, promises, guesses, excluded, bike facts
               see each function; the format of a key is in tests/gold/README.md
"""

import re
from collections.abc import Callable
from typing import Any

Row = dict[str, Any]
Counts = tuple[int, int, int]  # right, said, true


def words(text: str | None) -> set[str]:
    """The distinct words of a text, lower case."""
    return set(re.findall(r"[a-z0-9']+", (text or "").lower()))


def overlap(quote: str, other: str) -> float:
    """Share of the quote's distinct words that stand in ``other``, 0 to 1."""
    wanted = words(quote)
    return len(wanted & words(other)) / len(wanted) if wanted else 0.0


def quoted(quote: str, rows: list[str]) -> bool:
    """Whether some row holds at least six in ten of the quote's words."""
    return any(overlap(quote, row) >= 0.6 for row in rows)


def fits(row: Row, key: Row, with_side: bool) -> bool:
    """Whether a finding is the one of the key."""
    if row.get("part") not in key["part"] or row.get("defect") not in key["defect"]:
        return False
    return not with_side or not key.get("side") or row.get("side") == key["side"]


def match(rows: list[Row], keys: list[Row], same: Callable[[Row, Row], bool]) -> list[tuple[int, int]]:
    """The largest one-to-one matching, by augmenting paths: pairs (key, row)."""
    owner: dict[int, int] = {}

    def place(key: int, seen: set[int]) -> bool:
        for number, row in enumerate(rows):
            if number in seen or not same(row, keys[key]):
                continue
            seen.add(number)
            if number not in owner or place(owner[number], seen):
                owner[number] = key
                return True
        return False

    for key in range(len(keys)):
        place(key, set())
    return [(key, number) for number, key in owner.items()]


def same_value(one: object, two: object) -> bool:
    """Numbers as numbers; a tyre size as its letters and digits."""
    try:
        return abs(float(str(one)) - float(str(two))) < 1e-6
    except ValueError:
        return re.sub(r"\W", "", str(one).lower()) == re.sub(r"\W", "", str(two).lower())


def same_size(row: Row, key: Row) -> bool:
    """Part, unit and value right."""
    return row["part"] in key["part"] and row["unit"] == key.get("unit") and same_value(row["value"], key["value"])


def _sides(side: str | None) -> set[str]:
    return {"left", "right"} if side == "both" else {side} if side else set()


def false_clears(clear: list[Row], findings: list[Row]) -> list[str]:
    """Parts said to be in order of which the key has a fault on the same (or an unsaid) side."""
    wrong = []
    for row in clear:
        for key in findings:
            one, two = _sides(row["side"]), _sides(key.get("side"))
            if row["part"] == key["part"][0] and (not one or not two or one & two):
                wrong.append(f"{row['part']} ({row['side']}): {key['quote']}")
                break
    return wrong


def score(key: Row, report: Row) -> tuple[dict[str, Counts], list[str], list[str]]:
    """Counts by measure, the false clears, and the misses and extras among findings."""
    found, keys = report["findings"], key["findings"]
    clear = [row for row in report["checklist"] if row["state"] == "clear"]
    pairs = match(found, keys, lambda r, k: fits(r, k, False))
    strict = match(found, keys, lambda r, k: fits(r, k, True))
    spoken = [row["quote"] for row in (*found, *report["unplaced"])]
    states: dict[str, set[str]] = {}
    for row in report["checklist"]:
        states.setdefault(row["part"], set()).add(row["state"])
    skipped = {part for part, seen in states.items() if seen == {"not-mentioned"}}
    spoken_of = [k["part"] for k in (*keys, *key["clear"])] + [[part] for part in key["named_only"]]
    disclosed = sum(quoted(k["quote"], spoken) for k in keys)
    covered = sum(any(part not in skipped for part in parts) for parts in spoken_of)
    missed = sum(part in skipped for part in key["not_mentioned"])
    good = match(clear, key["clear"], lambda r, k: r["part"] in k["part"])
    sizes = match(report["measurements"], key["measurements"], same_size)
    counts: dict[str, Counts] = {
        "finding": (len(pairs), len(found), len(keys)),
        "finding+side": (len(strict), len(found), len(keys)),
        "disclosed": (disclosed, disclosed, len(keys)),
        "clear": (len(good), len(clear), len(key["clear"])),
        "not mentioned": (missed, missed, len(key["not_mentioned"])),
        "covered": (covered, covered, len(spoken_of)),
        "measurement": (len(sizes), len(report["measurements"]), len(key["measurements"])),
    }
    for kind in ("severity", "tentative"):
        right = sum(found[j][kind] == keys[i][kind] for i, j in pairs)
        counts[kind] = (right, len(pairs), len(pairs))
    for kind in ("promises", "guesses", "excluded"):
        rows = [row["quote"] for row in report[kind]]
        got = sum(quoted(k["quote"], rows) for k in key[kind])
        counts[kind] = (got, len(rows), len(key[kind]))
    facts = sum(str(report["bike"].get(k, {}).get("value")) == str(v) for k, v in key["bike"].items())
    counts["bike facts"] = (facts, facts, len(key["bike"]))
    hit, used = {i for i, _ in pairs}, {j for _, j in pairs}
    notes = [f"missed {k['part'][0]}/{k['defect'][0]}: {k['quote']}" for i, k in enumerate(keys) if i not in hit]
    notes += [f"extra {r['part']}/{r['defect']}: {r['quote']}" for j, r in enumerate(found) if j not in used]
    return counts, false_clears(clear, keys), notes


def rates(counts: Counts) -> tuple[float, float, float]:
    """Precision, recall, F1. Nothing said or nothing true counts as 1."""
    right, said, true = counts
    precision, recall = right / said if said else 1.0, right / true if true else 1.0
    return precision, recall, 2 * precision * recall / (precision + recall) if precision + recall else 0.0
