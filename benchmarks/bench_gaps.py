"""How long `walkround gaps VIDEO --fast` takes beside the bike, over bare recognition with the same model.

    python benchmarks/bench_gaps.py [--minutes 10] [--rounds 3]

The film is the demo's, its packets repeated until it is long enough. `gaps --fast` (its whole process, as a person
runs it) and a bare process of faster-whisper with the same weights, settings and threads run turn about. Prints the
medians and their ratio, and the time of `gaps DIR` on the folder that was made. The aims: a 10-minute film in 60 s
on two cores that do nothing else, and a ratio of 1.3 at most.
"""

import argparse
import itertools
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench_run import repeat, timed

from walkround.cli.gaps import FASTEST
from walkround.demo import demo_film

GOAL, LONGEST = 1.3, 60.0


def gaps(*arguments: str) -> float:
    """Seconds that the command takes."""
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-m", "walkround", "gaps", *arguments], capture_output=True, text=True)
    assert done.returncode == 1, done.stderr
    return time.perf_counter() - start


def main() -> None:
    """Run the benchmark and print its lines."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--rounds", type=int, default=3)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        film, out = Path(scratch) / "longer.mp4", Path(scratch) / "out"
        seconds = repeat(demo_film(), film, asked.minutes * 60)
        gaps(str(film), "--fast", "--out", str(out))  # fills the disk cache
        runs: dict[str, list[float]] = {"bare": [], "gaps": []}
        for _, what in itertools.product(range(asked.rounds), runs):
            taken = timed("bare", film, FASTEST)[1] if what == "bare" else gaps(str(film), "--fast")
            runs[what].append(taken)
        folder = statistics.median(gaps(str(out)) for _ in range(asked.rounds))
    bare, own = (statistics.median(runs[what]) for what in ("bare", "gaps"))
    print(f"{FASTEST}: {seconds:.0f} s of film, {asked.rounds} rounds, medians of the whole process")
    print(f"  bare {bare:.1f} s  gaps --fast {own:.1f} s  ratio {own / bare:.3f}  (aim {GOAL} at most)")
    print(f"  {own / seconds * 600:.1f} s for 10 minutes (aim {LONGEST:.0f} at most); gaps DIR {folder:.2f} s")


if __name__ == "__main__":
    main()
