"""The narrations of a gold folder spoken by synthetic voices, through real recognition, and how well they are read.

    python benchmarks/bench_voices.py [FOLDER] [--voices hibari festival] [--noise none 15] [--weights base]
                                      [--keep DIR]

Voices: ``hibari`` (hibari-tts, of the extra dev) and ``festival`` (Debian's festival with festvox-us-slt-hts, a voice
made from a person's recordings). Noise is brown with a little white, so many dB under the speech. Prints for each voice
and noise the word error rate (jiwer, both texts lower case without marks), the scores of benchmarks/score_gold.py, and
the names of parts that were only found by their sound: how many, and how many of them the key speaks of. With
``--keep`` the sound and the words are kept in DIR and not made again.
"""

import argparse
import json
import re
import subprocess
import tempfile
import wave
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import jiwer
import numpy as np
from numpy.typing import NDArray
from scoring import Counts, rates, score

from walkround.media.sound import SAMPLE_RATE
from walkround.narration.lexicon import load_lexicon
from walkround.narration.reader import Reader
from walkround.pipeline import assemble
from walkround.report.heard import Film, Heard, transcript_row
from walkround.report.record import Media
from walkround.speech.imported import read_transcript
from walkround.speech.transcribe import SpeechOptions, transcribe
from walkround.speech.transcript import Transcript
from walkround.speech.weights import Weights, find_weights

SHOWN = ("finding", "finding+side", "disclosed", "clear")
BETWEEN, AFTER_LINE, LEVEL, SEED = 0.25, 0.5, 0.7, 5  # seconds of silence behind a sentence and a line
Sound = NDArray[np.float32]


def hibari() -> Callable[[str], Sound]:
    from hibari import SAMPLE_RATE as RATE
    from hibari import Hibari

    voice = Hibari()
    return lambda text: resampled(np.asarray(voice(text, seed=7), np.float32), RATE)


def festival() -> Callable[[str], Sound]:
    def speak(text: str) -> Sound:
        with tempfile.TemporaryDirectory() as scratch:
            words, made = Path(scratch) / "words.txt", Path(scratch) / "made.wav"
            words.write_text(text, encoding="utf-8")
            voice = "(voice_cmu_us_slt_arctic_hts)"
            subprocess.run(["text2wave", "-eval", voice, "-o", str(made), str(words)], check=True)
            with wave.open(str(made)) as sound:
                samples = np.frombuffer(sound.readframes(sound.getnframes()), np.int16)
                return resampled(samples.astype(np.float32) / 32768, sound.getframerate())

    return speak


VOICES: dict[str, Callable[[], Callable[[str], Sound]]] = {"hibari": hibari, "festival": festival}


def resampled(sound: Sound, rate: int) -> Sound:
    count = int(len(sound) * SAMPLE_RATE / rate)
    return np.interp(np.linspace(0, len(sound) - 1, count), np.arange(len(sound)), sound).astype(np.float32)


def spoken(narration: Path, speak: Callable[[str], Sound]) -> Sound:
    """The whole narration, sentence by sentence, with its pauses."""
    pieces: list[Sound] = []

    def silence(seconds: float) -> None:
        pieces.append(np.zeros(int(SAMPLE_RATE * seconds), np.float32))

    for line in filter(None, map(str.strip, narration.read_text(encoding="utf-8").splitlines())):
        pause = re.match(r"\[pause ?([\d.]*)\]", line)
        if pause:
            silence(float(pause[1] or 2))
            continue
        for sentence in re.split(r"(?<=[.?!])\s+", line):
            pieces.append(speak(sentence))
            silence(BETWEEN)
        silence(AFTER_LINE)
    whole = np.concatenate(pieces)
    return (whole / np.abs(whole).max() * LEVEL).astype(np.float32)


def noisy(sound: Sound, decibels: float, rng: np.random.Generator) -> Sound:
    """The sound with noise so many dB under its speech."""
    brown = np.cumsum(rng.standard_normal(len(sound)))
    noise = brown - np.convolve(brown, np.ones(400) / 400, "same")
    noise += rng.standard_normal(len(sound)) * noise.std() * 0.15
    speech = sound[np.abs(sound) > 0.01]
    noise *= np.sqrt((speech**2).mean()) / 10 ** (decibels / 20) / noise.std()
    return (sound + noise).astype(np.float32)


def kept(path: Path | None, make: Callable[[], Transcript]) -> Transcript:
    """The words kept at ``path``, or made and kept there."""
    if path is None or not path.is_file():
        words = make()
        segments = [
            {
                "start": s.start, "end": s.end, "text": s.text,
                "words": [
                    {"word": w.text, "start": w.start, "end": w.end, "probability": w.probability} for w in s.words
                ],
            }
            for s in words.segments
        ]  # fmt: skip
        if path is None:
            return words
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps({"segments": segments}), encoding="utf-8")
    return read_transcript(path)


def listen(
    path: Path, speak: Callable[[str], Sound], noise: str, rng: np.random.Generator, weights: Weights
) -> Transcript:
    """The words of a narration, spoken and recognised."""
    sound = spoken(path, speak)
    return transcribe(sound if noise == "none" else noisy(sound, float(noise), rng), weights, SpeechOptions())


def plain(text: str) -> str:
    return " ".join(re.findall(r"[a-z0-9']+", re.sub(r"\[[^\]]*\]", " ", text.lower().replace("’", "'"))))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", nargs="?", type=Path, default=Path("tests/gold"))
    parser.add_argument("--voices", nargs="+", choices=sorted(VOICES), default=["hibari", "festival"])
    parser.add_argument("--noise", nargs="+", default=["none", "15"], help="dB under the speech, or none")
    parser.add_argument("--weights", default="base")
    parser.add_argument("--keep", type=Path)
    args = parser.parse_args()
    reader = Reader(load_lexicon())
    weights = find_weights(args.weights, say=print)
    print(f"{'voice':10}{'noise':>6}{'WER':>8}", *(f"{name:>13}" for name in SHOWN), f"{'false clear':>12}  by sound")
    for voice in args.voices:
        speak = VOICES[voice]()
        for noise in args.noise:
            sums: dict[str, Counts] = dict.fromkeys(SHOWN, (0, 0, 0))
            said, heard, wrong, by_sound = [], [], 0, [0, 0]
            rng = np.random.default_rng(SEED)
            for path in sorted(args.folder.glob("*/narration.txt")):
                name = path.parent.name

                place = args.keep / f"{voice}-{noise}-{args.weights}" / f"{name}.json" if args.keep else None
                words = kept(place, partial(listen, path, speak, noise, rng, weights))
                key = json.loads((path.parent / "gold.json").read_text(encoding="utf-8"))
                counts, clears = read_and_score(reader, words, key, by_sound)
                wrong += clears
                sums = {k: tuple(map(sum, zip(sums[k], counts[k], strict=True))) for k in SHOWN}  # type: ignore[misc]
                said.append(plain(path.read_text(encoding="utf-8")))
                heard.append(plain(" ".join(w.text for w in words.words())))
            shown = [rates(sums[k])[1 if k == "disclosed" else 2] for k in SHOWN]
            print(
                f"{voice:10}{noise:>6}{jiwer.wer(said, heard):8.3f}", *(f"{value:13.3f}" for value in shown),
                f"{wrong:12d}  {by_sound[0]} found, {by_sound[1]} of them in the key", flush=True,
            )  # fmt: skip


def read_and_score(
    reader: Reader, words: Transcript, key: dict[str, Any], by_sound: list[int]
) -> tuple[dict[str, Counts], int]:
    """The counts and the number of false clears; adds to the names that were found by their sound."""
    film = Film(media=Media(), path=None, transcript=transcript_row(words))
    report, _ = assemble(Heard(films=[film]), reader.lexicon, reader)
    counts, clears, _ = score(key, report.model_dump(mode="json"))
    spoken_of = {part for row in (*key["findings"], *key["clear"]) for part in row["part"]} | set(key["named_only"])
    for term in reader.parse(words)._.terms.things:
        if term.heard and term.kind == "part":
            by_sound[0] += 1
            by_sound[1] += term.id in spoken_of
    return counts, len(clears)


if __name__ == "__main__":
    main()
