"""Chapters: where they begin against places marked by hand, what their titles say, and that no time is moved."""

import random
import sys
from itertools import pairwise
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

from boundaries import PLACES, annotated, narrations, pooled, proposed, timed  # noqa: E402

from walkround.narration.lexicon import load_lexicon  # noqa: E402
from walkround.narration.model import DefectRow, Move, Reading, Row  # noqa: E402
from walkround.narration.reader import Reader  # noqa: E402
from walkround.outputs.description import FEWEST, chapter_list, faults_of_list  # noqa: E402
from walkround.outputs.films import films_of  # noqa: E402
from walkround.report import chapters  # noqa: E402
from walkround.report.build import build_report  # noqa: E402
from walkround.report.chapters import SHORTEST, Costs, Weights, best_cut  # noqa: E402
from walkround.report.heard import Film, Heard, transcript_row  # noqa: E402
from walkround.report.places import places_of, statements, usual_silence  # noqa: E402
from walkround.report.record import Media, Report  # noqa: E402
from walkround.report.titles import LONGEST, Titles  # noqa: E402
from walkround.speech.spread import spread_segment  # noqa: E402
from walkround.speech.transcript import Transcript  # noqa: E402


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_lexicon())


@pytest.fixture(scope="module")
def gold(reader: Reader) -> dict[str, list[tuple[str, Report]]]:
    """The records of the marked narrations, by set."""
    made: dict[str, list[tuple[str, Report]]] = {}
    for name in PLACES:
        for folder in narrations(name):
            report = proposed(reader, folder).report
            assert report is not None
            made.setdefault(name, []).append((folder.name, report))
    return made


def score(gold: dict[str, list[tuple[str, Report]]], name: str) -> float:
    rows = []
    for folder, (_, report) in zip(narrations(name), gold[name], strict=True):
        rows.append(([c.start for c in report.chapters][1:], annotated(name, folder)))
    return pooled(rows)[3]


def test_boundaries_are_where_the_narrators_go_elsewhere(gold: dict[str, list[tuple[str, Report]]]) -> None:
    """F1 at 5 s. The floor of gold is the project's own; the weights were tuned on gold, where 0.93 was measured.
    gold_open and gold_dev were looked at only after tuning: 0.78 and 0.79 were measured there, and the floors
    stand under that."""
    assert score(gold, "gold") >= 0.85
    assert score(gold, "gold_open") >= 0.72
    assert score(gold, "gold_dev") >= 0.72


def test_the_measure_counts_each_boundary_once() -> None:
    assert pooled([([10.0, 12.0], [11.0])])[:3] == (1, 2, 1)
    assert pooled([([10.0], [15.1])])[3] == 0.0
    assert pooled([([10.0, 50.0], [14.9, 51.0])])[3] == 1.0


def test_a_chapter_begins_with_a_statement_and_its_time_is_not_moved(gold: dict[str, list[tuple[str, Report]]]) -> None:
    for name, rows in gold.items():
        for folder, report in rows:
            starts = {word.start for s in report.transcript.segments for word in s.words} | {0.0}
            assert {c.start for c in report.chapters} <= starts, (name, folder)
            assert report.chapters[0].start == 0


def test_titles_are_short_and_never_say_less_than_was_disclosed(gold: dict[str, list[tuple[str, Report]]]) -> None:
    """A chapter with a fault names each kind of fault in it, or counts them all."""
    checked = 0
    for rows in gold.values():
        for folder, report in rows:
            ends = [*(c.start for c in report.chapters[1:]), float("inf")]
            for chapter, end in zip(report.chapters, ends, strict=True):
                assert len(chapter.title) < 60, chapter.title
                faults = Titles(report).faults(0, chapter.start, end)
                place, _, said = chapter.title.partition(": ")
                if not faults:
                    assert not said, (folder, chapter.title)
                    continue
                checked += 1
                counted = "mark or fault" in said or "marks or faults" in said or "serious fault" in said
                assert counted or all(report.names.defect(f.defect) in said for f in faults), (folder, chapter.title)
                assert place
            assert sum(
                len(Titles(report).faults(0, c.start, e)) for c, e in zip(report.chapters, ends, strict=True)
            ) == (len(report.findings) + len(report.unplaced))
    assert checked > 60


def test_the_words_that_name_a_place_give_the_chapter_its_name(gold: dict[str, list[tuple[str, Report]]]) -> None:
    report = dict(gold["gold"])["brindle-tern-650"]
    places = [chapter.group for chapter in report.chapters]
    assert places[:7] == [
        "greeting", "front", "controls", "tank-and-seat", "left-side", "rear", "right-side",
    ]  # fmt: skip
    assert report.chapters[0].title == "The bike, 2021, 8,412 miles"


def test_the_best_cut_is_the_best(reader: Reader) -> None:
    """Against every possible cut of short talks, tried one by one."""
    rng = random.Random(7)
    places = places_of(reader.lexicon)
    weights = Weights()
    for _ in range(25):
        report, reading = recording(reader, rng, rng.uniform(40, 75))
        talk = statements(reader.lexicon, reading, report.transcript, 0)[:9]
        end = talk[-1].start + 12
        inside = chapters._inside(talk, places, weights)
        cuts = chapters._cut_costs(talk, places, weights)
        found = chapters._least(talk, inside, cuts, end)

        tried = float("inf")
        seconds = [0, *(int(s.start) for s in talk[1:]), int(end)]
        for mask in range(2 ** (len(talk) - 1)):
            bounds = [0, *(n + 1 for n in range(len(talk) - 1) if mask >> n & 1), len(talk)]
            if all(seconds[b] - seconds[a] >= SHORTEST for a, b in pairwise(bounds)):
                costs = [cost_of(inside, cuts, a, b) for a, b in pairwise(bounds)]
                tried = min(tried, sum(min(row[1 if a else 0 :]) for row, a in zip(costs, bounds, strict=False)))
        stops = [*(n for n, _ in found[1:]), len(talk)]
        made = sum(cost_of(inside, cuts, n, stop)[label] for (n, label), stop in zip(found, stops, strict=True))
        assert made == pytest.approx(tried)


def cost_of(inside: Costs, cuts: Costs, a: int, b: int) -> list[float]:
    """What a chapter of the statements ``a`` up to ``b`` costs, about each place."""
    return [float(x) for x in inside[a:b].sum(axis=0) + (cuts[a] if a else 0.0)]


def recording(reader: Reader, rng: random.Random, duration: float) -> tuple[Report, Reading]:
    """A record of an invented recording: statements of 0.5 to 14 s with pauses, about parts that change."""
    parts = list(reader.lexicon.parts)
    lines, rows, moves, faults = [], [], [], []
    now, part = rng.choice([0.0, rng.uniform(0, min(20, duration / 2))]), rng.choice(parts)
    while now < duration - 0.6:
        end = min(duration, now + rng.uniform(0.5, 14.0))
        if rng.random() < 0.25:
            part = rng.choice(parts)
        text = " ".join(["word"] * rng.randint(1, 4)) + "."
        lines.append((now, end, text))
        if rng.random() < 0.8:
            rows.append(Row(text, now, end, part, rng.choice([None, "left", "right"])))
        if rng.random() < 0.1:
            moves.append(Move(now, rng.choice(["front", "rear", "left", "right"])))
        if rng.random() < 0.15:
            faults.append(
                DefectRow(text, now, end, part, defect=rng.choice(list(reader.lexicon.defects)),
                          severity=rng.choice(["minor", "moderate", "serious"]), tentative=rng.random() < 0.2)
            )  # fmt: skip
        now = end + rng.choice([0.0, 0.3, 0.5, 3.0, rng.uniform(0, 45)])
    reading = Reading(named=rows, moves=moves, findings=faults)
    talk = Transcript(tuple(spread_segment(text, a, b) for a, b, text in lines), "recognised", "a test")
    film = Film(media=Media(file="walk.mp4", duration=duration), path=None, transcript=transcript_row(talk))
    return build_report(reader.lexicon, Heard(films=[film]), reading, []), reading


def test_the_rules_of_the_list_hold_for_a_thousand_recordings(reader: Reader) -> None:
    """From 5 s to 3 h; by the rules that large hosts publish (see faults_of_list). No time is invented."""
    rng = random.Random(20260514)
    listed = 0
    for _ in range(1000):
        duration = 5.0 * (2160.0 ** (rng.random() ** 1.6))
        report, _ = recording(reader, rng, duration)
        (film,) = films_of(report)
        text = chapter_list(report, film)
        starts = {0} | {int(s.start) for s in report.transcript.segments}
        for line in text.splitlines():
            time, _, title = line.partition(" ")
            parts = [int(x) for x in time.split(":")]
            assert sum(p * 60**n for n, p in enumerate(reversed(parts))) in starts
            assert len(title) <= LONGEST
        if text:
            listed += 1
            assert faults_of_list(text, duration) == [], (duration, text)
        else:
            assert len(report.chapters) < FEWEST
    assert listed > 400  # the others are too short for three chapters, or stay at one place


def test_a_long_talk_has_chapters_in_a_moment(reader: Reader) -> None:
    """Three hours: linear in the length of the talk, so no surprise at the desk."""
    import time

    report, reading = recording(reader, random.Random(3), 10_800)
    talk = statements(reader.lexicon, reading, report.transcript, 0)
    began = time.perf_counter()
    found = best_cut(talk, places_of(reader.lexicon), 10_800, Weights())
    assert time.perf_counter() - began < 3.0
    assert len(found) > 50


def test_the_usual_silence_of_a_narrator_is_never_nought(reader: Reader) -> None:
    folder = narrations("gold")[0]
    talk = statements(reader.lexicon, Reading(), transcript_row(timed(folder)), 0)
    assert usual_silence(talk) == pytest.approx(0.5, abs=0.05)
    assert usual_silence(talk[:1]) > 0
