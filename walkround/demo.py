"""The demo bike: an invented motorcycle whose film this project made itself."""

import shutil
import tempfile
from importlib import resources
from pathlib import Path

from walkround.errors import OutputError, WalkroundError, shown
from walkround.pipeline import Job
from walkround.report.store import Folder
from walkround.speech.transcribe import SpeechOptions


def demo_folder() -> Path:
    """Where the demo lies: beside the package in a checkout, inside it when installed."""
    carried = Path(str(resources.files("walkround"))) / "_data" / "demo_media"
    beside = Path(__file__).resolve().parents[1] / "demo_media"
    return carried if carried.is_dir() else beside


def demo_film() -> Path:
    """The finished film. Raises WalkroundError when the package was installed without it."""
    films = sorted(demo_folder().glob("*.mp4"))
    if not films:
        raise WalkroundError(f"{shown(demo_folder())}: holds no demo film; install walkround again.")
    return films[0]


def run_demo(out: Path, model: str | None, speech: SpeechOptions, hotwords: bool) -> Job:
    """The job for the demo: the film is copied into the report's folder, so that the page can play it anywhere."""
    film = demo_film()
    Folder(out).check(options=("--out",))
    copy = out / film.name
    if not copy.is_file() or copy.stat().st_size != film.stat().st_size:
        _copy(film, copy, out)
    return Job(copy, out, None, model, None, speech, hotwords)


def _copy(film: Path, copy: Path, out: Path) -> None:
    beside: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(dir=out, delete=False) as file, film.open("rb") as source:
            beside = Path(file.name)
            shutil.copyfileobj(source, file)
        beside.chmod(0o644)
        beside.replace(copy)
    except OSError as error:
        raise OutputError(
            f"{shown(out)}: cannot be written ({error.strerror}); choose another folder with --out."
        ) from None
    finally:
        if beside:
            beside.unlink(missing_ok=True)
