"""Trade words that a recogniser wrote as something else; what a person typed is never questioned."""

from collections.abc import Callable

import generator
import pytest
from rows import found

from walkround.narration.model import Reading
from walkround.narration.soundalike import plain_words, similarity
from walkround.speech.transcript import Segment, Transcript, Word

Listen = Callable[[Transcript], Reading]


def heard(text: str, probability: float = 0.9) -> Transcript:
    """The text as a recogniser's words."""
    segments = []
    for segment in generator.transcript(text).segments:
        words = tuple(Word(w.text, w.start, w.end, probability) for w in segment.words)
        segments.append(Segment(segment.start, segment.end, words))
    return Transcript(tuple(segments), "recognised", "made for a test")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The left panniyerr is scratched.", "pannier/left/scratch"),
        ("There's a dent in the right pannyer.", "pannier/right/dent"),
        ("The clutch leaver is bent.", "clutch-lever/-/bent"),
        ("The huggar is cracked.", "rear-hugger/-/crack"),
        ("The left folk seal is leaking.", "fork-seal/left/leak"),
        ("The radiata is leaking.", "radiator/-/leak"),
        ("The break leaver is scuffed.", "brake-lever/-/scuff"),
        ("The front much art has a crack in it.", "front-mudguard/-/crack"),
        ("The front mudge art has a crack in it.", "front-mudguard/-/crack"),
        ("The mat ran out last week.", "test-certificate/-/out-of-date"),
        ("The side stand's got the pain off the foot of it.", "side-stand/-/paint-chip"),
    ],
)
def test_a_part_is_known_by_its_sound(listen: Listen, text: str, fault: str) -> None:
    assert found(listen(heard(text))) == [fault]


# Read wrongly today: "the rear hugga" is taken for the rear hose (whole phrases are compared before "hugga" alone).


def test_what_was_heard_is_kept(listen: Listen) -> None:
    assert listen(heard("The left panniyerr is scratched.")).findings[0].heard_as == "panniyerr"


def test_a_sound_alike_is_less_sure(listen: Listen) -> None:
    sure = listen(heard("The left pannier is scratched.")).findings[0].confidence
    assert listen(heard("The left panniyerr is scratched.")).findings[0].confidence < sure


def test_an_unsure_word_is_less_sure(listen: Listen) -> None:
    sure = listen(heard("The left pannier is scratched.")).findings[0].confidence
    assert listen(heard("The left pannier is scratched.", 0.2)).findings[0].confidence < sure


@pytest.mark.parametrize(
    "text",
    [
        "It's at the back so that you can see it.",
        "I thank you for your patience.",
        "A folk song was on.",
        "The bank is shut.",
    ],
)
def test_plain_words_stay_what_they_are(listen: Listen, text: str) -> None:
    assert listen(heard(text)).named == []


def test_what_a_person_typed_is_not_questioned(listen: Listen) -> None:
    assert found(listen(generator.transcript("The left panniyerr is scratched."))) == []


@pytest.mark.parametrize(
    ("word", "plain"), [("the", True), ("window", True), ("panniyerr", False), ("swingarm", False)]
)
def test_plain_words_are_the_frequent_ones(word: str, plain: bool) -> None:
    assert (word in plain_words()) is plain


def test_likeness_is_whole_for_the_same_word() -> None:
    assert similarity("pannier", "pannier") == 1.0


def test_likeness_falls_with_sound_and_spelling() -> None:
    assert similarity("panniyerr", "pannier") > similarity("window", "pannier")
