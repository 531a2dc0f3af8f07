"""A walk-round's folder with pictures, for the tests of print and sharing."""

import io
from pathlib import Path

from PIL import Image

from walkround.report.record import Report


def jpeg(shade: int = 128) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (320, 180), (shade, shade, shade)).save(out, "JPEG")
    return out.getvalue()


def with_stills(report: Report, folder: Path) -> Report:
    """The record with a still for each finding, and the folder that holds them."""
    made = report.model_copy(deep=True)
    (folder / "stills").mkdir(parents=True, exist_ok=True)
    for number, row in enumerate(made.findings):
        row.still = f'stills/{row.id} & "it\'s".jpg'
        (folder / row.still).write_bytes(jpeg(number * 9 % 250))
    (folder / "report.json").write_text(made.to_json(), encoding="utf-8")
    return made
