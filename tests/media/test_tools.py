"""Which ffmpeg is used."""

import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest

from walkround.errors import MediaError
from walkround.media.tools import ffmpeg_path


def test_it_runs() -> None:
    assert subprocess.run([ffmpeg_path(), "-version"], capture_output=True, check=True).stdout.startswith(b"ffmpeg")


def test_the_systems_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    system = tmp_path / "ffmpeg"
    system.write_text("#!/bin/sh\n")
    system.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert ffmpeg_path() == str(system)


def test_the_carried_one_where_the_system_has_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    path = ffmpeg_path()
    assert "imageio_ffmpeg" in path
    assert Path(path).is_file()


def test_neither(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> str:
        raise RuntimeError("No ffmpeg exe could be found.")

    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", none)
    with pytest.raises(MediaError, match="pip install"):
        ffmpeg_path()
