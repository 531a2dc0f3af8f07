"""What was seen of each film, kept beside the record (``pictures.json``), so that it is seen once only."""

import json
from dataclasses import asdict
from pathlib import Path

from walkround.media.stills import write_whole
from walkround.media.views import View
from walkround.pictures.looking import Looked

KEPT = "pictures.json"
#: Raised whenever the measures or the way of looking change: what was kept before is then looked at again.
SETTINGS = 3


def read_kept(folder: Path) -> dict[str, Looked]:
    """What was seen, by the SHA-256 of the film. Empty where nothing usable was kept."""
    try:
        kept = json.loads((folder / KEPT).read_bytes())
        if kept["settings"] != SETTINGS:
            return {}
        return {str(sha): _looked(row) for sha, row in kept["films"].items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}


def write_kept(folder: Path, seen: dict[str, Looked]) -> None:
    """Keep it. Raises OutputError when the disk does not take it."""
    films = {sha: asdict(looked) | {"views": [v.row() for v in looked.views]} for sha, looked in sorted(seen.items())}
    text = json.dumps({"settings": SETTINGS, "films": films}, separators=(",", ":")) + "\n"
    if (folder / KEPT).is_file() and (folder / KEPT).read_bytes() == text.encode():
        return
    write_whole(folder / KEPT, lambda beside: _put(beside, text))


def _put(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _looked(row: dict[str, object]) -> Looked:
    views = [View.of_row(each) for each in row["views"]]  # type: ignore[attr-defined]
    spans = [(int(a), int(b)) for a, b in row["spans"]]  # type: ignore[attr-defined]
    return Looked(**(row | {"views": views, "spans": spans}))  # type: ignore[arg-type]
