"""Which picture files a record names, and their SHA-256: so that a changed, missing or swapped one is noticed."""

from functools import lru_cache
from pathlib import Path

from walkround.media.probe import sha256_of
from walkround.report.record import Report


def named_pictures(report: Report) -> list[str]:
    """The stills and clips that a record names, seen from its folder, each once and in order of their names."""
    rows = (*report.findings, *report.unplaced, *report.dismissed)
    names = {file for row in rows for file in (row.still, row.clip)}
    names |= {still.file for row in rows for still in row.other_stills}
    names |= {check.still for check in report.checklist}
    return sorted(name for name in names if name)


def hashed_pictures(report: Report, folder: Path) -> dict[str, str]:
    """SHA-256 by file name of the pictures that a record names and that lie in its folder. Raises MediaError."""
    return {name: _hash(folder / name) for name in named_pictures(report) if (folder / name).is_file()}


def _hash(path: Path) -> str:
    """Read again only where the file is another one by its time and size: a review asks after every pause."""
    stat = path.stat()
    return _hash_of(path, stat.st_ino, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=4096)
def _hash_of(path: Path, inode: int, modified: int, size: int) -> str:
    del inode, modified, size  # they are only what the result is kept by
    return sha256_of(path)
