"""The demo bike seen from above, front to the left: the rider's left is at the bottom of the sheet."""

# Outlines are lists of points: they stay compact.
# fmt: off

from __future__ import annotations

from bike_side import CREAM, DARK, METAL, METAL_DARK, PAINT, PAINT_DARK, RUBBER
from drawing import SHEET, Board, Point, oval, ring_point, smooth, tube

MIDDLE = 450.0


def pair(points: list[Point], side: int) -> list[Point]:
    """Points given as (x, distance from the middle line): side 1 is the rider's left, -1 the right."""
    return [(x, MIDDLE + side * y) for x, y in points]


def both(points: list[Point]) -> list[Point]:
    """A closed outline from one half, given as (x, distance from the middle line)."""
    return pair(points, 1) + pair(points, -1)[::-1]


def draw_floor(board: Board) -> None:
    """The painted floor with its joints, and the soft shadow of the bike."""
    wide, tall = SHEET
    board.shape([(0, 0), (wide, 0), (wide, tall), (0, tall)], "#b9b5ae", "#a29e97")
    for x in range(60, wide, 370):
        board.line([(x, 0), (x, tall)], 2.4, "#8b8780", alpha=0.6)
    for y in (120, 490, 860):
        board.line([(0, y), (wide, y)], 2.4, "#8b8780", alpha=0.6)
    board.shape(oval((830, MIDDLE + 14), 680, 120), "#35332f", alpha=0.5, blur=22)
    board.shape(oval((670, MIDDLE + 10), 60, 250), "#35332f", alpha=0.35, blur=18)


def draw_tyres(board: Board) -> None:
    """The parts of both tyres that show, with the front mudguard."""
    for first, last, half in ((136.0, 520.0, 38.0), (1110.0, 1500.0, 47.0)):
        outline = smooth(both([(first, half * 0.45), (first + 40, half), (last - 40, half),
                               (last, half * 0.45)]), tension=0.35)
        board.shape(outline, "#3a3b3f", "#161719")
        for i in range(18):
            x = first + 10 + i * 21.5
            for side in (-1, 1):
                cut = pair([(x, half * 0.14), (x + 8, half * 0.6), (x + 20, half)], side)
                board.shape(tube(cut, 4.4), "#0c0c0d", clip=outline)
    guard = smooth(both([(206, 24), (222, 48), (440, 52), (470, 34)]), tension=0.35)
    board.shape(guard, PAINT, PAINT_DARK)
    board.shape(oval((330, MIDDLE - 22), 100, 8), "#ffffff", alpha=0.35, blur=5, clip=guard)


def draw_middle(board: Board) -> None:
    """Engine covers, footrests and silencer at the sides of the tank."""
    silencer: list[Point] = [(1060, 126), (1100, 122), (1420, 134), (1450, 156), (1420, 182), (1100, 168),
                             (1060, 156)]
    body = smooth(pair(silencer, -1), tension=0.35)
    board.shape(body, "#f2f3f4", "#84898f")
    board.shape(smooth(pair([(1404, 132), (1452, 140), (1456, 172), (1404, 184)], -1), tension=0.3), DARK,
                "#46494e")
    board.rod(pair([(900, 120), (980, 146), (1070, 142)], -1), 24, "#a89b8c", "#efe6da")
    for side in (-1, 1):
        board.blob(pair([(760, 90), (790, 146), (900, 152), (950, 120), (940, 80)], side), "#8b9096",
                   "#4c5056")
        board.rod(pair([(986, 130), (990, 204)], side), 17, RUBBER, "#4a4d52")
        board.disc((990, MIDDLE + side * 210), 9, METAL, METAL_DARK)
        board.rod(pair([(1180, 70), (1184, 150)], side), 14, RUBBER, "#4a4d52")
        board.blob(pair([(1040, 78), (1060, 104), (1170, 100), (1190, 76)], side), PAINT, PAINT_DARK)
        board.rod(pair([(524, 78), (524, 116)], side), 7, DARK)
        board.blob(pair([(512, 110), (540, 110), (544, 140), (526, 148), (510, 136)], side), "#f6a53c",
                   "#c96a12")
        board.rod(pair([(1404, 50), (1404, 100)], side), 7, DARK)
        board.blob(pair([(1392, 94), (1420, 94), (1424, 120), (1406, 128), (1390, 118)], side), "#f6a53c",
                   "#c96a12")


def draw_seat(board: Board) -> None:
    """Tail, rack, pillion seat and rider's seat with the tear in its stitching."""
    tail = smooth(both([(1120, 78), (1260, 74), (1420, 48), (1452, 20)]), tension=0.4)
    board.shape(tail, PAINT, PAINT_DARK)
    board.shape(smooth(both([(1424, 40), (1452, 30), (1458, 12)]), tension=0.3), "#f0363a", "#8d0d14")
    pillion = smooth(both([(1150, 66), (1190, 72), (1300, 62), (1350, 40)]), tension=0.4)
    board.shape(pillion, "#4a423f", "#262120")
    rider = smooth(both([(930, 44), (980, 72), (1080, 88), (1146, 80), (1164, 50)]), tension=0.4)
    board.shape(rider, "#453d3a", "#221e1d")
    board.shape(oval((1080, MIDDLE - 34), 60, 16), "#ffffff", alpha=0.13, blur=8, clip=rider)
    board.shape(oval((1250, MIDDLE - 26), 70, 12), "#ffffff", alpha=0.13, blur=8, clip=pillion)
    for seam, area in (([(968, 50), (1060, 66), (1140, 60)], rider), ([(1176, 54), (1240, 56), (1326, 42)],
                                                                      pillion)):
        for side in (-1, 1):
            path = smooth(pair(list(seam), side), False)
            board.shape(tube(path, 1.4), "#171413", clip=area)
            for i in range(0, len(path) - 1, 2):
                board.line(path[i : i + 2], 2.0, "#b9a99c")
    tear = smooth(pair([(1052, 62), (1068, 58), (1090, 62), (1072, 72)], 1), tension=0.35)
    board.shape(tear, "#0c0a09")
    board.shape(smooth(pair([(1058, 63), (1070, 61), (1084, 63), (1071, 68)], 1)), "#d9b679", "#a98750")
    for i in range(4):
        x = 1056 + i * 9
        board.line(pair([(x, 59), (x + 5, 54)], 1), 1.0, "#cbbcae")
    board.rod(pair([(1330, 60), (1350, 70), (1470, 62), (1484, 0)], 1), 9, DARK, "#6b7076")
    board.rod(pair([(1330, 60), (1350, 70), (1470, 62), (1484, 0)], -1), 9, DARK, "#6b7076")
    for x in (1370, 1414, 1456):
        board.rod(pair([(x, -64), (x, 64)], 1), 8, DARK, "#6b7076")


def draw_tank(board: Board) -> None:
    """The tank with its stripe and filler cap."""
    tank = smooth(both([(640, 40), (664, 86), (740, 110), (840, 102), (920, 66), (968, 30)]), tension=0.45)
    board.shape(tank, PAINT, PAINT_DARK)
    board.shape(both([(630, 12), (980, 12)]), CREAM, "#d8c6a4", clip=tank)
    board.shape(oval((760, MIDDLE - 62), 90, 15, -4), "#ffffff", alpha=0.34, blur=7, clip=tank)
    board.shape(oval((780, MIDDLE + 92), 120, 16, 4), "#4d1206", alpha=0.4, blur=9, clip=tank)
    board.disc((800, MIDDLE), 38, "#eceef0", "#8d9298")
    board.disc((800, MIDDLE), 30, "#c9ccd0", "#9ea3a8")
    board.disc((800, MIDDLE), 10, "#5d6268", "#3a3d42")


def draw_cockpit(board: Board) -> None:
    """Headlight, screen, yoke, bars, levers, mirrors and clocks."""
    board.shape(smooth(both([(448, 34), (470, 60), (540, 58), (560, 30)]), tension=0.4), "#3a3d42", "#17181a")
    screen = smooth(both([(470, 30), (482, 88), (530, 84), (552, 30)]), tension=0.4)
    board.shape(screen, "#56636a", "#8c9aa1", across=True, alpha=0.7)
    board.blob(both([(598, 40), (606, 104), (650, 104), (656, 40)]), "#4a4d53", "#26282b")
    for side in (-1, 1):
        board.disc((622, MIDDLE + side * 80), 17, METAL, METAL_DARK)
        board.disc((622, MIDDLE + side * 80), 8, "#4a4d52")
        board.rod(pair([(632, 0), (630, 60), (612, 110), (640, 170)], side), 15, DARK, "#6b7076")
        board.rod(pair([(640, 168), (664, 246)], side), 27, RUBBER, "#4a4d52")
        board.rod(pair([(665, 252), (668, 260)], side), 25, METAL, "#ffffff")
        board.blob(pair([(606, 122), (646, 118), (654, 152), (620, 160)], side), "#3a3d42", "#1d1e21")
        board.rod(pair([(612, 140), (580, 168), (560, 190)], side), 8, DARK, "#6b7076")
        mirror: list[Point] = [(536, 164), (560, 158), (574, 196), (568, 246), (546, 250), (532, 206)]
        board.blob(pair(mirror, side), "#3a3d42", "#1d1e21")
    board.rod(pair([(606, 140), (598, 176), (618, 226), (628, 254)], 1), 10, METAL_DARK, "#f2f3f4")
    board.disc((628, MIDDLE + 256), 7, METAL)
    bent: list[Point] = [(606, 140), (598, 176), (612, 216), (608, 236), (588, 252)]
    board.rod(pair(bent, -1), 10, METAL_DARK, "#f2f3f4")
    board.disc((586, MIDDLE - 254), 7, METAL)
    for i in range(9):  # the scuff on the left bar end
        board.line([(655 + i * 2.6, MIDDLE + 262 + i % 3), (659 + i * 2.6, MIDDLE + 271 - i % 2)], 1.2,
                   "#3f4348")
    board.shape(smooth(both([(548, 50), (556, 90), (604, 88), (606, 40)]), tension=0.35), DARK, "#3a3d42")
    for side in (-1, 1):
        dial = (578.0, MIDDLE + side * 42)
        board.ring(dial, 38, 32, "#eceef0", "#8d9298")
        board.disc(dial, 32, "#f4f1e8", "#d9d4c6")
        for i in range(9):
            board.line([ring_point(dial, 29, 30 + i * 37), ring_point(dial, 23, 30 + i * 37)], 1.6, "#26282b")
        board.line([dial, ring_point(dial, 25, 60 + side * 12)], 2.2, "#d2202a")
        board.disc(dial, 4, "#26282b")
        board.shape(oval((dial[0] - 10, dial[1] - 12), 12, 5, -40), "#ffffff", alpha=0.6, blur=3)


def draw_top_view() -> Board:
    """The whole bike from above."""
    board = Board()
    draw_floor(board)
    draw_tyres(board)
    draw_middle(board)
    draw_seat(board)
    draw_tank(board)
    draw_cockpit(board)
    board.place("whole", (810, MIDDLE), 1480)
    board.place("rider-seat", (1070, MIDDLE + 30), 330)
    board.place("pillion-seat", (1250, MIDDLE), 380)
    board.place("bar-end-left", (650, MIDDLE + 236), 320)
    board.place("clutch-lever", (618, MIDDLE + 200), 340)
    board.place("brake-lever", (610, MIDDLE - 210), 340)
    board.place("instruments", (580, MIDDLE), 340)
    return board
