"""What differs between the two sides of the demo bike, with the marks that the narration tells of."""

# Outlines are lists of points: they stay compact.
# fmt: off

from __future__ import annotations

from bike_side import (
    DARK,
    FRONT,
    METAL,
    METAL_DARK,
    REAR,
    draw_body,
    draw_brake,
    draw_controls,
    draw_cover,
    draw_engine,
    draw_frame,
    draw_front,
    draw_rear,
    draw_top,
    draw_wheel,
    fork_point,
)
from drawing import Board, Point, oval, ring_point, smooth, tube, workshop

SILENCER: list[Point] = [(930, 704), (980, 688), (1180, 628), (1236, 612), (1252, 628), (1246, 654),
                         (1190, 676),
                         (1010, 728), (946, 734)]


def draw_drive(board: Board) -> None:
    """Chain, sprockets and chain guard (left side). The lower run hangs slack."""
    board.ring(REAR, 62, 40, METAL, METAL_DARK)
    for i in range(36):
        board.disc(ring_point(REAR, 62, i * 10), 4.2, METAL_DARK)
    for i in range(5):
        board.line([ring_point(REAR, 20, i * 72), ring_point(REAR, 44, i * 72 + 10)], 10, "#5d6268")
    board.disc(REAR, 24, "#4b4f54")
    board.disc(REAR, 13, METAL, METAL_DARK)
    upper = [(886, 584), (1168, 574)]
    lower = smooth([(886, 636), (960, 668), (1050, 694), (1166, 698)], closed=False)
    for run in (smooth([upper[0], (1030, 580), upper[1]], closed=False), lower):
        board.shape(tube(run, 11), "#3f3a33")
        for i in range(0, len(run), 1):
            board.disc(run[i], 3.2, "#b09a66")
    board.shape(smooth([(960, 562), (1100, 548), (1190, 554), (1196, 568), (960, 578)], tension=0.2), DARK,
                "#3a3d42")


def draw_pipes(board: Board, right: bool) -> None:
    """Exhaust headers, and the silencer on the right."""
    board.rod([(694, 462), (660, 486), (648, 560), (676, 664), (748, 720), (840, 724)], 24, "#a89b8c",
              "#efe6da")
    if not right:  # the pipe crosses under the sump to the far side
        board.blob([(774, 700), (838, 698), (890, 688), (902, 716), (862, 742), (776, 738)], "#4a4e53",
                   "#2e3034")
        return
    board.rod([(742, 718), (860, 732), (950, 718)], 26, "#b3a696", "#efe6da")
    body = smooth(SILENCER, tension=0.4)
    board.shape(body, "#f2f3f4", "#84898f")
    board.shape(tube([(984, 698), (1190, 636)], 6), "#ffffff", alpha=0.85)
    board.shape(smooth([(1206, 620), (1238, 610), (1254, 628), (1248, 654), (1216, 668)], tension=0.4), DARK,
                "#46494e")
    board.shape(tube([(1000, 694), (1012, 724)], 8), METAL_DARK)


def mark_left(board: Board) -> None:
    """The chip on the fork leg, the dent in the tank and the scuff on the casing."""
    x, y = fork_point(34)
    chip = [(x - 6, y - 8), (x + 3, y - 9), (x + 7, y - 1), (x + 2, y + 8), (x - 6, y + 4)]
    board.shape(smooth(chip, tension=0.2), "#e8e4dc")
    board.shape(smooth([(px * 0.6 + x * 0.4, py * 0.6 + y * 0.4) for px, py in chip], tension=0.2), "#b9b3a8")
    board.shape(oval((664, 322), 11, 8.5), "#5a170a", alpha=0.6, blur=2.6)
    board.shape(oval((667.5, 326), 8, 5), "#ffb79c", alpha=0.8, blur=2.2)
    board.shape(oval((661.5, 319), 4, 3), "#3d0d04", alpha=0.5, blur=1.4)
    board.shape(oval((776, 640), 28, 13, -12), "#e3e5e7", alpha=0.55, blur=4)
    for i in range(26):
        x, y = 752 + i * 1.9, 646 - i * 0.45 + (i * 7) % 9 - 4
        long = 7 + (i * 5) % 11
        board.line([(x, y), (x + long, y - long * 0.55)], 0.8, "#f7f8f9" if i % 3 else "#45494e", 0.9)


def mark_right(board: Board) -> None:
    """Rust and a scratch on the silencer, and the scraped end of the footrest."""
    body = smooth(SILENCER, tension=0.4)
    for i in range(26):
        t = i / 25
        x, y = 960 + 220 * t, 730 - 62 * t
        size = 3.5 + (i * 7) % 5
        board.shape(oval((x, y - (i * 5) % 9), size, size * 0.6, -16), "#8a5630", alpha=0.6, blur=1.6,
                    clip=body)
        board.disc((x + 3, y - (i * 3) % 8), 1.3, "#5f3413")
    scratch = smooth([(1124, 660), (1160, 647), (1200, 629)], closed=False)
    board.shape(tube(scratch, 2.0), "#54585d")
    board.shape(tube([(x, y + 1.8) for x, y in scratch], 1.2), "#ffffff")
    board.shape(tube([(x + 6, y + 5) for x, y in scratch[4:-8]], 0.9), "#6c7177")
    board.disc((942, 672), 8, "#eef0f1", "#b0b4b8")
    for i in range(5):
        board.line([(936, 667 + i * 2.6), (949, 665 + i * 2.6)], 0.9, "#5c6066")
    board.shape([(928, 664), (942, 664), (942, 668), (932, 667)], "#d5d8da")


def name_places(board: Board, right: bool) -> None:
    """Where the camera finds each part on this side."""
    board.place("whole", (800, 500), 1480)
    board.place("front-half", (560, 480), 860)
    board.place("rear-half", (1040, 500), 860)
    board.place("fork-leg", (470, 590), 330)
    board.place("fuel-tank", (716, 350), 420)
    board.place("side-panel", (942, 456), 400)
    board.place("rider-footrest", (906, 660), 330)
    if right:
        board.place("exhaust-silencer", (1080, 672), 480)
        board.place("silencer-end", (1170, 650), 340)
        board.place("rear-brake", (1174, 636), 440)
        board.place("fork-seal", (514, 466), 340)
    else:
        board.place("engine-casing", (790, 618), 380)
        board.place("gear-lever", (860, 680), 380)
        board.place("chain", (1030, 634), 500)
        board.place("sprockets", (1130, 632), 420)


def draw_side(right: bool) -> Board:
    """The whole bike from its left or its right, standing in the workshop."""
    board = Board(mirrored=right)
    workshop(board)
    for hub in (FRONT, REAR):
        board.shape(oval((hub[0], 802), 170, 14), "#2e2c29", alpha=0.65, blur=9)
    board.shape(oval((800, 806), 430, 18), "#3a3835", alpha=0.6, blur=14)
    draw_wheel(board, REAR)
    if right:
        draw_brake(board, REAR, 70, 200)
    draw_frame(board)
    if not right:
        draw_drive(board)
    draw_front(board)
    draw_engine(board)
    draw_cover(board, right)
    draw_rear(board)
    draw_pipes(board, right)
    draw_controls(board, right)
    draw_body(board)
    draw_top(board)
    if right:
        mark_right(board)
    else:
        mark_left(board)
    name_places(board, right)
    return board
