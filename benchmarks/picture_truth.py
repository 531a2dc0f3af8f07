"""How well poor views are found, their reasons named and stills chosen, on films with known faults."""

import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from pictures.filming import Fault, plan_faults, write_film

from walkround.pictures import looking
from walkround.pictures.choose import Want, choose
from walkround.pictures.looking import look
from walkround.pictures.poor import main_reason, poor_stretches, reasons, usual_sharpness

STEP = 0.5  #: seconds of the grid on which found and true stretches are compared


@dataclass
class Truth:
    """Counts over all films."""

    found: int = 0
    missed: int = 0
    false: int = 0
    named: list[tuple[str, str | None]] = field(default_factory=list)
    stills: list[bool] = field(default_factory=list)
    shown: list[tuple[bool, bool]] = field(default_factory=list)

    def recall(self) -> float:
        return self.found / max(1, self.found + self.missed)

    def precision(self) -> float:
        return self.found / max(1, self.found + self.false)


def rows(seed: int, seconds: float, faults: list[Fault]) -> list[Want]:
    """Words of 1 to 3 s, spread over the film without regard to the faults, and some in the midst of long faults."""
    rng = np.random.default_rng(seed + 100)
    spans = [(s, s + rng.uniform(1, 3)) for s in np.sort(rng.uniform(1, seconds - 4, 18))]
    spans += [(f.start + 0.7, f.end - 1.2) for f in faults if f.end - f.start > 2.4]
    return [Want(f"f{n}", 0, float(a), float(b), "part") for n, (a, b) in enumerate(spans)]


def is_poor(faults: list[Fault], at: float) -> bool:
    return any(f.start <= at < f.end for f in faults)


def judge(truth: Truth, path: Path, faults: list[Fault], wants: list[Want], seconds: float) -> None:
    """Add what is right and wrong about one film. A step of the grid counts where it is wholly one or the other."""
    seen = look(path, wants)
    poor = poor_stretches(seen.views, seen.picture_end, seconds)
    for at in np.arange(0, seconds - STEP + 1e-6, STEP):
        edges = (at, at + STEP / 2, at + STEP - 1e-6)
        true = [is_poor(faults, e) for e in edges]
        if all(true) != any(true):
            continue
        told = sum(max(0.0, min(p.end, at + STEP) - max(p.start, at)) for p in poor) > STEP / 2
        truth.found += all(true) and told
        truth.missed += all(true) and not told
        truth.false += told and not any(true)
    truth.named += [(f.kind, main_reason(f.start, f.end, poor)) for f in faults]
    why = reasons(seen.views, usual_sharpness(seen.views))
    for want in wants:
        choice = choose(want, seen.views, why, poor, wants)
        begin, end = want.window()
        if any(not is_poor(faults, t) for t in np.arange(begin, min(end, seconds), 0.1)):
            truth.stills.append(bool(choice.views) and not is_poor(faults, choice.views[0].time))
        words = [is_poor(faults, t) for t in np.arange(want.start - 0.5, want.end + 1.0, 0.04)]
        if all(words) or sum(not w for w in words) > 25:
            truth.shown.append((all(words), choice.not_shown is not None))


def main() -> None:
    films, seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 6, 60.0
    if "--sparse" in sys.argv:  # as on a long film: close looks only where needed
        looking.BUDGET_PIXELS = 0.0
    truth = Truth()
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(films):
            faults = plan_faults(seed, seconds)
            path = write_film(Path(folder) / f"{seed}.mp4", seconds, faults, seed=seed, key=25 if seed % 2 else 60)
            judge(truth, path, faults, rows(seed, seconds, faults), seconds)
    right = sum(a == b for a, b in truth.named)
    print(f"poor views at {STEP} s: precision {truth.precision():.3f}, recall {truth.recall():.3f}")
    print(f"reason named right: {right} of {len(truth.named)} = {right / len(truth.named):.3f}")
    print(f"still in a good stretch: {sum(truth.stills)} of {len(truth.stills)} = {np.mean(truth.stills):.3f}")
    agree = sum(a == b for a, b in truth.shown)
    print(f"not clearly shown, told rightly: {agree} of {len(truth.shown)}")
    wrong = Counter((a, b) for a, b in truth.named if a != b)
    if wrong:
        print("wrong reasons:", dict(wrong))


if __name__ == "__main__":
    main()
