"""One form for each word, whoever wrote it down."""

import pytest

from walkround.narration.folding import fold_phrase, pieces, singular
from walkround.narration.lexicon import Lexicon


@pytest.mark.parametrize(
    ("word", "one"),
    [
        ("scratches", "scratch"),
        ("brushes", "brush"),
        ("boxes", "box"),
        ("batteries", "battery"),
        ("mirrors", "mirror"),
        ("tyres", "tyre"),
        ("glass", "glass"),
        ("chassis", "chassis"),
        ("abs", "abs"),
        ("lens", "lens"),
        ("gas", "gas"),
        ("minus", "minus"),
        ("bus", "bus"),
        ("is", "is"),
    ],
)
def test_plurals_lose_their_s(word: str, one: str) -> None:
    assert singular(word) == one


@pytest.mark.parametrize(
    ("said", "meets"),
    [
        ("Tires", "tyre"),
        ("MUDGUARDS", "mudguard"),
        ("mud-guard", "mud guard"),
        ("it’s", "it's"),
        ("its", "it's"),
        ("cannot", "can't"),
        ("dinnae", "don't"),
        ("aluminum", "aluminium"),
        ("5 millimeters", "5 mil"),
        ("curbed", "kerbed"),
        ("the rider’s seat", "the rider's seat"),
        ("discolored", "discoloured"),
        ("handlebars", "handlebar"),
        ("“cracked”!", "cracked"),
    ],
)
def test_two_ways_to_write_it_are_one(lexicon: Lexicon, said: str, meets: str) -> None:
    assert lexicon.fold(said) == lexicon.fold(meets)


def test_a_plural_is_remembered(lexicon: Lexicon) -> None:
    assert [piece.plural for piece in pieces("left mirrors", lexicon.spelling)] == [False, True]


def test_a_clitic_is_a_word_of_its_own() -> None:
    assert fold_phrase("the tank's dented", {}) == ("the", "tank", "'s", "dented")


@pytest.mark.parametrize("text", ["", "...", "🏍️", "—", "''"])
def test_what_is_no_word_folds_to_nothing(text: str) -> None:
    assert fold_phrase(text, {}) == ()


def test_numbers_keep_their_comma_and_point() -> None:
    assert fold_phrase("8,412 at 3.5", {}) == ("8,412", "at", "3.5")


def test_a_spelling_may_lead_to_another() -> None:
    assert fold_phrase("millimeter", {"millimeter": "millimetre", "millimetre": "mil"}) == ("mil",)
