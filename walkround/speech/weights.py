"""Where the speech weights come from: a folder, the local cache, an installed package, or a download."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from walkround.errors import WeightsError, shown
from walkround.speech.carried import CARRIED, carried_folder

#: Sizes of the downloads in MB, rounded, from memory; said before a download begins.
_MEGABYTES = {
    "tiny": 75, "tiny.en": 75, "base": 145, "base.en": 145, "small": 485, "small.en": 485,
    "medium": 1530, "medium.en": 1530, "large": 3090, "large-v1": 3090, "large-v2": 3090, "large-v3": 3090,
    "distil-small.en": 330, "distil-medium.en": 790, "distil-large-v2": 1510, "distil-large-v3": 1510,
    "distil-large-v3.5": 1510, "large-v3-turbo": 1620, "turbo": 1620,
}  # fmt: skip

#: What is used when nothing is asked for, best first, as far as no download is needed.
_PREFERRED = ("base", "tiny.en")


@dataclass(frozen=True)
class Weights:
    """A folder of Whisper weights in CTranslate2's format, with where it came from in words."""

    folder: Path
    name: str
    origin: str


def find_weights(wanted: str | None, *, say: Callable[[str], None], allow_download: bool = True) -> Weights:
    """The weights to use.

    ``wanted`` is a folder, the name of a size such as ``small``, or None: then ``base`` or else ``tiny.en``
    where either is on this computer, else ``base`` by download. A size is looked for in the Hugging Face
    cache, then in installed packages, then downloaded; ``say`` is told before a download begins.

    Raises WeightsError when there are none, when they are damaged, and when they are not on this computer and
    must not or cannot be fetched.
    """
    if wanted is None:
        for name in _PREFERRED:
            here = _on_this_computer(name)
            if here:
                return here
        return _download(_PREFERRED[0], say, allow_download)
    folder = Path(wanted).expanduser()
    missing = _missing(folder)
    if folder.is_dir() and not missing:
        return Weights(folder, folder.resolve().name, "folder given")
    if wanted in _known_names():
        return _on_this_computer(wanted) or _download(wanted, say, allow_download)
    if folder.is_dir():
        raise WeightsError(
            f"{shown(folder)} is not a folder of speech weights: {' and '.join(missing)} missing; "
            "give a folder of Whisper weights converted for CTranslate2."
        )
    raise WeightsError(
        f"There are no speech weights {shown(wanted)!r}; give a folder of weights or one of: "
        f"{', '.join(_known_names())}."
    )


def _known_names() -> list[str]:
    from faster_whisper import available_models  # here, since the import takes a second

    return list(available_models())


def _missing(folder: Path) -> list[str]:
    """The files that a folder of weights lacks. Without tokenizer.json the recogniser would go online."""
    missing = [name for name in ("model.bin", "config.json", "tokenizer.json") if not _filled(folder / name)]
    if not _filled(folder / "vocabulary.txt") and not _filled(folder / "vocabulary.json"):
        missing.append("vocabulary.txt")
    return missing


def _filled(path: Path) -> bool:
    try:
        return path.is_file() and path.stat().st_size > 0
    except OSError:
        return False


def _on_this_computer(name: str) -> Weights | None:
    from faster_whisper import download_model
    from huggingface_hub.errors import HfHubHTTPError, LocalEntryNotFoundError

    try:
        folder = Path(download_model(name, local_files_only=True))
        if not _missing(folder):  # a download that broke off leaves a part of the files
            return Weights(folder, name, "Hugging Face cache")
    except (LocalEntryNotFoundError, HfHubHTTPError, OSError, ValueError):
        pass
    carried = CARRIED.get(name)
    package = carried_folder(carried) if carried else None
    return Weights(package, name, carried.origin) if carried and package else None


def _download(name: str, say: Callable[[str], None], allowed: bool) -> Weights:
    from faster_whisper import download_model
    from huggingface_hub import constants
    from huggingface_hub.errors import HfHubHTTPError

    ways = "give a folder of weights" + (
        f", or run '{CARRIED[name].install.replace(' --force-reinstall --no-deps', '')}'" if name in CARRIED else ""
    )
    if not allowed or constants.HF_HUB_OFFLINE or os.environ.get("HF_HUB_OFFLINE", "0") not in ("", "0"):
        raise WeightsError(
            f"The speech weights '{name}' are not on this computer and downloads are off; {ways}, or allow downloads."
        )
    say(f"Fetching the speech weights '{name}' (about {_MEGABYTES.get(name, 500)} MB), once only.")
    try:
        folder = Path(download_model(name))
    except (HfHubHTTPError, OSError, ValueError, RuntimeError) as error:
        raise WeightsError(
            f"The speech weights '{name}' could not be fetched ({_reason(error)}); check the connection, or {ways}."
        ) from error
    missing = _missing(folder)
    if missing:
        raise WeightsError(f"{shown(folder)} lacks {' and '.join(missing)}; delete that folder and try again.")
    return Weights(folder, name, "downloaded from Hugging Face")


def _reason(error: Exception) -> str:
    lines = str(error).strip().splitlines()
    return lines[0][:200].rstrip(".") if lines else type(error).__name__
