"""The drawing of the marks, the walk over time and the strip of poor views: places, overlaps, what the page says."""

import itertools
import math
import re

import pytest
from page_sample import PLACES, page, sample

from walkround.narration.lexicon import load_lexicon
from walkround.report.diagram import HEIGHT, RADIUS, WIDTH, Dot, diagram
from walkround.report.page import Line
from walkround.report.record import Finding, PoorView, Report
from walkround.report.timeline import timelines


def line(rank: int, part: str | None, side: str | None = None, start: float = 1.0) -> Line:
    row = Finding(
        id=f"f{rank}", part=part, side=side, defect="scratch", severity="minor", confidence=1, quote="q", start=start,
        end=start + 1,
    )  # type: ignore[arg-type]  # fmt: skip
    return Line(row, f"finding-{rank}", None, rank)


def apart(dots: list[Dot]) -> float:
    return min((math.hypot(a.x - b.x, a.y - b.y) for a, b in itertools.combinations(dots, 2)), default=math.inf)


def test_every_part_of_the_bike_has_its_place_and_no_other_name_is_listed() -> None:
    parts = load_lexicon().parts
    assert set(PLACES) <= set(parts)
    placeless = {part.id for part in parts.values() if part.id not in PLACES}
    assert {parts[p].group for p in placeless} <= {"paperwork"}
    for place in PLACES.values():
        assert set(place) <= {"at", "view"}
        assert 0 < place["at"][0] < WIDTH
        assert 0 < place["at"][1] < HEIGHT
        assert place.get("view") in (None, "left", "right")
    assert not any(parts[p].sided for p, place in PLACES.items() if "view" in place)


def test_a_side_that_was_said_picks_the_view_and_mirrors_the_place() -> None:
    made = diagram([line(1, "mirror", "left"), line(2, "mirror", "right"), line(3, "mirror", "both")], PLACES)
    assert [d.line.rank for d in made.left] == [1, 3]
    assert [d.line.rank for d in made.right] == [2, 3]
    x, y = PLACES["mirror"]["at"]
    assert (made.left[0].to_x, made.left[0].to_y) == (WIDTH - x, y)
    assert (made.right[0].to_x, made.right[0].to_y) == (x, y)


def test_parts_seen_from_one_side_are_there_only_and_others_on_both() -> None:
    made = diagram([line(1, "chain"), line(2, "fuel-tank"), line(3, "keys"), line(4, None)], PLACES)
    assert [d.line.rank for d in made.left] == [1, 2]
    assert [d.line.rank for d in made.right] == [2]
    assert [each.rank for each in made.elsewhere] == [3, 4]


@pytest.mark.parametrize("count", [2, 6, 30])
def test_dots_never_cover_one_another_and_stay_inside(count: int) -> None:
    for part in ("fuel-tank", "rear-tyre", "mirror", "side-stand"):
        made = diagram([line(n, part) for n in range(count)], PLACES)
        for dots in (made.left, made.right):
            assert apart(dots) >= 2 * RADIUS
            assert all(RADIUS <= d.x <= WIDTH - RADIUS and RADIUS <= d.y <= HEIGHT - RADIUS for d in dots)
            assert sum(not d.moved for d in dots) <= 1


def with_views() -> Report:
    report = sample()
    report.poor_views = [
        PoorView(start=1.0, end=2.5, reason="too dark"), PoorView(start=9.0, end=9.4, reason="blurred"),
    ]  # fmt: skip
    return report


def test_the_walk_over_time_places_marks_and_views_at_their_share_of_the_film() -> None:
    report = with_views()
    lines = [Line(f, f"finding-{n}", None, n) for n, f in enumerate(report.findings, 1)]
    (made,) = timelines(report, lines)
    duration = report.media.duration or 0
    assert [(s.bar.x, s.view.reason) for s in made.shades] == [
        (pytest.approx(100 / duration, abs=0.01), "too dark"), (pytest.approx(900 / duration, abs=0.01), "blurred"),
    ]  # fmt: skip
    marks = [mark for lane in made.lanes for mark in lane.marks]
    known = {check.part for check in report.checklist}
    assert sorted(m.line.rank for m in marks) == [each.rank for each in lines if each.row.part in known]
    for mark in marks:
        assert abs(mark.x - 100 * mark.line.row.start / duration) <= 4.3  # kept inside at the ends
    for a, b in itertools.combinations(marks, 2):
        assert abs(a.x - b.x) >= 8.4 or abs(a.y - b.y) >= 24, "24 CSS pixels apart on a phone"


def test_ticks_are_round_times_and_few() -> None:
    for duration in (4.0, 61.0, 157.9, 599.0, 1200.0, 7300.0):
        report = sample()
        report.media.duration = duration
        (made,) = timelines(report, [])
        assert 1 <= len(made.ticks) <= 8
        assert all(time < duration and time == int(time) for _, time in made.ticks)


def test_the_page_says_in_words_what_the_drawings_show() -> None:
    html = page(with_views())
    assert "2 stretches in which little can be seen, and why" in html
    assert "Too dark, 1.5 s" in html
    for svg in re.findall(r"<svg.*?</svg>", html, re.S):
        for mark in re.findall(r'<a [^>]*class="[^"]*pin[^>]*>', svg):
            assert re.search(r'aria-label="Mark \d+, ', mark)
            assert "href=" in mark
    assert "style=" not in html, "the page's policy admits no style in attributes"
