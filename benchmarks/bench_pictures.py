"""What pictures cost, against ffmpeg decoding the whole film once in the same run; and the memory they take.

    python benchmarks/bench_pictures.py [--minutes 10] [--only NAME] [--keep FOLDER]

Films are made from tests/pictures/filming.py (a swaying camera with noise, one bad stretch in twenty seconds), as a
phone records them: a keyframe a second, no pictures that hang on later ones, 25 to 40 Mbit/s at 4K; and harder ones. A
finding each half minute, a clip for each. The 4K films last a tenth of ``--minutes``: they are slow to make. With
``--keep`` the films are kept, and used again the next time.

Memory is that of the whole process, the reading's tables and all, and of the ffmpeg programs that it started: the most
that was resident at one time, looked up every 10 ms (Linux).
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from threading import Event, Thread

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from pictures.filming import Fault, write_film

from walkround.media.probe import probe
from walkround.media.tools import ffmpeg_path
from walkround.narration.lexicon import load_lexicon
from walkround.pictures.step import with_pictures
from walkround.pipeline import Quiet, assemble
from walkround.report.heard import Film, Heard, media_row, transcript_row
from walkround.speech.imported import read_transcript
from walkround.timecode import clock

ROOT = Path(__file__).resolve().parents[1]
PIECE = 20.0  #: seconds that are rendered, and then repeated
PARTS = (
    "windscreen", "headlight", "front mudguard", "radiator", "left mirror", "right mirror", "clutch lever", "fuel tank",
    "rider's seat", "left side panel", "belly pan", "left engine casing", "exhaust silencer", "side stand", "swingarm",
    "chain guard", "rear hugger", "rear wheel", "tail light", "number plate",
)  # fmt: skip
PHONE = {"preset": "ultrafast", "bf": "0"}
#: name: (minutes as a share, size, pictures a second, codec, pixel format, keyframe distance in s, options)
FILMS = {
    "1080p": (1.0, (1920, 1080), 30, "libx264", "yuv420p", 1.0, {"bf": "0", "crf": "24"}),
    "1080p, keyframes 8 s apart": (1.0, (1920, 1080), 30, "libx264", "yuv420p", 8.0, {"crf": "24"}),
    "4K HEVC 10-bit": (0.1, (3840, 2160), 30, "libx265", "yuv420p10le", 1.0, PHONE | {"b:v": "25M"}),
    "4K HEVC 10-bit 60": (0.1, (3840, 2160), 60, "libx265", "yuv420p10le", 1.0, PHONE | {"b:v": "40M"}),
    "4K HEVC 10-bit, keyframes 8 s apart": (
        0.1,
        (3840, 2160),
        30,
        "libx265",
        "yuv420p10le",
        8.0,
        PHONE | {"b:v": "25M"},
    ),
    "4K HEVC 10-bit, light": (
        0.1,
        (3840, 2160),
        30,
        "libx265",
        "yuv420p10le",
        1.0,
        {"preset": "ultrafast", "crf": "30"},
    ),
    "4K 60": (0.1, (3840, 2160), 60, "libx264", "yuv420p", 1.0, {"bf": "0", "preset": "ultrafast", "crf": "27"}),
}


def make_film(folder: Path, name: str, minutes: float) -> Path:
    """A film of so many minutes."""
    share, size, rate, codec, pixels, key, options = FILMS[name]
    if (folder / "film.mp4").is_file():
        return folder / "film.mp4"
    folder.mkdir(parents=True, exist_ok=True)
    seconds = PIECE if size[0] < 3000 else PIECE / 2
    faults = [Fault(seconds * 0.6, seconds * 0.6 + 1.0, "blurred")]
    small = write_film(
        folder / "small.mp4", seconds, faults, rate=min(rate, 30), size=(1280, 720), options={"crf": "16"}
    )
    piece, film = folder / "piece.mp4", folder / "beside.mp4"
    how = [word for key_, value in ({"preset": "veryfast"} | options).items() for word in (f"-{key_}", value)]
    quiet = [ffmpeg_path(), "-v", "error", "-y"]
    subprocess.run(
        [*quiet, "-i", str(small), "-vf", f"scale={size[0]}:{size[1]}:flags=bicubic,noise=alls=6:allf=t",
         "-r", str(rate), "-c:v", codec, "-pix_fmt", pixels, "-g", str(round(key * rate)), "-sc_threshold", "0", *how,
         *(["-x265-params", "log-level=error"] if codec == "libx265" else []), str(piece)],
        check=True,
    )  # fmt: skip
    loops = max(0, round(minutes * share * 60 / seconds) - 1)
    subprocess.run([*quiet, "-stream_loop", str(loops), "-i", str(piece), "-c", "copy", str(film)], check=True)
    for path in (small, piece):
        path.unlink()
    return film.rename(folder / "film.mp4")


def make_pictures(film: Path, out: Path, findings: int) -> None:
    """The step alone, on a record with so many findings spread over the film. Prints its seconds."""
    media = probe(film)
    gap = media.duration / findings
    words = "".join(f"[{clock(n * gap + 2)}] The {part} has a scratch on it here.\n" for n, part in
                    zip(range(findings), PARTS, strict=False))  # fmt: skip
    talk = out / "talk.txt"
    talk.write_text(words, encoding="utf-8")
    lexicon = load_lexicon()
    transcript = transcript_row(read_transcript(talk, media.duration))
    heard = Heard(films=[Film(media=media_row(media), path=os.path.relpath(film, out), transcript=transcript)])
    report, _ = assemble(heard, lexicon)
    print("begin", flush=True)  # the reading is over; whoever watches the memory watches from here
    start, worked = time.perf_counter(), processor_seconds()
    made = with_pictures(report, heard, out, Quiet())
    took, worked = time.perf_counter() - start, processor_seconds() - worked
    stills, clips = (sum(bool(getattr(f, name)) for f in made.findings) for name in ("still", "clip"))
    print(took, worked, stills, clips)


class Memory(Thread):
    """Looks up what is resident of a process and its children until it is stopped."""

    def __init__(self, process: int) -> None:
        super().__init__(daemon=True)
        self._process = process
        self._most = self.own = 0.0  #: MB
        self._over = Event()
        self.start()

    def run(self) -> None:
        """Look again and again."""
        listed = Path(f"/proc/{self._process}/task/{self._process}/children")
        while not self._over.wait(0.01) and listed.is_file():
            own = resident(self._process)
            children = listed.read_text().split()
            self.own = max(self.own, own)
            self._most = max(self._most, own + sum(resident(int(child)) for child in children))

    def stop(self) -> float:
        """The most so far, MB."""
        self._over.set()
        self.join()
        return self._most


def resident(process: int) -> float:
    """MB of a process; 0 for one that has ended."""
    try:
        return int(Path(f"/proc/{process}/statm").read_text().split()[1]) * resource.getpagesize() / 2**20
    except (OSError, IndexError):
        return 0.0


def processor_seconds() -> float:
    """Of this process and of those that it started and that have ended: the same on a busy machine."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(u.ru_utime + u.ru_stime for u in used)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--only", choices=FILMS)
    parser.add_argument("--keep", type=Path, metavar="FOLDER")
    parser.add_argument("--one", nargs=3, metavar=("FILM", "OUT", "FINDINGS"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        make_pictures(Path(asked.one[0]), Path(asked.one[1]), int(asked.one[2]))
        return
    for name in [asked.only] if asked.only else FILMS:
        with tempfile.TemporaryDirectory() as folder:
            kept = asked.keep / f"{name.replace(', ', '-').replace(' ', '-')}-{asked.minutes:g}" if asked.keep else None
            measure(name, make_film(kept or Path(folder), name, asked.minutes), Path(folder))


def measure(name: str, film: Path, folder: Path) -> None:
    """Print what pictures of one film cost."""
    media = probe(film)
    findings = max(1, round(media.duration / 30))
    start, worked = time.perf_counter(), processor_seconds()
    subprocess.run([ffmpeg_path(), "-v", "error", "-i", str(film), "-map", "0:v", "-f", "null", "-"], check=True)
    decode, worked = time.perf_counter() - start, processor_seconds() - worked
    out = folder / "out"
    out.mkdir()
    with subprocess.Popen(
        [sys.executable, __file__, "--one", str(film), str(out), str(findings)],
        stdout=subprocess.PIPE, text=True, env=os.environ | {"PYTHONPATH": str(ROOT)},
    ) as step:  # fmt: skip
        assert step.stdout is not None
        step.stdout.readline()
        memory = Memory(step.pid)
        told = step.stdout.readline().split()
        most = memory.stop()
    took, own = (float(v) for v in told[:2])
    print(
        f"{name}: {media.duration:.0f} s, {film.stat().st_size / media.duration * 8e-6:.1f} Mbit/s, {findings} "
        f"findings; {told[2]} stills, {told[3]} clips; ffmpeg decodes in {decode:.1f} s, pictures take "
        f"{took:.1f} s, ratio {took / decode:.2f} (of processor time {own:.1f} s / {worked:.1f} s, "
        f"{own / worked:.2f}); memory {most:.0f} MB with ffmpeg's, {memory.own:.0f} MB without",
        flush=True,
    )


if __name__ == "__main__":
    main()
