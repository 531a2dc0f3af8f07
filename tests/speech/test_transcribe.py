"""Real recognition of synthetic speech with known times, and what happens where there is none."""

import re
from itertools import pairwise
from pathlib import Path

import ctranslate2
import numpy as np
import pytest
from speaking import RATE, Spoken, narrate
from tokenizers import Tokenizer

from walkround.errors import WeightsError
from walkround.speech import transcribe as module
from walkround.speech.hotwords import TOKEN_LIMIT, fit_hotwords
from walkround.speech.transcribe import SpeechOptions, transcribe
from walkround.speech.transcript import Transcript, Word
from walkround.speech.weights import Weights, find_weights

SCRIPT = [
    (0.8, "This one is a twenty twenty one, and it's showing eight thousand four hundred miles."),
    (0.6, "The front mudguard has a small stone chip on the leading edge."),
    (6.0, "The left-hand mirror is perfect."),
    (0.7, "There is a scratch on the right-hand engine casing."),
    (9.0, "The rear tyre has three millimetres left."),
    (3.0, "Both brake levers are straight."),
]
#: Seconds. Honest for word times of Whisper models; most published work is scored at 0.2 s or more.
TOLERANCE = 0.5


@pytest.fixture(scope="module")
def tiny() -> Weights:
    return find_weights("tiny.en", say=print, allow_download=False)


@pytest.fixture(scope="module")
def told() -> list[float]:
    return []


@pytest.fixture(scope="module")
def narration() -> tuple[np.ndarray, list[Spoken]]:
    return narrate(SCRIPT)


@pytest.fixture(scope="module")
def heard(tiny: Weights, narration: tuple[np.ndarray, list[Spoken]], told: list[float]) -> Transcript:
    return transcribe(narration[0], tiny, SpeechOptions(), told.append)


def plain(text: str) -> str:
    return re.sub(r"[^\w]", "", text.lower())


def test_the_words_are_found(heard: Transcript) -> None:
    text = heard.text.lower().replace("-", " ").replace("mud guard", "mudguard")
    for phrase in (
        "front mudguard has a small stone chip", "left hand mirror is perfect",
        "scratch on the right hand engine casing", "both brake levers are straight",
    ):  # fmt: skip
        assert phrase in text
    assert heard.timing == "recognised"
    assert heard.source == "faster-whisper tiny.en"
    assert heard.warnings == ()


def test_phrases_begin_and_end_where_they_were_spoken(
    heard: Transcript, narration: tuple[np.ndarray, list[Spoken]]
) -> None:
    """The first word of each phrase and the last, pauses of up to 9 s between them."""
    words = list(heard.words())
    for spoken in narration[1]:
        first, last = plain(spoken.text.split()[0]), plain(spoken.text.split()[-1])
        starts = [w.start for w in words if plain(w.text) == first]
        ends = [w.end for w in words if plain(w.text) == last]
        assert min(abs(t - spoken.start) for t in starts) < TOLERANCE, spoken
        assert min(abs(t - spoken.end) for t in ends) < TOLERANCE, spoken


def test_no_word_lies_in_a_pause(heard: Transcript, narration: tuple[np.ndarray, list[Spoken]]) -> None:
    for word in heard.words():
        assert any(s.start - 0.3 < (word.start + word.end) / 2 < s.end + 0.3 for s in narration[1]), word


def test_words_are_in_order_whole_and_likely(heard: Transcript) -> None:
    words = list(heard.words())
    assert all(a.start <= a.end <= b.start for a, b in pairwise(words))
    assert all(w.text == w.text.strip() and w.text and " " not in w.text for w in words)
    assert all(w.probability is not None and 0 <= w.probability <= 1 for w in words)


def test_progress_rises_to_the_end(
    heard: Transcript, told: list[float], narration: tuple[np.ndarray, list[Spoken]]
) -> None:
    assert told == sorted(told)
    assert told[-1] == pytest.approx(len(narration[0]) / RATE)
    assert len(told) > 2


def test_silence_needs_no_weights() -> None:
    told: list[float] = []
    nowhere = Weights(Path("/nowhere"), "none", "nothing")
    result = transcribe(np.zeros(RATE * 30, np.float32), nowhere, SpeechOptions(), told.append)
    assert result.segments == ()
    assert "silent throughout" in result.warnings[0]
    assert told == [30.0]


def test_noise_without_speech_gives_no_words(tiny: Weights) -> None:
    noise = (np.random.default_rng(5).standard_normal(RATE * 20) * 0.05).astype(np.float32)
    result = transcribe(noise, tiny, SpeechOptions())
    assert result.text == ""
    assert any("No speech" in warning for warning in result.warnings)


def test_nothing_is_invented_in_the_silence_after_speech(tiny: Weights) -> None:
    sound, truth = narrate([(0.5, "The tank has no dents and no scratches.")], tail=40.0)
    result = transcribe(sound, tiny, SpeechOptions())
    assert "no dents" in result.text
    assert max(word.end for word in result.words()) < truth[-1].end + TOLERANCE


def test_pieces_become_whole_words() -> None:
    """The recogniser hands "left-hand" and "8,412" out in pieces; only a space begins a word."""
    from faster_whisper.transcribe import Word as Piece

    pieces = [
        Piece(1.0, 1.2, " left", 0.9), Piece(1.2, 1.5, "-hand", 0.8), Piece(1.6, 1.8, " 8", 0.7),
        Piece(1.8, 2.2, ",412.", 0.6), Piece(2.2, 2.2, " ", 0.5),
        Piece(2.3, 2.5, " 90", 0.9), Piece(2.5, 2.6, "%", 0.9),
    ]  # fmt: skip
    assert module._whole_words(pieces) == (
        Word("left-hand", 1.0, 1.5, 0.8),
        Word("8,412.", 1.6, 2.2, 0.6),
        Word("90%", 2.3, 2.6, 0.9),
    )


class FakeModel:
    """Takes down what it was asked."""

    def __init__(self) -> None:
        self.asked: dict[str, object] = {}

    def transcribe(self, sound: np.ndarray, **asked: object) -> tuple[list[object], None]:
        self.asked = asked
        return [], None


def test_hotwords_only_where_given() -> None:
    sound = np.zeros(RATE, np.float32)
    for hotwords, expected in ((None, False), ("", False), ("stanchion, yoke", True)):
        model = FakeModel()
        module._run(model, sound, SpeechOptions(hotwords=hotwords))  # type: ignore[arg-type]
        assert ("hotwords" in model.asked) is expected
        assert model.asked["vad_filter"] is True
        assert model.asked["hallucination_silence_threshold"] is not None


def test_hotwords_fit(tiny: Weights) -> None:
    tokenizer = Tokenizer.from_file(str(tiny.folder / "tokenizer.json"))
    many = [f"stanchion {n} yoke" for n in range(200)]
    text = fit_hotwords(["swingarm", "Swingarm", "  fork   seals ", *many], tiny)
    assert text.startswith("swingarm, fork seals, stanchion 0 yoke")
    length = len(tokenizer.encode(" " + text, add_special_tokens=False).ids)
    assert TOKEN_LIMIT - 8 < length <= TOKEN_LIMIT
    assert text == fit_hotwords(["swingarm", "fork seals", *many], tokenizer)
    assert fit_hotwords(["a very long run of words that does not fit", "yoke"], tokenizer, limit=3) == "yoke"
    assert fit_hotwords([], tokenizer) == ""


def test_no_graphics_card(tiny: Weights, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ctranslate2, "get_cuda_device_count", lambda: 0)
    sound = np.ones(RATE, np.float32) * 0.1
    with pytest.raises(WeightsError, match="no CUDA graphics card"):
        transcribe(sound, tiny, SpeechOptions(device="cuda"))
    with pytest.raises(WeightsError, match="choose auto, cpu or cuda"):
        transcribe(sound, tiny, SpeechOptions(device="abacus"))


@pytest.mark.parametrize("device", ["auto", "cuda"])
def test_a_graphics_card_that_fails(tiny: Weights, monkeypatch: pytest.MonkeyPatch, device: str) -> None:
    load = module._load

    def fail(weights: Weights, where: str, options: SpeechOptions) -> object:
        if where == "cuda":
            raise RuntimeError("Library libcublas.so.12 is not found or cannot be loaded")
        return load(weights, where, options)

    monkeypatch.setattr(ctranslate2, "get_cuda_device_count", lambda: 1)
    monkeypatch.setattr(module, "_load", fail)
    sound, _ = narrate([(0.5, "The tank has no dents and no scratches.")])
    if device == "cuda":
        with pytest.raises(WeightsError, match=r"libcublas.*walkround\[gpu\]"):
            transcribe(sound, tiny, SpeechOptions(device="cuda"))
    else:
        result = transcribe(sound, tiny, SpeechOptions())
        assert "no dents" in result.text
        assert "libcublas" in result.warnings[0]


def test_damaged_weights(tmp_path: Path) -> None:
    for name in ("model.bin", "config.json", "tokenizer.json", "vocabulary.txt"):
        (tmp_path / name).write_text("{}")
    with pytest.raises(WeightsError, match="cannot be used") as caught:
        transcribe(np.ones(RATE, np.float32) * 0.1, Weights(tmp_path, "x", "y"), SpeechOptions(device="cpu"))
    assert str(tmp_path) in str(caught.value)


def test_a_way_of_computing_that_does_not_exist(tiny: Weights) -> None:
    with pytest.raises(WeightsError, match="choose 'auto'"):
        transcribe(np.ones(RATE, np.float32) * 0.1, tiny, SpeechOptions(device="cpu", compute_type="int3"))
