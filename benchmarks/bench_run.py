"""What a whole report costs over bare recognition of the same film.

    python benchmarks/bench_run.py [--models tiny.en base] [--minutes 5] [--rounds 3]

The film is the demo's, its packets repeated until it is long enough. Each run is a process of its own,
ours and bare turn about: `walkround.pipeline.make_report` from the film to the written page, against
faster-whisper alone with the same weights, settings and threads. Three times are taken of each: that of
the work, that of the whole process with its imports, and the processor time of the process, which other
programs on the machine disturb least. Prints the medians and their ratios; the aim is 1.3 at most.
"""

import argparse
import itertools
import os
import statistics
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

import av

GOAL = 1.3
GAP = Fraction(1, 5)  # seconds between two showings, since the last packets reach past the stated length


def repeat(film: Path, longer: Path, seconds: float) -> float:
    """Write a film of at least so many seconds by repeating the packets of another; return its length."""
    with av.open(str(film)) as first, av.open(str(longer), "w") as target:
        streams = {s.index: target.add_stream_from_template(s) for s in first.streams if s.type != "data"}
        length = Fraction(first.duration or 0, av.time_base)
        offset = Fraction(0)
        while offset < seconds:
            with av.open(str(film)) as source:
                for packet in source.demux():
                    if packet.dts is None or packet.pts is None or packet.time_base is None:
                        continue
                    shift = int(offset / packet.time_base)
                    packet.pts, packet.dts = packet.pts + shift, packet.dts + shift
                    packet.stream = streams[packet.stream.index]
                    target.mux(packet)
            offset += length + GAP
    return float(offset)


def ours(film: Path, model: str) -> float:
    """Seconds that the whole report takes."""
    from walkround.pipeline import Job, make_report
    from walkround.speech.transcribe import SpeechOptions

    with tempfile.TemporaryDirectory() as folder:
        job = Job(film, Path(folder) / "out", model=model, speech=SpeechOptions(device="cpu"))
        start = time.perf_counter()
        outcome = make_report(job)
        taken = time.perf_counter() - start
    assert len(outcome.report.findings) > 10, "the film was not read"
    return taken


def bare(film: Path, model: str) -> float:
    """Seconds that faster-whisper takes to load the weights and to recognise the film's sound."""
    from faster_whisper import WhisperModel

    from walkround.speech.transcribe import SETTINGS, SpeechOptions, available_cores
    from walkround.speech.weights import find_weights

    folder = str(find_weights(model, say=print).folder)
    start = time.perf_counter()
    recogniser = WhisperModel(folder, device="cpu", compute_type="int8", cpu_threads=available_cores())
    options = SpeechOptions()
    segments, _ = recogniser.transcribe(str(film), language=options.language, beam_size=options.beam_size, **SETTINGS)
    words = sum(len(segment.words or ()) for segment in segments)
    taken = time.perf_counter() - start
    assert words > 300, "the film was not heard"
    return taken


def timed(what: str, film: Path, model: str) -> tuple[float, float, float]:
    """Seconds of the work, of the process and of the processor, of one run in a process of its own."""
    before, start = os.times(), time.perf_counter()
    done = subprocess.run(
        [sys.executable, __file__, "--one", what, str(film), model],
        check=True, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    taken, after = time.perf_counter() - start, os.times()
    used = after.children_user - before.children_user + after.children_system - before.children_system  # 0 on Windows
    return float(done.stdout.split()[-1]), taken, used


def compare(film: Path, seconds: float, model: str, rounds: int) -> None:
    """Run both turn about, and print."""
    runs: dict[str, list[tuple[float, ...]]] = {"bare": [], "ours": []}
    timed("ours", film, model)  # the first run fills the disk cache and may put the weights together
    for _, what in itertools.product(range(rounds), runs):
        runs[what].append(timed(what, film, model))
    print(f"{model}: {seconds:.0f} s of film, {rounds} rounds, medians")
    for part, name in enumerate(("work", "process", "processor")):
        base, own = (statistics.median(run[part] for run in runs[what]) for what in ("bare", "ours"))
        spread = ", ".join(f"{b[part]:.1f}/{o[part]:.1f}" for b, o in zip(*runs.values(), strict=True))
        print(f"  {name:9}  bare {base:6.2f} s  report {own:6.2f} s  ratio {own / base:.3f}  ({spread})")
    print(f"  aim: ratio {GOAL} at most")


def main() -> None:
    """Run the benchmark and print its lines."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--models", nargs="+", default=["tiny.en", "base"])
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--one", nargs=3, metavar=("WHAT", "FILM", "MODEL"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        what, film, model = asked.one
        print({"ours": ours, "bare": bare}[what](Path(film), model))
        return

    from walkround.demo import demo_film

    with tempfile.TemporaryDirectory() as folder:
        longer = Path(folder) / "longer.mp4"
        seconds = repeat(demo_film(), longer, asked.minutes * 60)
        for model in asked.models:
            compare(longer, seconds, model, asked.rounds)


if __name__ == "__main__":
    main()
