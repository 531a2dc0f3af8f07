"""Looking at recordings: what is found in good ones, and what is said of those that cannot be used."""

import hashlib
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from making import MakeMedia, steady, tone, turn_picture

from walkround.errors import MediaError
from walkround.media.containers import find_cut
from walkround.media.probe import probe

CLIP = {"pictures": steady(2.0), "sound": [(0.0, tone(2.0))]}


def refused(path: Path) -> str:
    """The message of the refusal: one line, naming the file."""
    with pytest.raises(MediaError) as caught:
        probe(path)
    message = str(caught.value)
    assert str(path) in message
    assert "\n" not in message
    assert message.endswith(".")
    return message


def test_a_phone_clip(make_media: MakeMedia) -> None:
    path = make_media("clip.mp4", **CLIP, metadata={"creation_time": "2026-03-04T10:11:12.000000Z"})
    info = probe(path)
    assert info.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert info.duration == pytest.approx(2.0, abs=0.06)
    assert (info.width, info.height, info.rotation) == (64, 48, 0)
    assert info.recorded_at == "2026-03-04T10:11:12Z"
    assert info.has_sound
    assert info.sound_start == pytest.approx(0.0, abs=0.03)
    assert info.frame_rate == pytest.approx(30, rel=0.05)


@pytest.mark.parametrize("clockwise", [0, 90, 180, 270])
def test_rotation_is_read_as_clockwise_degrees(make_media: MakeMedia, clockwise: int) -> None:
    path = make_media("turned.mp4", pictures=steady(0.5))
    turn_picture(path, clockwise)
    assert probe(path).rotation == clockwise


def test_rotation_agrees_with_ffmpeg(make_media: MakeMedia, tmp_path: Path) -> None:
    """The ffmpeg program turns by the same matrix: the dark upper half must come out on the right."""
    from walkround.media.tools import ffmpeg_path

    path = make_media("turned.mp4", pictures=steady(1.0))
    turn_picture(path, 90)
    run = [ffmpeg_path(), "-v", "error", "-ss", "0.9", "-i", str(path), "-frames:v", "1"]
    raw = subprocess.run([*run, "-f", "rawvideo", "-pix_fmt", "gray", "-"], capture_output=True, check=True).stdout
    width, height = 48, 64  # turned
    assert len(raw) == width * height
    left, right = raw[width * 30 + 4], raw[width * 30 + 43]
    assert right < left


@pytest.mark.parametrize(
    ("name", "codecs"),
    [
        ("a.mov", ("libx264", "aac")),
        ("a.mkv", ("libx264", "aac")),
        ("a.webm", ("libvpx", "libopus")),
        ("hevc.mp4", ("libx265", "aac")),
    ],
)
def test_containers_with_picture(make_media: MakeMedia, name: str, codecs: tuple[str, str]) -> None:
    quiet = {"x265-params": "log-level=none"} if codecs[0] == "libx265" else None
    info = probe(make_media(name, **CLIP, video_codec=codecs[0], sound_codec=codecs[1], video_options=quiet))
    assert info.duration == pytest.approx(2.0, abs=0.1)
    assert info.has_sound
    assert (info.width, info.height) == (64, 48)


@pytest.mark.parametrize(("name", "codec"), [("a.wav", "pcm_s16le"), ("a.m4a", "aac"), ("a.mp3", "libmp3lame")])
def test_sound_without_picture(make_media: MakeMedia, name: str, codec: str) -> None:
    info = probe(make_media(name, sound=[(0.0, tone(2.0))], sound_codec=codec))
    assert (info.width, info.height, info.rotation, info.frame_rate) == (None, None, 0, None)
    assert info.has_sound
    assert info.sound_start == 0
    assert info.duration == pytest.approx(2.0, abs=0.1)


def test_no_sound_is_no_error(make_media: MakeMedia) -> None:
    info = probe(make_media("mute.mp4", pictures=steady(1.0)))
    assert not info.has_sound
    assert info.sound_start == 0


def test_sound_that_starts_late(make_media: MakeMedia) -> None:
    info = probe(make_media("late.mp4", pictures=steady(3.0), sound=[(1.5, tone(1.0))]))
    assert info.sound_start == pytest.approx(1.5, abs=0.03)


def test_sound_that_starts_early(make_media: MakeMedia) -> None:
    info = probe(make_media("early.mkv", pictures=[t + 0.8 for t in steady(2.0)], sound=[(0.0, tone(2.8))]))
    assert info.sound_start == pytest.approx(-0.8, abs=0.03)
    assert info.duration == pytest.approx(2.0, abs=0.06)


def test_variable_frame_rate(make_media: MakeMedia) -> None:
    times = [*steady(1.0, 30), *(1.0 + t for t in steady(2.0, 10))]
    info = probe(make_media("varies.mp4", pictures=times, sound=[(0.0, tone(3.0))]))
    assert info.duration == pytest.approx(3.0, abs=0.05)
    assert info.frame_rate == pytest.approx(50 / 3, rel=0.1)


def test_length_that_was_never_written_is_measured(make_media: MakeMedia) -> None:
    path = make_media("live.mkv", **CLIP, options={"live": "1"})
    info = probe(path)
    assert info.duration == pytest.approx(2.0, abs=0.1)


def test_no_such_file(tmp_path: Path) -> None:
    assert "does not exist" in refused(tmp_path / "gone.mp4")
    (tmp_path / "a.txt").write_text("x")
    assert "does not exist" in refused(tmp_path / "a.txt" / "inside.mp4")


def test_folder(tmp_path: Path) -> None:
    assert "is a folder" in refused(tmp_path)


def test_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "empty.mp4"
    path.touch()
    assert "empty" in refused(path)


def test_device_file() -> None:
    assert "not an ordinary file" in refused(Path("/dev/null"))


def test_text_named_mp4(tmp_path: Path) -> None:
    path = tmp_path / "notes.mp4"
    path.write_text("The front mudguard has a chip. Später — more.\n" * 200, encoding="utf-8")
    assert "holds text" in refused(path)


def test_a_picture_or_noise_is_no_recording(tmp_path: Path) -> None:
    path = tmp_path / "noise.mp4"
    path.write_bytes(os.urandom(5000))
    assert "not a recording" in refused(path)
    path = tmp_path / "still.png"
    path.write_bytes(bytes.fromhex("89504e470d0a1a0a0000000d49484452") + bytes(200))
    assert "not a recording" in refused(path)


@pytest.mark.parametrize("playlist", ["#EXTM3U\n#EXTINF:2,\n{}\n#EXT-X-ENDLIST\n", "ffconcat version 1.0\nfile {}\n"])
def test_lists_of_other_files_are_not_followed(make_media: MakeMedia, tmp_path: Path, playlist: str) -> None:
    clip = make_media("clip.mp4", **CLIP)
    path = tmp_path / "list.mp4"
    path.write_text(playlist.format(clip.name))
    assert "holds text" in refused(path)


def test_a_name_that_looks_like_a_protocol(make_media: MakeMedia, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make_media("clip.mp4", **CLIP)
    odd = path.with_name("concat:a|b.mp4")
    path.rename(odd)
    monkeypatch.chdir(odd.parent)
    assert probe(Path(odd.name)).has_sound


def test_control_characters_in_a_name_stay_on_one_line(tmp_path: Path) -> None:
    with pytest.raises(MediaError) as caught:
        probe(tmp_path / "a\nb.mp4")
    assert "a\\nb.mp4" in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("options", [None, {"movflags": "faststart"}, {"movflags": "frag_keyframe+empty_moov"}])
@pytest.mark.parametrize("part", [0.3, 0.6, 0.95])
def test_cut_mp4(make_media: MakeMedia, options: dict[str, str] | None, part: float) -> None:
    path = make_media("cut.mp4", pictures=steady(8.0), sound=[(0.0, tone(8.0))], options=options)
    probe(path)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * part)])
    assert "cut off" in refused(path)


def test_mp4_without_index(make_media: MakeMedia) -> None:
    path = make_media("unfinished.mp4", **CLIP)
    data = path.read_bytes()
    path.write_bytes(data[: data.index(b"moov") - 4])
    assert "index is missing" in refused(path)


def test_mp4_with_index_only(make_media: MakeMedia) -> None:
    path = make_media("index.mp4", **CLIP, options={"movflags": "faststart"})
    data = path.read_bytes()
    path.write_bytes(data[: re.search(rb".{4}(free.{4}.{0,8})?mdat", data, re.DOTALL).start()])  # type: ignore[union-attr]
    assert "cut off" in refused(path)


@pytest.mark.parametrize("trailer", [bytes(64), b"\x00\x00\x10\x00sefd" + bytes(20), b"SEFT"])
def test_a_trailer_is_no_cut(make_media: MakeMedia, trailer: bytes) -> None:
    path = make_media("trailer.mp4", **CLIP)
    with path.open("ab") as file:
        file.write(trailer)
    assert probe(path).has_sound


@pytest.mark.parametrize(("name", "codecs"), [("a.mkv", ("libx264", "aac")), ("a.webm", ("libvpx", "libopus"))])
def test_cut_matroska(make_media: MakeMedia, name: str, codecs: tuple[str, str]) -> None:
    path = make_media(name, **CLIP, video_codec=codecs[0], sound_codec=codecs[1])
    data = path.read_bytes()
    path.write_bytes(data[: len(data) * 2 // 3])
    assert "cut off" in refused(path)


def test_cut_wav(make_media: MakeMedia) -> None:
    path = make_media("a.wav", sound=[(0.0, tone(2.0))], sound_codec="pcm_s16le")
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    assert "cut off" in refused(path)
    path.write_bytes(b"RIFF\xff\xff\xff\xff" + data[8 : len(data) // 2])  # written as a stream: no size to go by
    assert find_cut(path) is None


def test_wide_box_lengths(tmp_path: Path) -> None:
    path = tmp_path / "wide.mp4"
    head = b"\x00\x00\x00\x10ftypisom\x00\x00\x00\x00" + b"\x00\x00\x00\x08moov"
    wide = b"\x00\x00\x00\x01mdat" + (16 + 40).to_bytes(8, "big")
    path.write_bytes(head + wide + bytes(40))
    assert find_cut(path) is None
    path.write_bytes(head + wide + bytes(39))
    cut = find_cut(path)
    assert cut is not None
    assert cut.promised == len(head) + 56
    path.write_bytes(head + b"\x00\x00\x00\x00mdat" + bytes(40))  # length 0: to the end of the file
    assert find_cut(path) is None


def test_pictures_that_cannot_be_decoded(make_media: MakeMedia) -> None:
    path = make_media("broken.mp4", pictures=steady(1.0))
    data = bytearray(path.read_bytes())
    start = data.index(b"mdat") + 4
    length = int.from_bytes(data[start - 8 : start - 4], "big") - 8
    data[start : start + length] = b"\xa5" * length
    path.write_bytes(data)
    assert "cannot be decoded" in refused(path)


def test_no_permission(make_media: MakeMedia) -> None:
    """In a process of its own that gives up being root, since root may read everything."""
    clip = make_media("clip.mp4", **CLIP)
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        locked = Path(folder) / "locked.mp4"
        shutil.copy(clip, locked)
        locked.chmod(0)
        script = (
            "import os, sys; from pathlib import Path\n"
            "from walkround.media.probe import probe; from walkround.errors import MediaError\n"
            "if os.geteuid() == 0: os.seteuid(65534)\n"
            "try: probe(Path(sys.argv[1]))\n"
            "except MediaError as error: print(error)\n"
        )
        done = subprocess.run([sys.executable, "-c", script, str(locked)], capture_output=True, text=True, check=True)
    assert "may not be read" in done.stdout
    assert str(locked) in done.stdout
