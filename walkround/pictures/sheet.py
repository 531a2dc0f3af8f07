"""The contact sheet: one picture with all findings and their captions, for an advert."""

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont, ImageOps, UnidentifiedImageError
from pydantic import ValidationError

from walkround.errors import InputError, shown
from walkround.media.stills import write_whole
from walkround.narration.lexicon import load_lexicon
from walkround.report.heard import how_to_remake, read_heard
from walkround.report.record import Finding, read_report
from walkround.report.wording import Names, sentence, title_of, worst_first
from walkround.timecode import clock

SHEET = "sheet.jpg"
WIDTH, TALLEST = 480, 640  #: pixels of a picture on the sheet
_GAP, _LINE, _LINES, _LETTER = 24, 28, 3, 22
_PAPER, _INK, _SOFT, _GROUND = (255, 255, 255), (24, 33, 43), (77, 89, 102), (242, 245, 248)
HEAD = 110  #: pixels above the pictures
NOTE = "As spoken by the seller in the walk-round video. Not a roadworthiness inspection."


@dataclass(frozen=True)
class Captioned:
    """A picture and the words under it."""

    picture: Path
    words: str


def make_sheet(folder: Path, columns: int = 3, target: Path | None = None) -> Path:
    """Write the sheet of a walk-round's folder and return where it lies.

    Raises InputError where the folder is no walk-round or has no stills, OutputError where it cannot be written.
    """
    heard = read_heard(folder)
    try:
        report = read_report(folder / "report.json")
    except (OSError, ValidationError):
        raise InputError(
            f"{shown(folder / 'report.json')}: is missing or was damaged; {how_to_remake(folder)}."
        ) from None
    lexicon = load_lexicon(folder / heard.lexicon if heard.lexicon else None)
    names = Names(
        {p.id: p.name for p in lexicon.parts.values()}, {}, {d.id: d.name for d in lexicon.defects.values()}
    )  # fmt: skip
    cells = [
        Captioned(folder / f.still, _caption(n, f, names))
        for n, f in enumerate(worst_first(report.findings), 1)
        if f.still
    ]
    if not cells:
        raise InputError(
            f"{shown(folder)}: has no pictures of findings to put on a sheet; make the report again with pictures."
        )
    target = target or folder / SHEET
    data = draw_sheet(title_of(report), cells, columns)
    write_whole(target, lambda beside: _put(beside, data), "choose another place with --to")
    return target


def columns_of(width: int) -> int:
    """How many pictures lie side by side on a sheet of this width in pixels."""
    return max(1, round((width - _GAP) / (WIDTH + _GAP)))


def _put(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _caption(number: int, row: Finding, names: Names) -> str:
    unsure = "the narrator is unsure" if row.tentative else ""
    hidden = "not clearly shown" if row.not_shown else ""
    what = sentence(f"{names.part(row.part, row.side)}: {names.defect(row.defect)}")
    notes = ", ".join(note for note in (row.how_bad, unsure, hidden) if note)
    return f"{number}. {what}{f' ({notes})' if notes else ''}, at {clock(row.start)}"


def draw_sheet(title: str, cells: Sequence[Captioned], columns: int) -> bytes:
    """The sheet as JPEG, its pictures side by side in so many columns. Raises InputError for a picture that is none."""
    columns = max(1, min(columns, len(cells)))
    rows = -(-len(cells) // columns)
    pictures = [_opened(cell.picture) for cell in cells]
    height = min(TALLEST, max(round(WIDTH * p.height / p.width) for p in pictures))
    tall = height + _LINE * _LINES + 12
    sheet = Image.new("RGB", (_GAP + columns * (WIDTH + _GAP), HEAD + rows * (tall + _GAP)), _PAPER)
    draw = ImageDraw.Draw(sheet)
    draw.text((_GAP, 18), title, fill=_INK, font=ImageFont.load_default(40))
    letters, small = ImageFont.load_default(_LETTER), ImageFont.load_default(18)
    draw.multiline_text((_GAP, 68), textwrap.fill(NOTE, 110 if columns > 1 else 52), fill=_SOFT, font=small)
    for n, (cell, picture) in enumerate(zip(cells, pictures, strict=True)):
        x, y = _GAP + n % columns * (WIDTH + _GAP), HEAD + n // columns * (tall + _GAP)
        # The whole picture inside its cell, on grey where its shape is another.
        sheet.paste(ImageOps.pad(picture, (WIDTH, height), Image.Resampling.LANCZOS, color=_GROUND), (x, y))
        draw.rectangle((x, y, x + WIDTH - 1, y + height - 1), outline=_SOFT)
        lines = textwrap.wrap(cell.words, 44)[:_LINES]
        draw.multiline_text((x, y + height + 8), "\n".join(lines), fill=_INK, font=letters, spacing=_LINE - _LETTER)
    buffer = io.BytesIO()
    sheet.save(buffer, "JPEG", quality=88)
    return buffer.getvalue()


def _opened(path: Path) -> Image.Image:
    try:
        with Image.open(path) as picture:
            return picture.convert("RGB")
    except (OSError, UnidentifiedImageError):
        raise InputError(f"{shown(path)}: is missing or is no picture; make the report again.") from None
