"""The spoken sound of the demo film: one synthesised sentence at a time, joined with measured pauses."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from hibari import SAMPLE_RATE, Hibari

__all__ = ["SAMPLE_RATE", "Sound", "Spoken", "narrate"]

Sound = np.ndarray

SPEECH_PEAK = 0.7
SPEECH_FLOOR = 0.012  # of full scale, once a sentence is brought to SPEECH_PEAK
ROOM_TONE = 0.0006  # root mean square of full scale: a quiet workshop, about -64 dB
EDGE_SECONDS = 0.008


@dataclass(frozen=True)
class Spoken:
    """One sentence on the film's clock; times in seconds from the start of the film."""

    id: str
    text: str
    start: float
    end: float


def speech_edges(sound: Sound) -> tuple[int, int]:
    """First and last sample (exclusive) of speech in a sentence, by short-term peak level."""
    loud = np.flatnonzero(np.abs(sound) > SPEECH_FLOOR)
    if loud.size == 0:
        raise ValueError("the synthesiser returned silence")
    return int(loud[0]), int(loud[-1]) + 1


def say(voice: Hibari, text: str, seed: int) -> Sound:
    """One sentence as float32 mono at SAMPLE_RATE, trimmed to where speech begins and ends."""
    sound: Sound = voice(text, seed=seed)
    sound = sound * (SPEECH_PEAK / float(np.abs(sound).max()))
    first, last = speech_edges(sound)
    sound = sound[first:last].astype(np.float32)
    edge = min(int(EDGE_SECONDS * SAMPLE_RATE), sound.size // 2)
    ramp = np.linspace(0.0, 1.0, edge, dtype=np.float32)
    sound[:edge] *= ramp
    sound[-edge:] *= ramp[::-1]
    return sound


def narrate(sentences: list[dict[str, object]], lead_in: float) -> tuple[Sound, list[Spoken]]:
    """The whole narration and where each sentence stands in it.

    Each sentence gives ``id``, ``text`` and ``pause_after`` (seconds). The pauses hold a faint room
    tone in place of digital silence. The result depends on the text alone: every seed is fixed.
    """
    voice = Hibari()
    pieces: list[Sound] = [np.zeros(int(lead_in * SAMPLE_RATE), np.float32)]
    spoken: list[Spoken] = []
    at = pieces[0].size
    for number, sentence in enumerate(sentences):
        sound = say(voice, str(sentence["text"]), seed=number)
        end = at + sound.size
        spoken.append(Spoken(str(sentence["id"]), str(sentence["text"]), at / SAMPLE_RATE, end / SAMPLE_RATE))
        pause = int(float(str(sentence["pause_after"])) * SAMPLE_RATE)
        pieces += [sound, np.zeros(pause, np.float32)]
        at = end + pause
    joined = np.concatenate(pieces)
    hiss = np.random.default_rng(68).standard_normal(joined.size).astype(np.float32)
    return joined + ROOM_TONE * hiss, spoken
