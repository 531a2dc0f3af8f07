"""Narrations with known times: phrases spoken by a synthetic voice, laid at chosen moments."""

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import av
import numpy as np
from hibari import SAMPLE_RATE as VOICE_RATE
from hibari import Hibari

RATE = 16_000


@dataclass(frozen=True)
class Spoken:
    """A phrase and when its voice is heard, seconds."""

    text: str
    start: float
    end: float


@functools.cache
def voice() -> Hibari:
    """The one voice that hibari-tts carries."""
    return Hibari()


def to_16k(samples: np.ndarray, rate: int) -> np.ndarray:
    """Resampled to what the recogniser hears."""
    resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
    frame = av.AudioFrame.from_ndarray(samples.astype(np.float32)[None], format="flt", layout="mono")
    frame.sample_rate = rate
    return np.concatenate([p.to_ndarray().reshape(-1) for p in resampler.resample(frame) + resampler.resample(None)])


@functools.cache
def say(phrase: str) -> np.ndarray:
    """The phrase alone, without silence around it."""
    sound = to_16k(voice()(phrase, seed=1), VOICE_RATE)
    heard = np.flatnonzero(np.abs(sound) > 0.01)
    return sound[heard[0] : heard[-1] + 1]


def narrate(script: Sequence[tuple[float, str]], tail: float = 0.5) -> tuple[np.ndarray, list[Spoken]]:
    """Pairs of (seconds of silence before, phrase) as sound, with the true times."""
    pieces: list[np.ndarray] = []
    truth: list[Spoken] = []
    now = 0
    for pause, phrase in script:
        sound = say(phrase)
        pieces += [np.zeros(round(pause * RATE), np.float32), sound]
        start = now + round(pause * RATE)
        now = start + len(sound)
        truth.append(Spoken(phrase, start / RATE, now / RATE))
    pieces.append(np.zeros(round(tail * RATE), np.float32))
    return np.concatenate(pieces).astype(np.float32), truth
