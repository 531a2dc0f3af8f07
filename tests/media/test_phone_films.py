"""Films with what phones put into them, all at once: HEVC in 10 bits, an uneven rate, a turned camera, sound that
begins at another time, an edit list that hides the beginning, and pictures stored after the keyframe that they are
shown before. No recording of a real phone is at hand; these are made."""

import subprocess
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from making import tone, turn_picture

from walkround.media.clips import Source, plan_cut, write_clip
from walkround.media.frames import PictureTrack
from walkround.media.probe import probe
from walkround.media.sound import read_sound
from walkround.media.stills import pictures_at, upright
from walkround.media.tools import ffmpeg_path
from walkround.pictures.looking import look

HIDDEN = 0.7  #: seconds at the beginning that the edit list takes away
WIDE, TALL = 96, 64


def grey_of(number: int) -> int:
    """Each picture says by its grey which one it is."""
    return 40 + 3 * (number % 50)


@pytest.fixture(scope="module")
def times() -> np.ndarray:
    """When the pictures were taken, seconds: as in poor light, where a phone lengthens some exposures."""
    rng = np.random.default_rng(8)
    return np.round(np.cumsum(rng.choice([0.0167, 0.0333, 0.05], 330)), 3)


@pytest.fixture(scope="module")
def film(times: np.ndarray, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("phone")
    with av.open(str(folder / "whole.mov"), "w") as container:
        options = {
            "preset": "ultrafast",
            "crf": "2",
            "x265-params": "log-level=error:bframes=2:keyint=30:min-keyint=30",
        }
        stream = container.add_stream("libx265", rate=60, options=options)
        stream.width, stream.height, stream.pix_fmt = WIDE, TALL, "yuv420p10le"
        stream.codec_context.time_base = Fraction(1, 1000)
        sound = container.add_stream("aac", rate=48_000, layout="mono")
        for number, time in enumerate(times):
            pixels = np.full((TALL, WIDE, 3), grey_of(number), np.uint8)
            pixels[: TALL // 4] = 10  # dark above
            frame = av.VideoFrame.from_ndarray(pixels, format="rgb24")
            frame.pts, frame.time_base = round(time * 1000), Fraction(1, 1000)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
        # Silence up to 4 s of the film, then a tone; the track begins 0.25 s after the picture.
        samples = np.concatenate([np.zeros(round((4.0 - 0.25) * 48_000), np.float32), tone(5.0)])
        for at in range(0, len(samples), 1024):
            block = av.AudioFrame.from_ndarray(samples[None, at : at + 1024], format="fltp", layout="mono")
            block.sample_rate, block.time_base, block.pts = 48_000, Fraction(1, 48_000), 12_000 + at
            container.mux(sound.encode(block))
        container.mux(sound.encode(None))
    subprocess.run(
        [ffmpeg_path(), "-v", "error", "-ss", str(HIDDEN), "-i", str(folder / "whole.mov"), "-c", "copy",
         "-tag:v", "hvc1", str(folder / "phone.mov")], check=True,
    )  # fmt: skip
    return folder / "phone.mov"


def test_the_film_is_as_meant(film: Path) -> None:
    """The edit list is there (ISO/IEC 14496-12, 8.6.6), the rate uneven, the codec a phone's."""
    assert film.read_bytes().count(b"elst") == 2
    with av.open(str(film)) as container:
        picture = container.streams.video[0]
        assert (picture.codec_context.name, picture.codec_context.pix_fmt) == ("hevc", "yuv420p10le")
        shown = [frame.time for frame in container.decode(video=0)]
    assert len({round(gap, 3) for gap in np.diff(shown)}) >= 3


@pytest.fixture(scope="module")
def shown(film: Path) -> list[tuple[float, float]]:
    """Time and grey of every picture, from decoding the film once from end to end without leaving anything out."""
    with av.open(str(film)) as container:
        made = [(f.time or 0.0, float(np.median(upright(f, 0)))) for f in container.decode(video=0)]
    steps = np.diff([grey for _, grey in made])
    assert all(2 <= step <= 4 or step < -100 for step in steps), "each picture is another grey"
    return made


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_stills_are_exact_to_the_picture_and_upright(
    film: Path, shown: list[tuple[float, float]], turn: int, tmp_path: Path
) -> None:
    turned = tmp_path / "turned.mov"
    turned.write_bytes(film.read_bytes())
    turn_picture(turned, turn)
    info = probe(turned)
    assert info.rotation == turn
    seen = look(turned, [])
    with PictureTrack(turned) as track:
        found = pictures_at(track, [v.pts for v in seen.views], seen.keys)
        made = [(seen.time(pts), upright(frame, turn)) for pts, frame in found]
    assert len(made) == len(seen.views) > 20
    for time, pixels in made:
        true, grey = min(shown, key=lambda each: abs(each[0] - time))
        assert true == pytest.approx(time, abs=0.0005)
        assert np.median(pixels) == pytest.approx(grey, abs=1)
        assert pixels.shape[:2] == ((WIDE, TALL) if turn % 180 else (TALL, WIDE))
        dark = np.rot90(pixels, k=turn // 90)[: TALL // 8].mean()
        assert dark < 25, "what was above when it was filmed is where the turn puts it"


def test_sound_and_picture_share_one_clock(film: Path) -> None:
    info = probe(film)
    heard = read_sound(info)
    loud = int(np.argmax(abs(heard) > 0.1)) / 16_000
    assert loud == pytest.approx(4.0 - HIDDEN, abs=0.06)


def test_a_clip_shows_and_sounds_as_the_film_does_there(
    film: Path, shown: list[tuple[float, float]], tmp_path: Path
) -> None:
    seen = look(film, [])
    keys = tuple(seen.time(key) for key in seen.keys)
    source = Source(film, probe(film).duration, keys, seen.codec, seen.pixels, seen.offset)
    cut = plan_cut(source, 2.4, 3.6)
    assert not cut.copied, "a browser may not play it"
    assert write_clip(source, cut, tmp_path / "clip.mp4")
    with av.open(str(tmp_path / "clip.mp4")) as container:
        picture = upright(next(container.decode(video=0)), 0)
    near = [grey for time, grey in shown if -0.001 <= time - cut.start <= 0.06]
    assert min(abs(np.median(picture) - grey) for grey in near) < 2
    clip = probe(tmp_path / "clip.mp4")
    loud = int(np.argmax(abs(read_sound(clip)) > 0.1)) / 16_000
    assert loud == pytest.approx(4.0 - HIDDEN - cut.start, abs=0.1)
