"""A region as a person marks it on a still: read, checked, and tied to the time of its picture."""

from pathlib import Path

from PIL import Image
from pydantic import ValidationError

from walkround.errors import InputError, shown
from walkround.report.heard import Cover
from walkround.report.record import Report, read_report


def marked(folder: Path, still: Path, box: str) -> Cover:
    """The cover for ``box`` ("x,y,w,h" in pixels of the still). Raises InputError."""
    try:
        report = read_report(folder / "report.json")
    except (OSError, ValidationError):
        raise InputError(f"{shown(folder / 'report.json')}: is missing or damaged; make the report again.") from None
    name = still.name
    known = {Path(file).name: (file, time, source) for file, time, source in _stills(report)}
    if name not in known:
        raise InputError(f"{shown(still)}: is no still of this walk-round; give one of {shown(folder / 'stills')}.")
    file, time, source = known[name]
    try:
        with Image.open(folder / file) as picture:
            width, height = picture.size
    except OSError:
        raise InputError(f"{shown(folder / file)}: is missing or is no picture; make the report again.") from None
    try:
        x, y, w, h = (int(part) for part in box.split(","))
    except ValueError:
        raise InputError(f"{shown(box)}: is no region; give X,Y,W,H in pixels, such as 410,220,180,60.") from None
    if w < 8 or h < 8 or x < 0 or y < 0 or x + w > width or y + h > height:
        raise InputError(
            f"{shown(box)}: is not inside the still or is smaller than 8 by 8; the still is {width} by {height} pixels."
        )
    return Cover(source=source, time=time, box=(x / width, y / height, w / width, h / height))


def _stills(report: Report) -> list[tuple[str, float, int]]:
    rows = (*report.findings, *report.unplaced)
    found = [(s.file, s.time, f.source) for f in rows for s in f.other_stills]
    found += [(f.still, f.still_at, f.source) for f in rows if f.still and f.still_at is not None]
    for check in report.checklist:
        if check.still and check.still_at is not None and check.evidence:
            found.append((check.still, check.still_at, check.evidence[0].source))
    return found
