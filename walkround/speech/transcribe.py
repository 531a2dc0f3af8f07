"""Words with times from sound, by Whisper models through faster-whisper, all on this computer."""

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from walkround.errors import WeightsError, shown
from walkround.media.sound import SAMPLE_RATE, frame_levels, is_silent
from walkround.speech.hotwords import fit_hotwords
from walkround.speech.invented import drop_loops, drop_silent, warn_of_haste
from walkround.speech.relisten import CONTEXT_SECONDS, hear_again
from walkround.speech.transcript import Segment, Transcript, Word
from walkround.speech.weights import Weights
from walkround.speech.wordtimes import Spans, settle, unheard
from walkround.timecode import clock

if TYPE_CHECKING:
    from faster_whisper import WhisperModel
    from faster_whisper.transcribe import Word as FoundWord

__all__ = ["HOTWORDS_BY_DEFAULT", "SpeechOptions", "fit_hotwords", "transcribe"]

#: Whether a run should pass hotwords where nobody says otherwise. Measured on 11 synthetic narrations (33
#: minutes; one American voice in street noise at 15 and 5 dB, one robot voice), 19 words in 49 tokens, int8:
#:
#:     weights   hotwords   word errors   part and defect words found   processor time
#:     tiny.en   no         0.105         326 of 378                    123 s
#:     tiny.en   yes        0.104         337 of 378                    131 s
#:     base      no         0.090         334 of 378                    171 s
#:     base      yes        0.093         346 of 378                    198 s
#:
#: Times are from a shared machine, good to a fifth. Hotwords hardly put in words that were not said (3 against 1
#: in four narrations), but they make the recogniser pass over a clause more often; the second hearing, which
#: goes without them, brought most of those back. Longer lists are worse (see hotwords.py).
#:
#: Off all the same, for what the reading then makes of the words (eight narrations with keys, one American voice,
#: base): clean, finding F1 0.949 without and 0.934 with, disclosed 0.984 and 0.995, parts wrongly clear 0 and 1; at
#: 15 dB 0.959 and 0.928, 0.979 and 0.990, 0 and 1. A part called clear that has a fault is the worse mistake.
HOTWORDS_BY_DEFAULT = False

#: What faster-whisper is always asked for. Each text stands on its own (condition_on_previous_text), although
#: leaning on the text before gave slightly fewer errors alone (0.098 against 0.105 with tiny.en): together with
#: hotwords it sent tiny.en round in circles (0.160, three times the time). A beam of 1 instead of 5 costs 1.8 to
#: 2.3 points of word errors for a third less time. The filter for voice (vad_filter) changes neither errors nor
#: time by much, but leaves the recogniser no long silence to write in.
SETTINGS: dict[str, Any] = {
    "word_timestamps": True,
    "vad_filter": True,
    "condition_on_previous_text": False,
    "hallucination_silence_threshold": 2.0,
}
#: Speech of this length (seconds) without one recognised word is pointed out.
_UNHEARD_SECONDS = 1.5


@dataclass(frozen=True)
class SpeechOptions:
    """How to recognise. ``threads`` 0 means every core this process may use; ``compute_type`` auto is int8 on
    a processor and float16 on a graphics card."""

    device: str = "auto"
    compute_type: str = "auto"
    threads: int = 0
    hotwords: str | None = None
    language: str = "en"
    beam_size: int = 5


def transcribe(
    sound: NDArray[np.float32],
    weights: Weights,
    options: SpeechOptions,
    progress: Callable[[float], None] | None = None,
) -> Transcript:
    """Recognise what is said in mono sound at 16 kHz.

    ``progress`` is called with the seconds done so far, at least once with all of them. Text that was surely
    invented is left out, and ``warnings`` of the result says what, where and why; they also name stretches
    with speech for which no words were found.

    Raises WeightsError where the weights or the device cannot be used.
    """
    seconds = len(sound) / SAMPLE_RATE
    source = f"faster-whisper {weights.name}"
    tell = progress or (lambda _: None)
    if is_silent(sound):
        tell(seconds)
        note = "The recording is silent throughout: no words could be heard. Check the microphone."
        return Transcript((), "recognised", source, options.language, (note,))

    warnings: list[str] = []
    spans = _speech(sound)
    segments = _recognise(sound, spans, weights, options, tell, warnings)
    tell(seconds)
    segments = settle(segments, spans)
    warn_of_haste(segments, warnings)
    for start, end in unheard(segments, spans, _UNHEARD_SECONDS):
        warnings.append(
            f"From {clock(start)} to {clock(end)} there is speech of which no words were recognised. "
            "Listen to that stretch."
        )
    if not segments:
        warnings.append("No speech was recognised in this recording.")
    return Transcript(tuple(segments), "recognised", source, options.language, tuple(warnings))


def _recognise(
    sound: NDArray[np.float32],
    spans: Spans,
    weights: Weights,
    options: SpeechOptions,
    tell: Callable[[float], None],
    warnings: list[str],
) -> list[Segment]:
    """On the device asked for; on the processor where a graphics card that was not asked for fails."""
    device = _device(options.device)
    try:
        return _hear_twice(_load(weights, device, options), sound, spans, options, tell, warnings)
    except RuntimeError as error:
        if device != "cuda":
            raise _unusable(weights, error) from error
        if options.device == "cuda":
            raise WeightsError(
                f"The graphics card cannot be used ({_first_line(error)}); install its libraries with "
                "'pip install walkround[gpu]', or choose the device 'cpu'."
            ) from error
        warnings[:] = [f"The graphics card could not be used ({_first_line(error)}); the processor was."]
    try:
        return _hear_twice(_load(weights, "cpu", options), sound, spans, options, tell, warnings)
    except RuntimeError as error:
        raise _unusable(weights, error) from error


def _hear_twice(
    model: "WhisperModel",
    sound: NDArray[np.float32],
    spans: Spans,
    options: SpeechOptions,
    tell: Callable[[float], None],
    warnings: list[str],
) -> list[Segment]:
    """The whole recording, without what was invented, then once more the stretches that were passed over."""

    def hear(start: float, end: float) -> list[Word]:
        begin = max(0.0, start - CONTEXT_SECONDS)
        part = sound[int(begin * SAMPLE_RATE) : int((end + CONTEXT_SECONDS) * SAMPLE_RATE)]
        # Without hotwords, which are the likeliest cause of a clause passed over.
        again = replace(options, hotwords=None)
        found = _run(model, part, again, vad_filter=False, hallucination_silence_threshold=None)
        return [
            replace(word, start=word.start + begin, end=word.end + begin) for segment in found for word in segment.words
        ]

    segments = _run(model, sound, options, tell)
    segments = drop_loops(drop_silent(segments, frame_levels(sound), warnings), warnings)
    segments = hear_again(segments, spans, len(sound) / SAMPLE_RATE, hear)
    return drop_loops(segments, warnings)


def _device(wanted: str) -> str:
    import ctranslate2

    if wanted not in ("auto", "cpu", "cuda"):
        raise WeightsError(f"There is no device {wanted!r}; choose auto, cpu or cuda.")
    if wanted == "cpu":
        return "cpu"
    try:
        cards = ctranslate2.get_cuda_device_count()
    except RuntimeError:  # a driver too old for these libraries
        cards = 0
    if wanted == "cuda" and not cards:
        raise WeightsError("This computer has no CUDA graphics card that can be used; choose the device 'cpu'.")
    return "cuda" if cards else "cpu"


def _load(weights: Weights, device: str, options: SpeechOptions) -> "WhisperModel":
    from faster_whisper import WhisperModel

    compute = options.compute_type
    if compute == "auto":
        compute = "int8" if device == "cpu" else "float16"
    try:
        return WhisperModel(
            str(weights.folder),
            device=device,
            compute_type=compute,
            cpu_threads=options.threads or available_cores(),
            local_files_only=True,
        )
    except ValueError as error:  # a compute type that does not exist or that this machine lacks
        raise WeightsError(
            f"Computing with {compute!r} is not possible here ({_first_line(error)}); choose 'auto'."
        ) from error


def _run(
    model: "WhisperModel",
    sound: NDArray[np.float32],
    options: SpeechOptions,
    tell: Callable[[float], None] = lambda _: None,
    **other: Any,
) -> list[Segment]:
    hotwords = {"hotwords": options.hotwords} if options.hotwords else {}
    settings = {**SETTINGS, **hotwords, **other}
    found, _ = model.transcribe(sound, language=options.language, beam_size=options.beam_size, **settings)
    segments = []
    for segment in found:
        words = _whole_words(segment.words or ())
        if words:
            segments.append(Segment(words[0].start, words[-1].end, words))
        tell(min(float(segment.end), len(sound) / SAMPLE_RATE))
    return segments


def _whole_words(pieces: "Iterable[FoundWord]") -> tuple[Word, ...]:
    """The recogniser's pieces as words: it splits "left-hand" and "8,112", and only a space begins a word."""
    words: list[Word] = []
    for piece in pieces:
        text = piece.word.strip()
        start, end, probability = float(piece.start), float(piece.end), float(piece.probability)
        if words and text and not piece.word[0].isspace():
            last = words[-1]
            known = last.probability if last.probability is not None else probability
            words[-1] = Word(last.text + text, last.start, max(last.end, end), min(known, probability))
        elif text:
            words.append(Word(text, start, end, probability))
    return tuple(words)


def _speech(sound: NDArray[np.float32]) -> list[tuple[float, float]]:
    """Where a voice is, seconds, by the detector that comes with faster-whisper (Silero)."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    options = VadOptions(min_silence_duration_ms=160, speech_pad_ms=0, min_speech_duration_ms=60)
    return [(span["start"] / SAMPLE_RATE, span["end"] / SAMPLE_RATE) for span in get_speech_timestamps(sound, options)]


def available_cores() -> int:
    """The cores that this process may use, which may be fewer than the machine has."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on macOS and Windows
        return os.cpu_count() or 1


def _unusable(weights: Weights, error: Exception) -> WeightsError:
    return WeightsError(
        f"{shown(weights.folder)}: these speech weights cannot be used ({_first_line(error)}); "
        "give another folder or size."
    )


def _first_line(error: Exception) -> str:
    return (str(error).strip().splitlines() or [type(error).__name__])[0].rstrip(".")
