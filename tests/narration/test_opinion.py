"""The second opinion: what it hears, what it leaves alone, what it never does."""

import json
import math
from importlib import resources

import generator
import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.narration.opinion import Model, features, give_opinions, model, opinion
from walkround.narration.reader import Reader


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_lexicon())


def heard(reader: Reader, text: str) -> list[float]:
    doc = give_opinions(reader.parse(generator.transcript(text)), model())
    return [doc._.opinions[start].fault for start, _ in doc._.clauses.sentences]


def test_the_chance_is_the_logistic_of_the_scaled_sum() -> None:
    told = opinion(
        ["w bump", "w hit", "w the", "k z"],
        Model({"bias": -1.0, "w bump": 2.0, "w hit": 0.5, "w the": 0.1}, {"dent": {"w bump": 1.0}}),
    )
    assert told.fault == pytest.approx(1 / (1 + math.exp(-(-1.0 + 4 / math.sqrt(4) * 2.6))))
    assert told.kinds == {"dent": 1.0}
    assert told.kind == "dent"
    assert told.words == ("bump", "hit")  # "the" is no reason


def test_runs_of_words_and_of_what_they_are(reader: Reader) -> None:
    doc = reader.parse(generator.transcript("The left mirror has a scratch."))
    found = features(doc, 0, len(doc))
    assert {"w a scratch", "k PART", "k a FAULT", "k FAULT $", "f scratch"} <= set(found)
    assert all(any(word.isupper() for word in f.split()[1:]) for f in found if f[0] == "k" and f.count(" ") > 1)


@pytest.mark.parametrize(
    ("fault", "sound"),
    [
        ("The foam in the seat has had its day.", "The seat is lovely, there's nothing wrong with it."),
        ("The indicator stalk has been chewed by a dog.", "It pulls you up straight, no trouble."),
        ("There's a chunk out of the corner of the pannier.", "The pannier opens and shuts and both keys fit it."),
    ],
)  # fmt: skip
def test_faults_sound_like_faults(reader: Reader, fault: str, sound: str) -> None:
    assert heard(reader, fault)[0] > 0.5 > heard(reader, sound)[0]


def test_a_fault_in_unlisted_words_is_put_to_a_person_and_its_part_is_not_clear(reader: Reader) -> None:
    sure = Model({"bias": 9.0}, {"wear": {"bias": 1.0}})
    reader = Reader(reader.lexicon)
    reader.opinions = sure
    reading = reader.read(generator.transcript("The rear mudguard grumbled fiercely at the zebra."))
    assert not reading.verdicts
    rows = [*reading.findings, *reading.unplaced]
    assert len(rows) == 1
    assert rows[0].review
    assert "rear-mudguard" in {row.part for row in (*reading.findings, *reading.doubted)}


def test_it_takes_no_fault_away(reader: Reader) -> None:
    deaf = Model({"bias": -9.0}, {})
    doubting = Reader(reader.lexicon)
    doubting.opinions = deaf
    text = "The fuel tank has a dent in it. The left mirror is cracked. There is rust on the frame."
    reading = doubting.read(generator.transcript(text))
    quoted = " ".join(row.quote for row in (*reading.findings, *reading.unplaced))
    assert all(word in quoted for word in ("dent", "cracked", "rust"))


def test_the_weights_name_defects_of_the_lexicon(reader: Reader) -> None:
    table = json.loads(resources.files("walkround.narration").joinpath("opinion.json").read_text("utf-8"))
    assert set(table["kinds"]) <= set(reader.lexicon.defects)
    assert {name[0] for name in table["fault"] if name != "bias"} == {"w", "k", "f"}
