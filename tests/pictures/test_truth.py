"""Poor views, their reasons, and the choice of stills, on films whose faults are known."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "benchmarks"))

from picture_truth import Truth, judge, rows
from pictures.filming import Fault, plan_faults, write_film

from walkround.pictures.choose import Want, choose
from walkround.pictures.looking import look
from walkround.pictures.poor import poor_stretches, reasons, usual_sharpness

SECONDS = 36.0
SIZE = (480, 270)


@pytest.fixture(scope="module")
def truth(tmp_path_factory: pytest.TempPathFactory) -> Truth:
    folder, truth = tmp_path_factory.mktemp("films"), Truth()
    for seed in (11, 12):
        faults = plan_faults(seed, SECONDS)
        path = write_film(folder / f"{seed}.mp4", SECONDS, faults, size=SIZE, rate=20, key=20 if seed % 2 else 45)
        for again in range(3):  # other words on the same film
            judge(truth, path, faults, rows(seed + 50 * again, SECONDS, faults), SECONDS)
    return truth


def test_poor_views_are_found(truth: Truth) -> None:
    assert truth.found > 80
    assert truth.precision() >= 0.95
    assert truth.recall() >= 0.95


def test_the_reason_is_the_right_one(truth: Truth) -> None:
    assert {kind for kind, _ in truth.named} == {"black", "too dark", "covered", "blurred", "moving too fast", "frozen"}
    assert np.mean([a == b for a, b in truth.named]) >= 0.95


def test_stills_lie_in_good_stretches(truth: Truth) -> None:
    assert len(truth.stills) >= 100
    assert np.mean(truth.stills) >= 0.98, np.mean(truth.stills)


def test_what_was_not_clearly_shown_is_told(truth: Truth) -> None:
    assert {shown for shown, _ in truth.shown} == {True, False}
    assert np.mean([a == b for a, b in truth.shown]) >= 0.98


def choice(path: Path, want: Want, seconds: float) -> tuple[float, str | None]:
    seen = look(path, [want])
    poor = poor_stretches(seen.views, seen.picture_end, seconds)
    made = choose(want, seen.views, reasons(seen.views, usual_sharpness(seen.views)), poor, [want])
    return made.views[0].time, made.not_shown


def test_a_late_camera_is_waited_for_and_an_early_one_remembered(tmp_path: Path) -> None:
    """The words lie in a bad stretch; the good view is after it, or before it."""
    film = write_film(tmp_path / "late.mp4", 12, [Fault(0, 5.5, "moving too fast")], size=SIZE, rate=20)
    still, not_shown = choice(film, Want("f1", 0, 3.5, 5.4, "mirror"), 12)
    assert 5.5 <= still <= 8.5
    assert not_shown is None, "within a second of the words it was shown"
    film = write_film(tmp_path / "early.mp4", 12, [Fault(4.5, 12, "covered")], size=SIZE, rate=20)
    still, not_shown = choice(film, Want("f1", 0, 5.6, 7.0, "mirror"), 12)
    assert 3.0 <= still < 4.5
    assert not_shown == "the lens looked covered"


def test_the_end_of_the_picture_is_no_picture(tmp_path: Path) -> None:
    film = write_film(tmp_path / "short.mp4", 4, size=SIZE, rate=20)
    seen = look(film, [])
    (poor,) = poor_stretches(seen.views, seen.picture_end, duration=9.0)
    assert (poor.start, poor.end, poor.reason) == (pytest.approx(4.0, abs=0.06), 9.0, "no picture")
