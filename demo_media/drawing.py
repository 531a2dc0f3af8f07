"""A small drawing board for the demo bike: smooth shapes with soft shading, in units of a 1600 x 900 sheet.

Every drawing notes where its parts are (``Board.place``), so that the camera can move to a part by name.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from PIL import Image, ImageChops, ImageColor, ImageDraw, ImageFilter, ImageFont

Point = tuple[float, float]
Box = tuple[float, float, float, float]

SHEET = (1600, 900)
DETAIL = 3  # pixels of the finished sheet per unit
SMOOTHING = 2  # drawn this much larger, then reduced
CURVE_STEPS = 14


def smooth(points: Sequence[Point], closed: bool = True, tension: float = 0.5) -> list[Point]:
    """Points of a smooth curve through the given ones (Catmull-Rom)."""
    count = len(points)
    if count < 3:
        return list(points)
    out: list[Point] = []
    for i in range(count if closed else count - 1):
        if closed:
            p0, p1, p2, p3 = (points[(i + k - 1) % count] for k in range(4))
        else:
            p0, p1, p2, p3 = (points[min(max(i + k - 1, 0), count - 1)] for k in range(4))
        m1 = (tension * (p2[0] - p0[0]), tension * (p2[1] - p0[1]))
        m2 = (tension * (p3[0] - p1[0]), tension * (p3[1] - p1[1]))
        for step in range(CURVE_STEPS):
            t = step / CURVE_STEPS
            a, b = 2 * t**3 - 3 * t**2 + 1, t**3 - 2 * t**2 + t
            c, d = -2 * t**3 + 3 * t**2, t**3 - t**2
            out.append(
                (
                    a * p1[0] + b * m1[0] + c * p2[0] + d * m2[0],
                    a * p1[1] + b * m1[1] + c * p2[1] + d * m2[1],
                )
            )
    if not closed:
        out.append(points[-1])
    return out


def ring_point(centre: Point, radius: float, degrees: float) -> Point:
    """A point on a circle; degrees run clockwise on the sheet from three o'clock."""
    angle = math.radians(degrees)
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def oval(centre: Point, rx: float, ry: float, turn: float = 0.0) -> list[Point]:
    """The outline of an ellipse, turned clockwise by ``turn`` degrees."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    out = []
    for i in range(72):
        x, y = rx * math.cos(i * math.pi / 36), ry * math.sin(i * math.pi / 36)
        out.append((centre[0] + x * c - y * s, centre[1] + x * s + y * c))
    return out


def tube(points: Sequence[Point], width: float) -> list[Point]:
    """The outline of a tube of constant width along a path."""
    left, right = [], []
    for i, (x, y) in enumerate(points):
        before, after = points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)]
        dx, dy = after[0] - before[0], after[1] - before[1]
        size = math.hypot(dx, dy) or 1.0
        nx, ny = -dy / size * width / 2, dx / size * width / 2
        left.append((x + nx, y + ny))
        right.append((x - nx, y - ny))
    return left + right[::-1]


class Board:
    """One drawing. With ``mirrored`` every x is reflected, so that one description serves both sides."""

    def __init__(self, mirrored: bool = False) -> None:
        self.scale = DETAIL * SMOOTHING
        self.mirrored = mirrored
        self.image = Image.new("RGB", (SHEET[0] * self.scale, SHEET[1] * self.scale), "#d9d4cb")
        self.places: dict[str, Box] = {}

    def _pixels(self, points: Iterable[Point]) -> list[Point]:
        flip = self.mirrored
        return [((SHEET[0] - x if flip else x) * self.scale, y * self.scale) for x, y in points]

    def place(self, name: str, centre: Point, width: float) -> None:
        """Name a spot for the camera: its middle and the width of sheet to show, in units."""
        x = SHEET[0] - centre[0] if self.mirrored else centre[0]
        height = width * SHEET[1] / SHEET[0]
        self.places[name] = (x - width / 2, centre[1] - height / 2, x + width / 2, centre[1] + height / 2)

    def shape(
        self,
        points: Sequence[Point],
        fill: str,
        to: str | None = None,
        across: bool = False,
        alpha: float = 1.0,
        blur: float = 0.0,
        holes: Sequence[Sequence[Point]] = (),
        clip: Sequence[Point] | None = None,
    ) -> None:
        """Fill a closed outline, plainly or shading from ``fill`` (top, or left if ``across``) to ``to``.

        ``blur`` softens the edge by that many units, ``holes`` stay unpainted and nothing is painted
        outside ``clip``.
        """
        outline = self._pixels(points)
        margin = int(blur * self.scale * 3) + 2
        left = max(int(min(x for x, _ in outline)) - margin, 0)
        top = max(int(min(y for _, y in outline)) - margin, 0)
        right = min(int(max(x for x, _ in outline)) + margin, self.image.width)
        bottom = min(int(max(y for _, y in outline)) + margin, self.image.height)
        if right <= left or bottom <= top:
            return
        size = (right - left, bottom - top)

        def cut(area: Sequence[Point]) -> list[Point]:
            return [(x - left, y - top) for x, y in area]

        mask = Image.new("L", size, 0)
        pen = ImageDraw.Draw(mask)
        pen.polygon(cut(outline), fill=255)
        for hole in holes:
            pen.polygon(cut(self._pixels(hole)), fill=0)
        if blur:
            mask = mask.filter(ImageFilter.GaussianBlur(blur * self.scale))
        if clip is not None:
            keep = Image.new("L", size, 0)
            ImageDraw.Draw(keep).polygon(cut(self._pixels(clip)), fill=255)
            mask = ImageChops.multiply(mask, keep)
        if alpha < 1.0:
            mask = mask.point(lambda v: int(v * alpha))
        self.image.paste(self._paint(size, fill, to, across), (left, top), mask)

    def _paint(self, size: tuple[int, int], fill: str, to: str | None, across: bool) -> Image.Image:
        if to is None:
            return Image.new("RGB", size, fill)
        first, last = ImageColor.getrgb(fill), ImageColor.getrgb(to)
        if across and self.mirrored:
            first, last = last, first
        strip = Image.new("RGB", (256, 1) if across else (1, 256))
        strip.putdata(
            [tuple(round(a + (b - a) * i / 255) for a, b in zip(first, last, strict=True)) for i in range(256)]
        )
        return strip.resize(size, Image.Resampling.BILINEAR)

    def blob(self, points: Sequence[Point], fill: str, to: str | None = None, **how: object) -> None:
        """A smooth closed shape through the points."""
        self.shape(smooth(points), fill, to, **how)  # type: ignore[arg-type]

    def rod(self, points: Sequence[Point], width: float, fill: str, shine: str | None = None) -> None:
        """A round bar or pipe along a smooth path, with rounded ends and an optional line of light."""
        path = smooth(points, closed=False)
        for end in (path[0], path[-1]):
            self.disc(end, width / 2, fill)
        self.shape(tube(path, width), fill)
        if shine:
            lit = [(x - width * 0.12, y - width * 0.2) for x, y in path]
            self.shape(tube(lit, width * 0.26), shine, alpha=0.75)

    def line(self, points: Sequence[Point], width: float, fill: str, alpha: float = 1.0) -> None:
        """A thin line along straight pieces."""
        self.shape(tube(points, width), fill, alpha=alpha)

    def disc(self, centre: Point, radius: float, fill: str, to: str | None = None, **how: object) -> None:
        """A filled circle."""
        self.shape(oval(centre, radius, radius), fill, to, **how)  # type: ignore[arg-type]

    def ring(self, centre: Point, outer: float, inner: float, fill: str, to: str | None = None) -> None:
        """A circle with a round hole."""
        self.shape(oval(centre, outer, outer), fill, to, holes=[oval(centre, inner, inner)])

    def mark_text(self, text: str, centre: Point, height: float, fill: str, turn: float = 0.0) -> None:
        """Lettering on the bike itself, never mirrored; ``height`` in units."""
        font = ImageFont.load_default(size=height * self.scale)
        box = font.getbbox(text)
        mask = Image.new("L", (int(box[2] - box[0]) + 8, int(box[3] - box[1]) + 8), 0)
        ImageDraw.Draw(mask).text((4 - box[0], 4 - box[1]), text, font=font, fill=255)
        if turn:
            mask = mask.rotate(-turn if not self.mirrored else turn, Image.Resampling.BICUBIC, expand=True)
        x, y = self._pixels([centre])[0]
        at = (int(x - mask.width / 2), int(y - mask.height / 2))
        self.image.paste(Image.new("RGB", mask.size, fill), at, mask)

    def finished(self) -> Image.Image:
        """The drawing at its final size, edges smoothed."""
        return self.image.reduce(SMOOTHING)


def workshop(board: Board, floor: float = 745.0) -> None:
    """A plain wall and a painted floor, with a bench line: the background of every standing view."""
    wide, tall = SHEET
    board.shape([(0, 0), (wide, 0), (wide, floor), (0, floor)], "#e9e5dd", "#cfcac0")
    for x in range(100, wide, 200):
        board.line([(x, 0), (x, floor)], 1.6, "#bdb7ab", alpha=0.5)
    for y in (150, 350, 550):
        board.line([(0, y), (wide, y)], 1.6, "#bdb7ab", alpha=0.35)
    board.shape([(0, floor - 74), (wide, floor - 74), (wide, floor), (0, floor)], "#6f8583", "#5f7472")
    board.shape([(0, floor - 80), (wide, floor - 80), (wide, floor - 74), (0, floor - 74)], "#f3f0e9")
    board.shape([(0, floor), (wide, floor), (wide, tall), (0, tall)], "#8f8b85", "#b4b0a9")
    board.shape([(0, floor), (wide, floor), (wide, floor + 14), (0, floor + 14)], "#6d6a65", alpha=0.5)
