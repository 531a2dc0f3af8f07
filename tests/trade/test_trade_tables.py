"""The tables of published values: each has its source, where it holds and as of when; and the glossary is whole."""

from typing import Any

import pytest
from made_records import Make

from walkround.narration.lexicon import Lexicon
from walkround.trade.glossary import terms_of

#: Tables that are our own words or choices and say so in the file.
OURS = {"countries", "spellings", "plausible", "caution"}


def leaves(tree: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Every table that holds a value, with its name; those of countries one level down."""
    found = []
    for name, table in tree.items():
        if name in OURS:
            continue
        inner = [(f"{name}.{key}", value) for key, value in table.items() if isinstance(value, dict)]
        found += [(name, table)] if "source" in table else inner
    return found


def test_every_published_value_names_source_place_and_date(lexicon: Lexicon) -> None:
    tables = leaves(lexicon.trees["limits.toml"])
    assert len(tables) >= 12
    for name, table in tables:
        for key in ("source", "jurisdiction", "date"):
            assert table.get(key), (name, key)


def test_every_part_and_defect_has_its_sentence(lexicon: Lexicon) -> None:
    table = lexicon.trees["glossary.toml"]
    assert set(table["parts"]) == set(lexicon.parts)
    assert set(table["defects"]) == set(lexicon.defects)
    for sentence in (*table["parts"].values(), *table["defects"].values()):
        assert sentence.endswith(".")
        assert sentence[0].isupper()


def test_the_glossary_of_a_page_holds_what_was_spoken_of(make: Make, lexicon: Lexicon) -> None:
    terms = [term for term, _ in terms_of(make("The left mirror is scratched. The rear tyre has four mil."), lexicon)]
    assert terms == ["Mirror", "Rear tyre", "Scratch"]


@pytest.mark.parametrize("word", ["you should", "must", "advise", "recommend", "safe to", "legal"])
def test_the_glossary_gives_no_advice(lexicon: Lexicon, word: str) -> None:
    table = lexicon.trees["glossary.toml"]
    assert word not in " ".join((*table["parts"].values(), *table["defects"].values())).lower()
