"""What was published before a region was covered and shows it still: taken away where it is ours, named where not."""

import re
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image

from walkround.errors import MediaError, OutputError, shown
from walkround.media.probe import sha256_of
from walkround.outputs.writing import stamp_of
from walkround.pictures.sheet import SHEET, columns_of, make_sheet

#: What holds no picture.
_WORDS_ONLY = frozenset({".vtt", ".srt", ".txt", ".csv", ".json", ".ffmetadata"})
_PAGES = frozenset({".html", ".pdf"})
#: Stills and clips, by the names that we give them.
_PICTURE = re.compile(r"[0-9a-f]{8}-\d{8}(-\d{8})?(-[0-9a-f]{6})?\.(jpg|mp4)")


@dataclass
class Stale:
    """What became of the outputs of a walk-round."""

    renewed: list[Path] = field(default_factory=list)
    removed: list[Path] = field(default_factory=list)
    kept: list[Path] = field(default_factory=list)  #: changed by hand, copies of the film, or not ours


def renew_outputs(folder: Path, publish: Path) -> Stale:
    """Make the sheet of a walk-round anew, and take pages, papers, stills and clips out of its ``publish`` folder that
    were made before its pictures were covered.

    Texts stay. A page that somebody changed is not ours to take away. Raises OutputError where that cannot be done.
    """
    stale = Stale()
    sheet = folder / SHEET
    if sheet.is_file():
        stale.renewed.append(make_sheet(folder, _columns(sheet)))
    made = stamp_of(publish)
    for path in sorted(p for p in publish.rglob("*") if p.is_file() or p.is_symlink()):
        name = path.relative_to(publish).as_posix()
        if path.suffix in _WORDS_ONLY or (_PICTURE.fullmatch(path.name) and (folder / name).is_file()):
            continue
        ours = _PICTURE.fullmatch(path.name) or (path.suffix in _PAGES and made.get(name) == _sha256(path))
        if ours:
            _remove(path)
        (stale.removed if ours else stale.kept).append(path)
    return stale


def _columns(sheet: Path) -> int:
    try:
        with Image.open(sheet) as picture:
            return columns_of(picture.width)
    except OSError:
        return columns_of(0)


def _sha256(path: Path) -> str:
    try:
        return sha256_of(path)
    except MediaError:
        return ""


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(
            f"{shown(path)}: cannot be removed ({error.strerror}) and still shows what you covered; delete it yourself."
        ) from None
