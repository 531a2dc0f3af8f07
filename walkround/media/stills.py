"""Single pictures of a film as upright JPEG files, by their presentation time."""

import io
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from walkround.errors import OutputError, shown
from walkround.media.frames import PictureTrack

LONGEST_SIDE = 1600  #: pixels of a still
QUALITY = 86  #: of JPEG
#: Tags of a picture's colours that mean ITU-R BT.709 (ISO/IEC 23091-2: 1) and BT.601 (5, 6).
_BT709, _BT601 = 1, (5, 6)

Pixels = NDArray[np.uint8]


def pictures_at(track: PictureTrack, wanted: Iterable[int], keys: Sequence[int]) -> Iterator[tuple[int, av.VideoFrame]]:
    """The pictures with these pts, in order of pts; one that cannot be decoded is left out.

    ``keys`` are the pts of the keyframes, in order. Each stretch between keyframes is decoded once at most.
    """
    by_key: dict[int, list[int]] = {}
    for pts in sorted(set(wanted)):
        at = int(np.searchsorted(keys, pts, side="right")) - 1
        by_key.setdefault(keys[max(at, 0)], []).append(pts)
    for key, group in sorted(by_key.items()):
        sought = set(group)
        for picture in track.every(key, group[-1] + 1, wanted=frozenset(group)):
            if picture.pts not in sought:
                continue
            sought.remove(picture.pts)
            if not picture.damaged:
                yield picture.pts, picture.frame
            if not sought:
                break  # what follows would be decoded for nothing


def upright(frame: av.VideoFrame, rotation: int, longest: int = LONGEST_SIDE) -> Pixels:
    """The picture in RGB as it is to be seen: turned clockwise by ``rotation`` degrees, pixels made square."""
    width, height = frame.width, frame.height
    aspect = getattr(frame, "sample_aspect_ratio", None)
    if aspect and aspect > 0:
        width = round(width * float(aspect))
    share = min(1.0, longest / max(width, height))
    matrix = "ITU709" if frame.colorspace == _BT709 or (frame.colorspace not in _BT601 and height >= 720) else "ITU601"
    rgb = frame.reformat(
        width=max(2, round(width * share)), height=max(2, round(height * share)), format="rgb24",
        src_colorspace=matrix, interpolation="AREA" if share < 1 else "BICUBIC",
    )  # fmt: skip
    turned: Pixels = np.ascontiguousarray(np.rot90(rgb.to_ndarray(), k=-(rotation // 90) % 4))
    return turned


def jpeg(pixels: Pixels) -> bytes:
    """The picture as JPEG; the same bytes each time."""
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=QUALITY)
    return buffer.getvalue()


#: What to do where pictures cannot be written, by the options of walkround report.
ADVICE = "choose another folder with --out, or add --no-pictures"


def write_whole(path: Path, fill: Callable[[Path], None], advice: str = ADVICE) -> None:
    """Have a file written beside and renamed, so that half a file is never seen. ``fill`` writes at a path.

    Raises OutputError when the disk does not take it.
    """
    beside: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=path.suffix)
        os.close(handle)
        beside = Path(name)
        fill(beside)
        beside.chmod(0o644)
        beside.replace(path)
    except OSError as error:
        raise OutputError(
            f"{shown(path)}: cannot be written ({error.strerror}); free some space or {advice}."
        ) from None
    finally:
        if beside:
            beside.unlink(missing_ok=True)
