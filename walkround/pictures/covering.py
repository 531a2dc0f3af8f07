"""Where covering meets the files of a walk-round: stills and clips without, or with, marked regions made unreadable."""

import hashlib
import json
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

import numpy as np

from walkround.errors import MediaError
from walkround.media.clips import Cut, Source, write_clip
from walkround.media.frames import Packets, PictureTrack
from walkround.media.stills import Pixels, pictures_at, upright, write_whole
from walkround.pictures.cover import Box, Seeker, cover_clip, covered_still, need_opencv
from walkround.report.heard import Cover, Film
from walkround.timecode import clock


class Covering:
    """The covers of one film; with none of them everything passes as it is.

    ``mark`` is part of the names of what was covered, so that other covers make other files.
    """

    def __init__(self, folder: Path, film: Film, covers: Sequence[Cover]) -> None:
        self._folder, self._film, self._covers = folder, film, covers
        self.mark = ""
        if covers:
            need_opencv()
            marked = json.dumps([[c.time, *c.box] for c in covers])
            self.mark = "-" + hashlib.sha256(marked.encode()).hexdigest()[:6]

    @cached_property
    def _seekers(self) -> list[Seeker]:
        """Raises MediaError where a marked picture cannot be found in the film any more."""
        return [self._seeker(cover) for cover in self._covers]

    def _seeker(self, cover: Cover) -> Seeker:
        with PictureTrack(self._folder / (self._film.path or "")) as track:
            packets = Packets(track.unit, track.zero)
            for _ in track.glance(packets, lambda _: np.inf):
                pass
            pts = min(packets.pts, key=lambda pts: abs(packets.time(pts) - cover.time))
            for _, frame in pictures_at(track, [pts], packets.key_pts()):
                picture = upright(frame, self._film.media.rotation or 0)
                rows, columns = picture.shape[:2]
                x, y, w, h = cover.box
                box: Box = (round(x * columns), round(y * rows), round(w * columns), round(h * rows))
                return Seeker(picture, box)
        raise MediaError(f"{self._film.media.file}: the picture at {clock(cover.time)} cannot be decoded.")

    def still(self, picture: Pixels) -> Pixels:
        """The still with the marked regions covered."""
        return covered_still(picture, self._seekers) if self._covers else picture

    def clip(self, source: Source, cut: Cut, target: Path) -> bool:
        """Cut a clip, covered where there are covers. False where the film cannot be read there."""
        if not self._covers:
            return write_clip(source, cut, target)
        with tempfile.TemporaryDirectory(dir=self._folder, prefix=".") as beside:
            # One from before it was covered will do, where its pictures are upright and small: those made anew are.
            plain = target.with_name(target.stem.removesuffix(self.mark) + target.suffix)
            if cut.copied or not plain.is_file():
                plain = Path(beside) / "plain.mp4"
                if not write_clip(source, replace(cut, copied=False), plain):
                    return False
            write_whole(target, lambda made: cover_clip(plain, made, self._seekers))
        return True

    def remove_uncovered(self, *folders: str) -> None:
        """Take away pictures of this film that were made before they were covered."""
        if not self._covers:
            return
        for name in folders:
            for path in (self._folder / name).glob(f"{(self._film.media.sha256 or '')[:8]}-*"):
                if not path.stem.endswith(self.mark):
                    path.unlink(missing_ok=True)
