"""Whether a file is as long as its own header says: recordings cut off by a full card or a broken copy.

Decoders read a cut file without complaint up to the cut, so this is looked up in the container itself:
boxes of ISO base media files (ISO/IEC 14496-12, also QuickTime), the EBML sizes of Matroska and WebM
(RFC 8794, RFC 9559) and the RIFF size of WAV files.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

#: Top-level boxes that count when they run past the end. Others may be a phone's own trailer.
_KNOWN_BOXES = frozenset({b"ftyp", b"moov", b"mdat", b"moof", b"free", b"skip", b"wide", b"mfra", b"uuid", b"meta"})
_FIRST_BOXES = frozenset({b"ftyp", b"moov", b"mdat", b"free", b"skip", b"wide", b"pnot"})
_EBML_HEADER = 0x1A45DFA3
_MATROSKA_SEGMENT = 0x18538067


@dataclass(frozen=True)
class Cut:
    """A file that ends too early. ``promised`` is the size in bytes its header speaks of, None if unknown."""

    promised: int | None
    index_missing: bool = False  #: an MP4 without its index: recording stopped before it was finished


def find_cut(path: Path) -> Cut | None:
    """What is missing at the end of the file, or None where nothing is missing or the format cannot tell.

    Raises OSError when the file cannot be read.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        head = file.read(12)
        file.seek(0)
        if head[4:8] in _FIRST_BOXES:
            return _cut_in_boxes(file, size)
        if head[:4] == _EBML_HEADER.to_bytes(4, "big"):
            return _cut_in_matroska(file, size)
        if head[:4] == b"RIFF" and head[8:12] in (b"WAVE", b"AVI "):
            return _cut_in_riff(head, size)
    return None


def _cut_in_boxes(file: BinaryIO, size: int) -> Cut | None:
    seen: set[bytes] = set()
    position = 0
    while position + 8 <= size:
        file.seek(position)
        header = file.read(16)
        length, name, header_length = int.from_bytes(header[:4], "big"), header[4:8], 8
        if length == 1 and len(header) == 16:
            length, header_length = int.from_bytes(header[8:16], "big"), 16
        elif length == 0:  # the box runs to the end of the file
            length = size - position
        if length < header_length or (name not in _KNOWN_BOXES and position + length > size):
            break  # padding or a phone's trailer, not a box
        seen.add(name)
        position += length
        if position > size:
            return Cut(position, index_missing=b"moov" not in seen)
    if b"moov" not in seen:
        return Cut(None, index_missing=True)
    if not seen & {b"mdat", b"moof"}:
        return Cut(None)
    return None


def _cut_in_matroska(file: BinaryIO, size: int) -> Cut | None:
    for wanted in (_EBML_HEADER, _MATROSKA_SEGMENT):
        identifier = int.from_bytes(file.read(4), "big")
        length = _ebml_size(file)
        if identifier != wanted or length is None:  # None: a live recording, whose size was never written
            return None
        end = file.tell() + length
        if end > size:
            return Cut(end)
        file.seek(end if wanted == _EBML_HEADER else 0)
    return None


def _ebml_size(file: BinaryIO) -> int | None:
    """A variable-length size of RFC 8794 section 5; None where it is unknown or not there."""
    first = file.read(1)
    if not first or not first[0]:
        return None
    width = 9 - first[0].bit_length()
    value = int.from_bytes(first + file.read(width - 1), "big") & ((1 << 7 * width) - 1)
    return None if value == (1 << 7 * width) - 1 else value


def _cut_in_riff(head: bytes, size: int) -> Cut | None:
    promised = int.from_bytes(head[4:8], "little") + 8
    streamed = promised in (8, 8 + 0xFFFFFFFF)  # a size that the recorder never came back to fill in
    return Cut(promised) if promised > size + 1 and not streamed else None
