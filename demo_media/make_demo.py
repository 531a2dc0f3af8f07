"""Makes the demo film from script.toml: speaks it, draws the bike, films it and writes sentences.json.

Run ``python demo_media/make_demo.py`` from the project folder. The result depends on script.toml and
the versions of the packages alone: no clock and no unseeded chance.
"""

from __future__ import annotations

import bisect
import json
import math
import shutil
import subprocess
import sys
import tempfile
import tomllib
import wave
from dataclasses import asdict, dataclass
from fractions import Fraction
from pathlib import Path

import av
import ffmpeg
import imageio_ffmpeg
import numpy as np
from bike_ends import draw_front_view, draw_rear_view
from bike_sides import draw_side
from bike_top import draw_top_view
from drawing import DETAIL, SHEET, Board, Box
from PIL import Image
from voice import SAMPLE_RATE, Sound, Spoken, narrate

HERE = Path(__file__).resolve().parent
MOVE_SECONDS = 1.1  # the camera's travel from one part to the next
ARRIVE_SECONDS = 0.35  # into the sentence
FADE_SECONDS = 0.45  # between two sides of the bike
PUSH = 0.03  # the slow push towards a part while it is spoken of, as a share of the width
SWAY = 0.0028  # the sway of a hand, as a share of the width
TIMING_TOLERANCE = 0.05  # seconds


@dataclass(frozen=True)
class Shot:
    """Where the camera looks while one sentence is spoken; ``arrive`` in seconds of the film."""

    view: str
    box: Box
    leave: float
    arrive: float


def ease(share: float) -> float:
    """Smooth start and stop of a movement, 0 to 1."""
    share = min(max(share, 0.0), 1.0)
    return share * share * share * (share * (share * 6 - 15) + 10)


def between(first: Box, second: Box, share: float) -> Box:
    """A box part of the way from one to another."""
    a, b, c, d = (x + (y - x) * share for x, y in zip(first, second, strict=True))
    return a, b, c, d


def draw_views(plate: str) -> dict[str, Board]:
    """All drawings of the bike by the name of the view."""
    return {
        "left": draw_side(right=False),
        "right": draw_side(right=True),
        "front": draw_front_view(),
        "rear": draw_rear_view(plate),
        "top": draw_top_view(),
    }


def plan_shots(sentences: list[dict[str, str]], spoken: list[Spoken], places: dict[str, dict[str, Box]]) -> list[Shot]:
    """One shot a sentence: the camera leaves in the pause and arrives early in the words."""
    shots = []
    for number, (sentence, said) in enumerate(zip(sentences, spoken, strict=True)):
        arrive = said.start + ARRIVE_SECONDS
        leave = arrive - MOVE_SECONDS
        if number:
            leave = max(leave, spoken[number - 1].end - 0.1)
        shots.append(Shot(sentence["view"], places[sentence["view"]][sentence["look"]], leave, arrive))
    return shots


def hold(shot: Shot, seconds: float) -> Box:
    """The box of a shot after so many seconds of slowly pushing in."""
    x0, y0, x1, y1 = shot.box
    grow = PUSH * min(max(seconds, 0.0) / 6.0, 1.0) / 2
    dx, dy = (x1 - x0) * grow, (y1 - y0) * grow
    return x0 + dx, y0 + dy, x1 - dx, y1 - dy


def sway(box: Box, at: float) -> Box:
    """The box moved a little, as by a hand, and kept on the sheet."""
    x0, y0, x1, y1 = box
    wide, tall = x1 - x0, y1 - y0
    dx = wide * SWAY * (math.sin(at * 1.3) + 0.6 * math.sin(at * 2.1 + 1.0))
    dy = tall * SWAY * (math.sin(at * 1.1 + 2.0) + 0.6 * math.sin(at * 1.9))
    left = min(max(x0 + dx, 0.0), SHEET[0] - wide)
    top = min(max(y0 + dy, 0.0), SHEET[1] - tall)
    return left, top, left + wide, top + tall


def photograph(sheet: Image.Image, box: Box, at: float, size: tuple[int, int]) -> Image.Image:
    """What the camera sees of one drawing."""
    x0, y0, x1, y1 = (v * DETAIL for v in sway(box, at))
    return sheet.resize(size, Image.Resampling.BICUBIC, box=(x0, y0, x1, y1))


def film_frame(
    shots: list[Shot],
    number: int,
    at: float,
    sheets: dict[str, Image.Image],
    wholes: dict[str, Box],
    size: tuple[int, int],
) -> Image.Image:
    """The picture at one moment, shot ``number`` being under way or on its way."""
    shot = shots[number]
    share = ease((at - shot.leave) / (shot.arrive - shot.leave))
    before = shots[max(number - 1, 0)]
    target = hold(shot, at - shot.arrive)
    if before.view == shot.view:
        box = between(hold(before, at - before.arrive), target, share)
        return photograph(sheets[shot.view], box, at, size)
    picture = photograph(sheets[shot.view], between(wholes[shot.view], target, share), at, size)
    fade = (at - shot.leave) / FADE_SECONDS
    if fade < 1.0:
        old = photograph(sheets[before.view], hold(before, at - before.arrive), at, size)
        picture = Image.blend(old, picture, ease(fade))
    return picture


def write_sound(path: Path, sound: Sound) -> None:
    """A 16-bit mono WAV file."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(SAMPLE_RATE)
        out.writeframes((np.clip(sound, -1.0, 1.0) * 32767.0).astype("<i2").tobytes())


def start_encoder(film: dict[str, object], sound: Path, target: Path) -> subprocess.Popen[bytes]:
    """An ffmpeg process that takes raw frames and writes the film; nothing in it depends on the day."""
    rate = Fraction(str(film["frames_per_second"]))
    pictures = ffmpeg.input(
        "pipe:",
        format="rawvideo",
        pix_fmt="rgb24",
        s=f"{film['width']}x{film['height']}",
        framerate=str(rate),
    ).filter("scale", out_color_matrix="bt709", out_range="tv")
    stream = ffmpeg.output(
        pictures,
        ffmpeg.input(str(sound)).audio,
        str(target),
        vcodec="libx264",
        preset="slow",
        threads=2,  # the count shows in the bytes
        tune="animation",
        crf=31,
        g=math.ceil(rate * 4),
        pix_fmt="yuv420p",
        colorspace="bt709",
        color_primaries="bt709",
        color_trc="bt709",
        acodec="aac",
        ar=48000,
        ac=1,
        audio_bitrate="64k",
        movflags="+faststart",
        map_metadata=-1,
        fflags="+bitexact",
        metadata=f"creation_time={film['created']}",
        f="mp4",
    ).global_args("-flags:v", "+bitexact", "-flags:a", "+bitexact", "-loglevel", "error")
    program = shutil.which("ffmpeg") or imageio_ffmpeg.get_ffmpeg_exe()
    process: subprocess.Popen[bytes] = ffmpeg.run_async(stream.overwrite_output(), cmd=program, pipe_stdin=True)
    return process


def heard_level(film: Path) -> tuple[np.ndarray, int]:
    """The film's sound as float32 mono and its rate in hertz, as a player would give it out."""
    with av.open(str(film)) as container:
        track = container.streams.audio[0]
        frames = [frame.to_ndarray().reshape(-1) for frame in container.decode(track)]
        return np.concatenate(frames), int(track.rate)


def timing_errors(film: Path, spoken: list[Spoken]) -> list[float]:
    """For each sentence, how much later than noted its sound begins in the finished film, in seconds."""
    sound, rate = heard_level(film)
    errors = []
    for said in spoken:
        first = int((said.start - 0.25) * rate)
        loud = np.flatnonzero(np.abs(sound[first : int(said.end * rate)]) > 0.01)
        errors.append((first + int(loud[0])) / rate - said.start if loud.size else math.inf)
    return errors


def main() -> int:
    """Make the film and the list of sentences; returns the exit status."""
    script = tomllib.loads((HERE / "script.toml").read_text(encoding="utf-8"))
    film, sentences = script["film"], script["sentence"]
    size = (int(film["width"]), int(film["height"]))
    sound, spoken = narrate(sentences, float(film["lead_in"]))
    boards = draw_views(film["plate"])
    places = {name: board.places for name, board in boards.items()}
    wholes = {name: found["whole"] for name, found in places.items()}
    sheets = {name: board.finished() for name, board in boards.items()}
    shots = plan_shots(sentences, spoken, places)
    leaves = [shot.leave for shot in shots]
    rate = float(film["frames_per_second"])
    count = math.ceil(sound.size / SAMPLE_RATE * rate)
    target = HERE / film["file"]
    with tempfile.TemporaryDirectory(dir=HERE) as folder:
        track, made = Path(folder) / "sound.wav", Path(folder) / "film.mp4"
        write_sound(track, sound)
        encoder = start_encoder(film, track, made)
        pipe = encoder.stdin
        assert pipe is not None
        for index in range(count):
            at = index / rate
            number = max(bisect.bisect_right(leaves, at) - 1, 0)
            pipe.write(film_frame(shots, number, at, sheets, wholes, size).tobytes())
        pipe.close()
        if encoder.wait() != 0:
            print("ffmpeg did not finish the film; its message is above.", file=sys.stderr)
            return 1
        worst = max(abs(error) for error in timing_errors(made, spoken))
        if worst > TIMING_TOLERANCE:
            print(f"A sentence begins {worst:.3f} s away from its noted time.", file=sys.stderr)
            return 1
        made.replace(target)
    rows = [{**asdict(said), "start": round(said.start, 3), "end": round(said.end, 3)} for said in spoken]
    text = json.dumps({"film": film["file"], "unit": "seconds", "sentences": rows}, indent=2)
    (HERE / "sentences.json").write_text(text + "\n", encoding="utf-8")
    megabytes = target.stat().st_size / 1e6
    print(f"{target.name}: {count / rate:.1f} s, {megabytes:.2f} MB, worst start {worst * 1000:.0f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
