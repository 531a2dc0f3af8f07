"""The demo bike seen from the front and from the back, with the marks that the narration tells of."""

# Outlines are lists of points: they stay compact.
# fmt: off

from __future__ import annotations

import math

from bike_side import DARK, METAL, METAL_DARK, PAINT, PAINT_DARK, RUBBER
from drawing import Board, Point, oval, ring_point, smooth, tube, workshop

MIDDLE = 800.0
GROUND = 826.0
AXLE = 628.0
BENT_FINS = range(41, 47)


def pair(points: list[Point], side: int) -> list[Point]:
    """Points given as distance from the middle line, on one side (-1 left of the sheet, 1 right)."""
    return [(MIDDLE + side * x, y) for x, y in points]


def draw_tyre(board: Board, half: float, top: float, worn: bool = False) -> None:
    """A tyre head-on: rounded shoulders and slanted tread cuts, nearly gone in the middle when worn."""
    outline = smooth(
        [(MIDDLE - half, top + 60), (MIDDLE - half * 0.7, top + 12), (MIDDLE, top), (MIDDLE + half * 0.7,
                                                                                     top + 12),
         (MIDDLE + half, top + 60), (MIDDLE + half, GROUND - 50), (MIDDLE + half * 0.7, GROUND - 8),
         (MIDDLE, GROUND), (MIDDLE - half * 0.7, GROUND - 8), (MIDDLE - half, GROUND - 50)], tension=0.35,
    )
    board.shape(outline, "#3a3b3f", "#161719")
    board.shape(oval((MIDDLE - half * 0.35, (top + GROUND) / 2), half * 0.3, 190), "#6a6c71", alpha=0.3,
                blur=7,
                clip=outline)
    for i in range(19):
        y = top + 14 + i * 21
        for side in (-1, 1):
            cut = pair([(half * 0.14, y + 9), (half * 0.55, y - 2), (half * 0.98, y - 16)], side)
            board.shape(tube(cut[1:] if worn else cut, 4.6), "#0c0c0d", clip=outline)
    if worn:
        board.shape(oval((MIDDLE, (top + GROUND) / 2), half * 0.42, 210), "#77797d", alpha=0.4, blur=6,
                    clip=outline)
    board.shape(tube([(MIDDLE, top), (MIDDLE, GROUND)], 2.2 if worn else 4.2), "#0c0c0d", clip=outline)


def draw_bars(board: Board, from_front: bool) -> None:
    """Handlebar, grips, levers, bar ends and mirrors; mirror glass shows only from the back."""
    for side in (-1, 1):
        board.rod(pair([(0, 300), (60, 296), (110, 268), (170, 262)], side), 14, DARK, "#6b7076")
        board.rod(pair([(164, 262), (238, 266)], side), 25, RUBBER, "#4a4d52")
        board.rod(pair([(243, 266), (252, 267)], side), 23, METAL, "#ffffff")
        board.rod(pair([(128, 272), (150, 286), (236, 290)], side), 9, METAL_DARK, "#e6e8ea")
        board.blob(pair([(112, 254), (150, 248), (158, 276), (120, 282)], side), "#3a3d42", "#1d1e21")
        board.rod(pair([(136, 256), (150, 214), (186, 184)], side), 8, DARK, "#6b7076")
        glass = smooth(pair([(150, 150), (196, 134), (256, 144), (264, 172), (232, 194), (166, 190)], side))
        board.shape(glass, "#34373c", "#17181a")
        if not from_front:
            inner = smooth(pair([(158, 154), (197, 142), (248, 150), (255, 170), (229, 187), (170, 184)],
                                side))
            board.shape(inner, "#dfe8ec", "#8fa0a8")
        else:
            board.shape(oval((MIDDLE + side * 206 - 12, 154), 34, 6, -6), "#ffffff", alpha=0.25, blur=3,
                        clip=glass)


def draw_front_body(board: Board) -> None:
    """What stands behind the front wheel: tank, engine, headers, radiator, footrests, stand."""
    board.shape(oval((MIDDLE, GROUND - 2), 250, 16), "#2e2c29", alpha=0.6, blur=12)
    board.rod([(MIDDLE + 118, 720), (MIDDLE + 178, 822)], 13, "#303338", "#6b7076")
    board.rod([(MIDDLE - 150, 694), (MIDDLE - 168, 690)], 76, "#8d9298")
    board.disc((MIDDLE - 158, 690), 36, "#6f747a", "#3c4045")
    for side in (-1, 1):
        board.rod(pair([(120, 694), (206, 694)], side), 17, RUBBER, "#4a4d52")
        board.disc((MIDDLE + side * 212, 694), 9, METAL, METAL_DARK)
    case: list[Point] = [(MIDDLE - 128, 560), (MIDDLE - 150, 620), (MIDDLE - 140, 710), (MIDDLE - 80, 752),
                         (MIDDLE + 80, 752), (MIDDLE + 140, 710), (MIDDLE + 150, 620), (MIDDLE + 128, 560)]
    board.blob(case, "#83888e", "#3f4347")
    board.shape(smooth(pair([(-118, 440), (118, 440), (124, 580), (-124, 580)], 1), tension=0.1), "#6b7077",
                "#3f4347")
    for i in range(8):
        board.line([(MIDDLE - 124, 452 + i * 15), (MIDDLE + 124, 452 + i * 15)], 5, "#92979d")
        board.line([(MIDDLE - 124, 456 + i * 15), (MIDDLE + 124, 456 + i * 15)], 2.4, "#2f3236")
    tank = smooth(pair([(-112, 380), (-106, 310), (-60, 262), (0, 252), (60, 262), (106, 310), (112, 380),
                        (0, 420)], 1))
    board.shape(tank, PAINT, PAINT_DARK)
    board.shape(oval((MIDDLE - 40, 276), 50, 10, -12), "#ffffff", alpha=0.35, blur=5, clip=tank)
    for side in (-1, 1):
        board.rod(pair([(84, 560), (98, 600), (88, 690), (70, 744)], side), 25, "#a89b8c", "#efe6da")


def draw_radiator(board: Board) -> None:
    """Radiator with its fins; a few at the bottom are bent."""
    left, right, top, bottom = MIDDLE - 152, MIDDLE + 152, 438.0, 586.0
    board.shape([(left - 10, top - 8), (right + 10, top - 8), (right + 10, bottom + 8),
                 (left - 10, bottom + 8)],
                "#3a3d42", "#232528")
    board.rod([(right - 20, top - 8), (right - 6, top - 34), (right - 62, top - 58)], 14, RUBBER, "#4a4d52")
    board.shape([(left, top), (right, top), (right, bottom), (left, bottom)], "#1d1f21", "#2c2f32")
    for i in range(51):
        x = left + 4 + i * 5.9
        if i in BENT_FINS:
            lean = 4.0 + (i - BENT_FINS.start) * 1.3
            fin = [(x, top + 4), (x, bottom - 44), (x + lean, bottom - 28), (x + lean * 0.9, bottom - 14),
                   (x, bottom - 3)]
            board.shape(tube(smooth(fin, False), 2.2), "#d2d6da")
        else:
            board.line([(x, top + 4), (x, bottom - 4)], 1.6, "#7d8389")
    for i in range(8):
        board.line([(left, top + 16 + i * 18), (right, top + 16 + i * 18)], 1.2, "#0e0f10")
    board.shape(oval((left + 4 + 44.5 * 5.9, bottom - 20), 20, 13), "#f4f6f7", alpha=0.22, blur=5)


def draw_fork(board: Board) -> None:
    """Wheel head-on with both discs and calipers, mudguard and fork legs."""
    draw_tyre(board, 42, AXLE - 198)
    board.rod([(MIDDLE - 84, AXLE), (MIDDLE + 84, AXLE)], 16, METAL_DARK, "#e6e8ea")
    for side in (-1, 1):
        board.shape(oval((MIDDLE + side * 53, AXLE), 6, 100), "#dfe2e4", "#9aa0a6")
        board.shape(oval((MIDDLE + side * 54.5, AXLE), 2.2, 92), "#6d7278")
        board.rod(pair([(78, 336), (78, 470)], side), 24, "#b9bec4", "#ffffff")
        board.rod(pair([(78, 462), (78, AXLE + 4)], side), 33, "#3a3d43", "#8a9098")
        board.rod(pair([(78, 458), (78, 470)], side), 38, DARK, "#63676d")
        board.blob(pair([(50, AXLE - 78), (84, AXLE - 80), (88, AXLE - 20), (52, AXLE - 18)], side),
                   "#54585e", "#2b2d31")
        board.disc((MIDDLE + side * 70, AXLE - 48), 10, "#83888e", "#4c5056")
        board.disc((MIDDLE + side * 78, AXLE), 11, METAL, METAL_DARK)
    guard = smooth(pair([(-54, 566), (-56, 470), (-40, 426), (0, 410), (40, 426), (56, 470), (54, 566),
                         (30, 580),
                         (0, 584), (-30, 580)], 1))
    board.shape(guard, PAINT, PAINT_DARK)
    board.shape(tube(smooth([(MIDDLE - 26, 440), (MIDDLE - 36, 500), (MIDDLE - 34, 560)], False), 9),
                "#ffb79c",
                alpha=0.5, clip=guard)
    for x, y, size in ((14, 486, 5.0), (-2, 526, 4.2)):
        edge = [ring_point((MIDDLE + x, y), size * (1.0 + 0.4 * math.sin(k * 2.4 + x)),
                           k * 40) for k in range(9)]
        board.shape(edge, "#f3ece1")
        board.shape([ring_point((MIDDLE + x + 0.5, y + 0.7), size * (0.55 + 0.25 * math.sin(k * 2.4 + x)),
                                k * 40)
                     for k in range(9)], "#8b8d90")


def draw_face(board: Board) -> None:
    """Yokes, headlight, indicators and windscreen with its scratch."""
    board.shape(smooth(pair([(-104, 384), (104, 384), (96, 414), (-96, 414)], 1), tension=0.15), "#3b3e43",
                "#202225")
    board.shape(smooth(pair([(-104, 316), (104, 316), (98, 338), (-98, 338)], 1), tension=0.15), "#4a4d53",
                "#26282b")
    for side in (-1, 1):
        board.rod(pair([(90, 384), (132, 388)], side), 8, DARK)
        board.blob(pair([(128, 374), (160, 374), (166, 390), (152, 404), (130, 400)], side), "#f6a53c",
                   "#c96a12")
    board.disc((MIDDLE, 360), 76, "#3a3d42", "#17181a")
    board.ring((MIDDLE, 360), 73, 65, "#f1f3f4", "#8d9298")
    board.disc((MIDDLE, 360), 65, "#f5fbfd", "#a8bfca")
    board.disc((MIDDLE, 360), 26, "#ffffff", "#cfdde4")
    for i in (-2, -1, 1, 2):
        board.line([(MIDDLE + i * 21, 305 + abs(i) * 8), (MIDDLE + i * 21, 415 - abs(i) * 8)], 1.4,
                   "#8ea6b2", 0.8)
    board.shape(oval((MIDDLE - 24, 330), 26, 12, -35), "#ffffff", alpha=0.8, blur=4)
    screen = smooth(pair([(-92, 292), (-98, 236), (-66, 186), (0, 172), (66, 186), (98, 236), (92, 292),
                          (0, 300)], 1))
    board.shape(screen, "#3d474d", "#8c9aa1", alpha=0.78)
    board.shape(smooth(pair([(-80, 240), (-54, 198), (-30, 190), (-66, 270)], 1)), "#ffffff", alpha=0.22,
                clip=screen)
    cut = smooth([(MIDDLE - 34, 256), (MIDDLE + 2, 240), (MIDDLE + 44, 216)], False)
    board.shape(tube(cut, 2.4), "#f7fafb", alpha=0.95)
    board.shape(tube([(x + 3, y + 4) for x, y in cut[4:-6]], 1.2), "#f7fafb", alpha=0.7)


def draw_front_view() -> Board:
    """The bike head-on. The rider's right is on the left of the sheet."""
    board = Board()
    workshop(board)
    draw_front_body(board)
    draw_radiator(board)
    draw_fork(board)
    draw_face(board)
    draw_bars(board, from_front=True)
    for shift in (0, 4):  # the scratch on the back of the right mirror
        board.line([(MIDDLE - 238 + shift, 158 + shift), (MIDDLE - 206, 166 + shift), (MIDDLE - 182,
                                                                                       178 + shift)],
                   1.9 - shift * 0.2, "#f0f2f3")
    board.place("whole", (800, 480), 1280)
    board.place("headlight", (800, 356), 400)
    board.place("windscreen", (800, 238), 400)
    board.place("front-mudguard", (800, 500), 340)
    board.place("radiator", (884, 534), 340)
    board.place("front-brake-discs", (800, 610), 400)
    board.place("front-tyre", (800, 690), 460)
    board.place("mirrors", (800, 210), 640)
    return board


def draw_shelf(board: Board) -> None:
    """A shelf on the wall with a top box that does not belong to the bike."""
    board.shape([(1090, 372), (1430, 372), (1430, 386), (1090, 386)], "#b98d5c", "#8f6a41")
    for x in (1130, 1380):
        board.shape([(x, 386), (x + 12, 386), (x + 12, 430), (x, 400)], "#6b6f74")
    box: list[Point] = [(1150, 368), (1142, 300), (1170, 262), (1260, 250), (1350, 262), (1378, 300),
                        (1370, 368)]
    board.shape(smooth(box, tension=0.25), "#4a4d52", "#232528")
    board.line([(1146, 312), (1374, 312)], 5, "#151618")
    board.shape([(1236, 304), (1284, 304), (1284, 330), (1236, 330)], METAL, METAL_DARK)
    board.shape([(1160, 340), (1216, 340), (1216, 354), (1160, 354)], "#b3161c")
    board.shape([(1304, 340), (1360, 340), (1360, 354), (1304, 354)], "#b3161c")


def draw_rear_parts(board: Board, plate: str) -> None:
    """Wheel, shocks, silencer, tail, lights, rack and number plate from behind."""
    board.shape(oval((MIDDLE, GROUND - 2), 250, 16), "#2e2c29", alpha=0.6, blur=12)
    board.rod([(MIDDLE - 110, 720), (MIDDLE - 176, 822)], 13, "#303338", "#6b7076")
    for side in (-1, 1):
        board.rod(pair([(110, 690), (208, 692)], side), 17, RUBBER, "#4a4d52")
        board.disc((MIDDLE + side * 213, 692), 9, METAL, METAL_DARK)
        board.blob(pair([(90, 540), (148, 560), (150, 690), (100, 730)], side), "#777c82", "#3f4347")
    draw_tyre(board, 54, AXLE - 198, worn=True)
    board.rod([(MIDDLE - 112, AXLE), (MIDDLE + 112, AXLE)], 18, METAL_DARK, "#e6e8ea")
    board.shape(oval((MIDDLE - 74, AXLE), 6, 70), METAL, METAL_DARK)
    board.shape(oval((MIDDLE + 70, AXLE), 5, 82), "#dfe2e4", "#9aa0a6")
    for side in (-1, 1):
        board.rod(pair([(94, 590), (94, AXLE + 10)], side), 28, "#595d63", "#8d9298")
        board.rod(pair([(104, 400), (104, 590)], side), 9, METAL)
        for i in range(11):
            board.rod(pair([(88, 430 + i * 14), (120, 424 + i * 14)], side), 7, "#e0b43a", "#fbe9a6")
        board.rod(pair([(104, 396), (104, 424)], side), 22, DARK, "#5c6066")
        board.rod(pair([(104, 580), (104, 602)], side), 20, DARK, "#5c6066")
    board.disc((MIDDLE + 162, 660), 46, "#e6e8ea", "#84898f")
    board.disc((MIDDLE + 162, 660), 38, "#3a3d42", "#1c1d20")
    board.disc((MIDDLE + 162, 660), 20, "#0c0c0d", "#2a2b2e")
    tank = smooth(pair([(-110, 360), (-104, 300), (-60, 266), (0, 258), (60, 266), (104, 300), (110, 360)],
                       1))
    board.shape(tank, PAINT, PAINT_DARK)
    board.blob(pair([(-86, 372), (-80, 320), (0, 302), (80, 320), (86, 372), (0, 390)], 1), "#3b3432",
               "#1d1a19")
    board.blob(pair([(-92, 390), (-84, 356), (0, 344), (84, 356), (92, 390), (60, 424), (-60, 424)], 1),
               PAINT, PAINT_DARK)
    board.rod(pair([(-96, 352), (-92, 322), (-60, 316), (60, 316), (92, 322), (96, 352)], 1), 10, DARK,
              "#6b7076")
    board.blob(pair([(-52, 372), (52, 372), (56, 396), (38, 412), (-38, 412), (-56, 396)], 1), "#f0363a",
               "#8d0d14")
    for i in range(5):
        board.disc((MIDDLE - 32 + i * 16, 392), 5.4, "#ff8f86", "#d9262c")
    board.rod([(MIDDLE - 24, 420), (MIDDLE - 24, 470)], 12, DARK)
    board.rod([(MIDDLE + 24, 420), (MIDDLE + 24, 470)], 12, DARK)
    for side in (-1, 1):
        board.rod(pair([(24, 436), (118, 432)], side), 8, DARK, "#5c6066")
        board.blob(pair([(114, 418), (146, 418), (152, 434), (138, 450), (116, 444)], side), "#f6a53c",
                   "#c96a12")
    draw_plate(board, plate)


def draw_plate(board: Board, plate: str) -> None:
    """The yellow rear plate in two lines, its lower corner cracked."""
    left, top, wide, tall = MIDDLE - 88, 462.0, 176.0, 122.0
    area = smooth([(left, top), (left + wide, top), (left + wide, top + tall), (left, top + tall)],
                  tension=0.04)
    board.shape([(x + 3, y + 4) for x, y in area], "#000000", alpha=0.35, blur=3)
    board.shape(area, "#f7d33c", "#e9bf24")
    for line, text in enumerate(plate.split()):
        for dx in (0.0, 1.1, 2.2):
            board.mark_text(text, (MIDDLE - 1.1 + dx, top + 33 + line * 55), 50, "#17181a")
    for x in (left + 12, left + wide - 12):
        board.disc((x, top + 12), 3.4, METAL_DARK)
    corner = (left + wide, top + tall)
    crack: list[Point] = [(corner[0] - 46, corner[1]), (corner[0] - 38, corner[1] - 14), (corner[0] - 24,
                                                                                          corner[1] - 20),
                          (corner[0] - 16, corner[1] - 36), (corner[0], corner[1] - 44)]
    board.line(crack, 3.0, "#fff6cf")
    board.line([(x + 1, y + 1.2) for x, y in crack], 1.8, "#3a2e05")
    board.line([crack[2], (crack[2][0] - 16, crack[2][1] - 14)], 1.4, "#3a2e05")


def draw_rear_view(plate: str) -> Board:
    """The bike from behind. The rider's right is on the right of the sheet."""
    board = Board()
    workshop(board)
    draw_shelf(board)
    draw_bars(board, from_front=False)
    draw_rear_parts(board, plate)
    board.place("whole", (800, 480), 1280)
    board.place("number-plate", (812, 510), 340)
    board.place("tail-light", (800, 410), 430)
    board.place("rear-tyre", (800, 700), 430)
    board.place("shelf", (1060, 340), 800)
    return board
