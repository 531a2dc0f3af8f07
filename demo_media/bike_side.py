"""The demo bike seen from the left and from the right. Described with the front to the left of the sheet."""

# Outlines are lists of points: they stay compact.
# fmt: off

from __future__ import annotations

from drawing import Board, Point, oval, ring_point, smooth, tube

FRONT: Point = (430, 636)
REAR: Point = (1174, 636)
TYRE = 164.0
PAINT, PAINT_DARK, CREAM = "#d2502a", "#8f2c14", "#f2e6cf"
DARK, METAL, METAL_DARK, RUBBER = "#26282b", "#c9ccd0", "#7d8288", "#1c1d1f"
TANK: list[Point] = [
    (600, 366), (606, 316), (650, 284), (722, 276), (790, 296), (838, 338), (858, 378), (842, 398),
    (770, 404), (690, 412), (636, 420), (608, 402),
]


def fork_point(along: float) -> Point:
    """A point on the fork, ``along`` units up from the front axle (rake about 25 degrees)."""
    return FRONT[0] + 0.423 * along, FRONT[1] - 0.906 * along


def draw_wheel(board: Board, hub: Point, spokes: int = 5) -> None:
    """A cast wheel with paired spokes, tyre with a line of sidewall, and hub."""
    board.ring(hub, TYRE, 116, "#2c2d30", "#141516")
    board.ring(hub, TYRE - 8, TYRE - 10, "#3d3f43")
    board.ring(hub, 138, 135.5, "#3a3c40")
    for i in range(48):
        a = i * 7.5
        board.line([ring_point(hub, TYRE - 1, a), ring_point(hub, TYRE - 11, a + 3)], 2.2, "#0f1011")
    board.ring(hub, 120, 106, "#5a5e64", "#34373b")
    board.ring(hub, 120, 117.5, "#8d9298")
    for i in range(spokes):
        for lean in (-11, 11):
            a = i * 360 / spokes - 90
            path = [ring_point(hub, 18, a + lean * 2), ring_point(hub, 109, a + lean)]
            board.shape(tube(path, 11), "#3b3e43")
            board.shape(tube([(x - 2, y - 2) for x, y in path], 2.6), "#7c8188")
    board.disc(hub, 32, "#4b4f54", "#2c2e32")
    board.disc(hub, 13, METAL, METAL_DARK)


def draw_brake(board: Board, hub: Point, radius: float, caliper_at: float) -> None:
    """A drilled disc on its carrier, with the caliper at an angle (degrees, clockwise from three)."""
    board.ring(hub, radius, radius - 24, "#d4d7da", "#a2a7ac")
    for i in range(30):
        board.disc(ring_point(hub, radius - 8 - (i % 3) * 4, i * 12), 1.9, "#6c7177")
    board.ring(hub, radius - 24, radius - 26, "#7d8288")
    for i in range(6):
        path = [ring_point(hub, 24, i * 60 + 14), ring_point(hub, radius - 22, i * 60)]
        board.shape(tube(path, 8), "#3a3d42")
    board.disc(hub, 22, "#43464b")
    board.disc(hub, 11, METAL, METAL_DARK)
    middle = ring_point(hub, radius - 10, caliper_at)
    body = smooth(oval(middle, 35, 17, caliper_at + 90)[::9])
    board.shape(body, "#54585e", "#2b2d31")
    for turn in (-13, 13):
        board.disc(ring_point(hub, radius - 8, caliper_at + turn), 6.5, "#83888e", "#4c5056")


def draw_front(board: Board) -> None:
    """Front wheel, mudguard, brake, fork and yokes."""
    draw_wheel(board, FRONT)
    guard = [ring_point(FRONT, 176, a) for a in range(-152, -22, 8)]
    guard += [ring_point(FRONT, 161, a) for a in range(-24, -152, -8)]
    board.shape(guard, PAINT, PAINT_DARK)
    board.shape(tube([ring_point(FRONT, 173, a) for a in range(-138, -50, 6)], 2.6), "#f2a184", alpha=0.7)
    draw_brake(board, FRONT, 84, -12)
    board.rod([fork_point(190), fork_point(352)], 21, "#b9bec4", "#ffffff")
    board.shape([(474, 520), (512, 470), (528, 478), (494, 532)], DARK)
    board.rod([fork_point(2), fork_point(196)], 29, "#3a3d43", "#8a9098")
    board.rod([fork_point(186), fork_point(202)], 34, DARK, "#63676d")
    board.disc(fork_point(0), 15, METAL, METAL_DARK)
    board.disc(fork_point(0), 7, "#4e5257")
    for along, width in ((282, 44), (352, 46)):
        x, y = fork_point(along)
        board.shape(tube([(x - 24, y - 9), (x + 30, y + 14)], width * 0.42), "#3b3e43", "#202225")


def draw_frame(board: Board) -> None:
    """Frame tubes, subframe, swingarm and radiator."""
    board.rod([(612, 372), (646, 452), (684, 640), (742, 712)], 17, "#3a3d42", "#6f747b")
    board.rod([(742, 712), (820, 722), (892, 700)], 15, "#303338")
    board.rod([(846, 392), (898, 500), (904, 610), (886, 704)], 19, "#3a3d42", "#6f747b")
    board.rod([(630, 392), (740, 424), (860, 420)], 16, "#33363b")
    board.rod([(900, 520), (1000, 420), (1120, 372)], 12, "#33363b", "#63676d")
    arm: list[Point] = [(884, 596), (930, 590), (1080, 612), (1176, 620), (1188, 636), (1176, 652),
                        (1060, 646), (930, 636), (888, 634)]
    board.blob(arm, "#595d63", "#33363a")
    board.disc((900, 614), 17, METAL, METAL_DARK)
    board.shape([(636, 436), (656, 430), (690, 566), (668, 572)], "#2b2d31", "#1a1b1d")
    board.shape([(632, 438), (639, 436), (671, 572), (664, 574)], METAL_DARK, "#4a4e54")


def draw_engine(board: Board) -> None:
    """A parallel twin: finned cylinders, head, crankcase and the cover on this side."""
    board.blob([(806, 446), (862, 440), (876, 470), (850, 500), (806, 492)], "#34373b", "#202224")
    board.shape(smooth([(690, 438), (798, 426), (826, 536), (708, 550)], tension=0.12), "#6b7077", "#43474c")
    for i in range(7):
        y = 446 + i * 14
        board.line([(688 + i * 3.2, y), (806 + i * 3.6, y - 12)], 4.6, "#94999f")
        board.line([(688 + i * 3.2, y + 4), (806 + i * 3.6, y - 8)], 2.4, "#2f3236")
    head: list[Point] = [(678, 410), (700, 394), (782, 386), (800, 400), (802, 430), (684, 444)]
    board.shape(smooth(head, tension=0.3), "#a7acb2", "#666b71")
    for x in (704, 740, 776):
        board.disc((x, 418 - (x - 704) * 0.1), 5, "#50545a")
    case: list[Point] = [(694, 566), (720, 540), (830, 528), (900, 536), (930, 566), (934, 632), (900, 682),
                         (840, 704), (740, 704), (700, 670)]
    board.blob(case, "#8b9096", "#4c5056")
    board.blob([(712, 676), (838, 690), (826, 726), (728, 722)], "#4a4e53", "#2e3034")
    board.line([(708, 560), (918, 552)], 3, "#5b6066")


def draw_cover(board: Board, right: bool) -> None:
    """The round engine casing of this side, with its screws."""
    centre: Point = (806, 616) if right else (778, 620)
    radius = 72 if right else 62
    board.disc(centre, radius + 7, "#4d5157", "#33363a")
    board.disc(centre, radius, "#b4b9be", "#71767c")
    board.ring(centre, radius - 16, radius - 19, "#868b91")
    board.shape(oval((centre[0] - 14, centre[1] - 26), 30, 12, -24), "#ffffff", alpha=0.3, blur=4)
    for i in range(8):
        board.disc(ring_point(centre, radius - 7, i * 45 + 20), 4, "#3f4348")
    if not right:
        board.blob([(852, 566), (900, 560), (926, 592), (918, 640), (876, 654), (848, 620)], "#6a6f75",
                   "#3f4347")
        board.disc((870, 584), 4, "#33363a")
        board.disc((890, 636), 4, "#33363a")


def draw_rear(board: Board) -> None:
    """Shock absorber, tail, rack, number plate hanger and lights."""
    board.rod([(1036, 404), (1082, 596)], 9, "#c3c7cc")
    for i in range(11):
        x, y = 1040 + i * 3.6, 424 + i * 15
        board.rod([(x - 15, y + 5), (x + 15, y - 2)], 7, "#e0b43a", "#fbe9a6")
    board.rod([(1034, 396), (1042, 424)], 20, DARK, "#5c6066")
    board.rod([(1074, 566), (1084, 600)], 18, DARK, "#5c6066")
    board.rod([(1128, 372), (1188, 420), (1222, 486)], 12, "#2b2d31")
    board.shape([(1204, 424), (1212, 420), (1246, 508), (1238, 512)], "#e9c93a")
    board.rod([(1168, 404), (1194, 398)], 6, DARK)
    board.blob([(1186, 390), (1204, 390), (1208, 402), (1194, 410), (1184, 402)], "#f0952a", "#c96a12")
    tail: list[Point] = [(950, 404), (1010, 376), (1110, 336), (1164, 326), (1174, 340), (1150, 366),
                         (1070, 396), (990, 420)]
    board.blob(tail, PAINT, PAINT_DARK)
    board.blob([(1146, 334), (1172, 328), (1178, 344), (1156, 358)], "#e5262c", "#8d0d14")
    board.rod([(1050, 322), (1080, 300), (1190, 286), (1206, 294)], 9, DARK, "#6b7076")
    board.rod([(1110, 330), (1120, 298)], 8, DARK)
    board.rod([(1158, 328), (1172, 290)], 8, DARK)


def draw_body(board: Board) -> None:
    """Side panel, seats and tank."""
    panel: list[Point] = [(868, 416), (930, 408), (1000, 404), (1008, 424), (952, 500), (908, 512),
                          (886, 470)]
    board.shape(smooth(panel, tension=0.28), PAINT, PAINT_DARK)
    board.shape(tube([(884, 424), (992, 414)], 3), "#f2a184", alpha=0.7)
    seat: list[Point] = [(836, 384), (866, 372), (920, 374), (976, 358), (1012, 336), (1080, 318),
                         (1124, 318),
                         (1130, 336), (1070, 362), (1000, 392), (930, 408), (862, 408)]
    board.blob(seat, "#3b3432", "#1d1a19")
    board.shape(tube(smooth([(850, 398), (930, 396), (1010, 374), (1118, 334)], False), 2.2), "#8a7b72")
    outline = smooth(TANK)
    board.shape(outline, PAINT, PAINT_DARK)
    stripe = smooth([(596, 372), (700, 356), (800, 356), (862, 380), (862, 390), (800, 372), (700, 374),
                     (596, 394)])
    board.shape(stripe, CREAM, "#d8c6a4", clip=outline)
    board.shape(oval((705, 304), 88, 13, -3), "#ffffff", alpha=0.34, blur=6, clip=outline)
    board.shape(oval((740, 408), 120, 14), "#4d1206", alpha=0.45, blur=8, clip=outline)
    board.rod([(738, 276), (768, 282)], 12, METAL_DARK, "#eef0f2")
    for dx in (0.0, 0.6, 1.2):
        board.mark_text("COLDBROOK", (738 + dx, 334), 18, CREAM)


def draw_top(board: Board) -> None:
    """Headlight, screen, clocks, bars, lever and mirror."""
    board.shape(smooth([(500, 312), (520, 262), (566, 206), (584, 212), (572, 270), (552, 318)], tension=0.3),
                "#4a555c", "#8a979d", alpha=0.72)
    board.rod([(566, 300), (596, 290)], 26, DARK, "#54585e")
    bowl: list[Point] = [(494, 306), (530, 308), (560, 332), (566, 362), (544, 392), (494, 402)]
    board.shape(smooth(bowl, tension=0.3), "#33363b", "#1b1c1f")
    board.shape(oval((494, 354), 13, 48), METAL, METAL_DARK)
    board.shape(oval((490, 354), 9, 42), "#eaf4f8", "#a9c3cf")
    board.rod([(548, 408), (528, 412)], 6, DARK)
    board.blob([(514, 402), (532, 402), (536, 416), (522, 424), (510, 414)], "#f0952a", "#c96a12")
    board.rod([(592, 320), (612, 276), (648, 262), (690, 268)], 12, DARK, "#6b7076")
    board.rod([(650, 262), (706, 272)], 22, RUBBER, "#4a4d52")
    board.disc((710, 273), 12, METAL, METAL_DARK)
    board.rod([(640, 276), (660, 296), (704, 304)], 8, METAL_DARK, "#e6e8ea")
    board.rod([(634, 262), (616, 222), (628, 184)], 7, DARK, "#6b7076")
    board.blob([(604, 170), (634, 160), (664, 172), (660, 192), (630, 200), (604, 190)], "#303338", "#1b1c1f")


def draw_controls(board: Board, right: bool) -> None:
    """Footrest and foot lever; on the left also the side stand."""
    if not right:
        board.rod([(858, 706), (900, 760), (936, 800)], 12, "#303338", "#6b7076")
        board.rod([(926, 800), (958, 800)], 9, DARK)
    board.blob([(892, 618), (922, 612), (934, 660), (910, 690), (896, 660)], METAL_DARK, "#4c5056")
    board.rod([(912, 684), (852, 692), (812, 680)], 10, METAL_DARK, "#eef0f2")
    board.rod([(798, 679), (824, 679)], 16, RUBBER, "#4a4d52")
    board.rod([(894, 670), (940, 672)], 17, RUBBER, "#4a4d52")
    board.disc((942, 672), 8, METAL, METAL_DARK)
    board.rod([(1000, 560), (1044, 562)], 13, RUBBER, "#4a4d52")
    board.rod([(944, 494), (984, 530), (1004, 556)], 10, "#3a3d42", "#6f747b")
