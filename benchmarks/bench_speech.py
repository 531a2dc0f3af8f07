"""What the transcription stage costs over bare recognition of the same sound.

    python benchmarks/bench_speech.py [--weights base] [--minutes 3] [--rounds 3]

Times `walkround.speech.transcribe.transcribe` against faster-whisper alone with the same weights, settings
and threads, turn about in one run, both loading the model each time. Prints the medians and their ratio.
The sound is a narration spoken by the synthetic voice of hibari-tts, with pauses.
"""

import argparse
import statistics
import time
from collections.abc import Callable

import numpy as np
from hibari import SAMPLE_RATE as VOICE_RATE
from hibari import Hibari
from numpy.typing import NDArray

from walkround.media.sound import SAMPLE_RATE
from walkround.speech import transcribe as stage
from walkround.speech.weights import Weights, find_weights

NARRATION = (
    "The front mudguard has a small stone chip on the leading edge, tiny little thing. ",
    "Headlight's clear, and the fork stanchions are nice and clean, no pitting on either of them. ",
    "Front tyre has four and a half mil on it. The left-hand mirror has a scratch on the back. ",
    "Tank next, and I've had a good look over it in the light. There are no dents and no scratches. ",
    "The engine casing's unmarked, and the side stand has a bit of surface rust on the foot of it. ",
)
PAUSE = 4.0  # seconds after every second line


def narration(seconds: float) -> NDArray[np.float32]:
    """At least this many seconds of talk and pauses at 16 kHz."""
    voice = Hibari()
    pieces: list[NDArray[np.float32]] = []
    have = line = 0
    while have < seconds * SAMPLE_RATE:
        spoken = voice(NARRATION[line % len(NARRATION)], seed=line)
        positions = np.arange(0, len(spoken), VOICE_RATE / SAMPLE_RATE)
        pieces.append(np.interp(positions, np.arange(len(spoken)), spoken).astype(np.float32))
        if line % 2:
            pieces.append(np.zeros(int(PAUSE * SAMPLE_RATE), np.float32))
        have = sum(map(len, pieces))
        line += 1
    return np.concatenate(pieces)


def bare(sound: NDArray[np.float32], weights: Weights) -> None:
    """faster-whisper alone, with the settings of the stage."""
    from faster_whisper import WhisperModel

    model = WhisperModel(str(weights.folder), device="cpu", compute_type="int8", cpu_threads=stage.available_cores())
    for _ in model.transcribe(sound, language="en", beam_size=5, **stage.SETTINGS)[0]:
        pass


def timed(work: Callable[[], object]) -> float:
    """Seconds that the work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    """Run the benchmark and print its lines."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", default="base")
    parser.add_argument("--minutes", type=float, default=3.0)
    parser.add_argument("--rounds", type=int, default=3)
    asked = parser.parse_args()

    weights = find_weights(asked.weights, say=print)
    sound = narration(asked.minutes * 60)
    options = stage.SpeechOptions(device="cpu")
    bare(sound[: 20 * SAMPLE_RATE], weights)  # the first run of a process pays for imports and page faults
    ours: list[float] = []
    theirs: list[float] = []
    for _ in range(asked.rounds):
        theirs.append(timed(lambda: bare(sound, weights)))
        ours.append(timed(lambda: stage.transcribe(sound, weights, options)))
    seconds = len(sound) / SAMPLE_RATE
    base, own = statistics.median(theirs), statistics.median(ours)
    print(f"sound          {seconds:7.1f} s, weights {weights.name}, {stage.available_cores()} threads")
    print(f"bare           {base:7.2f} s  ({seconds / base:.1f} times real time)")
    print(f"transcribe     {own:7.2f} s  ({seconds / own:.1f} times real time)")
    print(f"ratio          {own / base:7.3f}")


if __name__ == "__main__":
    main()
