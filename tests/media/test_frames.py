"""Pictures by time: uneven rates, damaged files, every turn of the camera, codecs of phones."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from making import make_media_file, steady, tone, turn_picture
from pictures.filming import Fault, write_film

from walkround.media.frames import Packets, PictureTrack
from walkround.media.probe import probe
from walkround.media.stills import jpeg, pictures_at, upright
from walkround.pictures.looking import look
from walkround.pictures.poor import poor_stretches

SMALL = (320, 180)
UNIT = Fraction(1, 1000)


def numbered(path: Path, times: list[float], key: int = 10) -> Path:
    """A film in which each picture says by its grey which one it is: grey is 20 + 2 for each picture, modulo 200."""
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"g": str(key), "bf": "2", "crf": "1"})
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        stream.codec_context.time_base = UNIT
        for n, time in enumerate(times):
            frame = av.VideoFrame.from_ndarray(np.full((48, 64, 3), 20 + 2 * n % 200, np.uint8), format="rgb24")
            frame.pts, frame.time_base = round(time * 1000), UNIT
            for packet in stream.encode(frame):
                container.mux(packet)
        for packet in stream.encode(None):
            container.mux(packet)
    return path


def keys_of(path: Path) -> tuple[Packets, list[int]]:
    with PictureTrack(path) as track:
        packets = Packets(track.unit, track.zero)
        list(track.glance(packets, lambda _: 0.8))
    return packets, packets.key_pts()


def test_a_picture_asked_for_by_time_is_that_picture_at_an_uneven_rate(tmp_path: Path) -> None:
    rng = np.random.default_rng(3)
    times = [float(t) for t in np.round(np.cumsum(rng.uniform(0.012, 0.11, 80)), 3)]
    path = numbered(tmp_path / "vfr.mp4", times)
    packets, keys = keys_of(path)
    assert packets.times() == pytest.approx(np.array(times) - times[0], abs=0.0006)
    wanted = sorted(packets.pts)[::7]
    with PictureTrack(path) as track:
        found = {pts: float(upright(frame, 0).mean()) for pts, frame in pictures_at(track, wanted, keys)}
    assert sorted(found) == wanted
    for pts, grey in found.items():
        number = sorted(packets.pts).index(pts)
        assert grey == pytest.approx(20 + 2 * number % 200, abs=1.0)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_stills_are_upright(tmp_path: Path, turn: int) -> None:
    """The upper half of the made picture is darker; a camera held otherwise stores it turned and says so."""
    path = make_media_file(tmp_path / "turned.mp4", pictures=steady(2))
    turn_picture(path, turn)
    info = probe(path)
    assert info.rotation == turn
    packets, keys = keys_of(path)
    with PictureTrack(path) as track:
        ((_, frame),) = pictures_at(track, [sorted(packets.pts)[33]], keys)
        pixels = upright(frame, info.rotation)
    assert pixels.shape[:2] == ((64, 48) if turn % 180 else (48, 64))
    halves = {
        0: (pixels[:20], pixels[28:]), 90: (pixels[:, 28:], pixels[:, :20]),
        180: (pixels[28:], pixels[:20]), 270: (pixels[:, :20], pixels[:, 28:]),
    }  # fmt: skip
    dark, light = halves[turn]
    assert dark.mean() < light.mean() - 20
    assert jpeg(pixels)[:2] == b"\xff\xd8"


@pytest.mark.parametrize(
    ("codec", "pixels", "size"),
    [
        ("libx265", "yuv420p", SMALL), ("libx265", "yuv420p10le", SMALL), ("libx264", "yuv420p10le", SMALL),
        ("libx264", "yuv444p", (333, 187)), ("mpeg4", "yuv420p", SMALL), ("mjpeg", "yuvj420p", SMALL),
    ],
)  # fmt: skip
def test_codecs_depths_and_odd_sizes(tmp_path: Path, codec: str, pixels: str, size: tuple[int, int]) -> None:
    path = write_film(
        tmp_path / "film.mov", 6, [Fault(2.5, 4.5, "black")], size=size, codec=codec, pixels=pixels, rate=15, key=15,
        options={"preset": "ultrafast"} if codec.startswith("lib") else {"strict": "unofficial"},
    )  # fmt: skip
    seen = look(path, [])
    assert (seen.width, seen.height) == size
    poor = poor_stretches(seen.views, seen.picture_end, 6.0)
    assert [p.reason for p in poor] == ["black"]
    assert (poor[0].start, poor[0].end) == (pytest.approx(2.5, abs=0.25), pytest.approx(4.5, abs=0.25))
    with PictureTrack(path) as track:
        ((_, frame),) = pictures_at(track, [seen.views[3].pts], seen.keys)
        assert upright(frame, 0).shape == (size[1], size[0], 3)


def test_damaged_pictures_are_passed_over_and_told(tmp_path: Path) -> None:
    path = write_film(tmp_path / "film.mp4", 10, size=SMALL, rate=15, key=15)
    data = bytearray(path.read_bytes())
    begin = data.index(b"mdat") + 4
    length = len(data) - begin
    for at in range(begin + length * 4 // 10, begin + length * 6 // 10):
        data[at] = (data[at] * 7 + 13) % 256
    path.write_bytes(data)
    seen = look(path, [])
    assert seen.bad
    assert all(2.0 < at < 8.5 for at in seen.bad)
    assert [v.time for v in seen.views if v.time < 2.5]
    assert [v.time for v in seen.views if v.time > 8.0]


def test_times_count_from_the_first_picture_where_the_sound_begins_first(tmp_path: Path) -> None:
    path = make_media_file(tmp_path / "late.mp4", pictures=[0.5 + n / 30 for n in range(60)], sound=[(0.0, tone(3))])
    seen = look(path, [])
    assert seen.views[0].time == 0.0
    assert seen.picture_end == pytest.approx(2.0, abs=0.05)
    assert seen.offset == pytest.approx(0.5, abs=0.03)
