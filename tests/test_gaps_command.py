"""The commands gaps, add and plan: what they print, how they end, what they keep, and what they refuse."""

import json
import os
import shutil
import subprocess
import sys
from functools import cache
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from media.making import RATE, make_media_file, steady, tone

from walkround import adding, pipeline
from walkround.cli import main
from walkround.media.probe import probe
from walkround.media.sound import read_sound
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.reader import Reader
from walkround.report.heard import read_heard
from walkround.report.record import Report, read_report

DEMO = Path(__file__).resolve().parents[1] / "demo_media"
SENTENCES = json.loads((DEMO / "sentences.json").read_text(encoding="utf-8"))["sentences"]
IDS = [s["id"] for s in SENTENCES]
#: The paragraphs of the demo's script: first and last sentence, and the items of the checklist that each speaks of.
PARAGRAPHS = {
    "facts": ("year", "year", {"mileage", "age", "owners"}),
    "front": (
        "headlight", "front-tyre",
        {"headlight", "windscreen", "front-mudguard", "radiator", "front-brake-disc", "front-brake-pads", "front-tyre"},
    ),
    "left": (
        "left-side", "sprockets",
        {"fork", "fuel-tank", "side-panel", "engine-casing", "gear-lever", "chain", "sprockets"},
    ),
    "rear": ("number-plate", "rack", {"number-plate", "tail-light", "rear-indicator", "rear-tyre"}),
    "right": (
        "silencer-rust", "fork-seal", {"exhaust-silencer", "rear-brake-pads", "rider-footrest", "side-panel", "fork"},
    ),
    "saddle": (
        "seat", "clocks",
        {"rider-seat", "pillion-seat", "bar-end", "clutch-lever", "brake-lever", "mirror", "instruments"},
    ),
    "papers": (
        "running", "test", {"engine-running", "lights-working", "keys", "service-history", "test-certificate"},
    ),
}  # fmt: skip
COMPLETE = """\
[0:00] It's a 2019 on a 19 plate with 8,000 miles on it. The steering head turns freely. The front wheel is perfect.
[0:15] The front tyre has four millimetres of tread, date code twenty three twenty two.
[0:25] The front brake pads have four mil left. Both fork legs are perfect. Both fork seals are dry.
[0:40] Both front discs are good. Both engine casings are unmarked. The silencer is unmarked. The frame is spotless.
[1:00] The chain is fine. The sprockets are good. The rear shock is dry. The rear wheel is perfect.
[1:20] The rear tyre has five mil of tread, date code twenty three twenty two. The rear disc is good.
[1:40] The rear brake pads have three mil left. The brake lever is straight. The fuel tank is spotless.
[1:50] The rider's seat is perfect. It starts first time, no rattles. All the lights work. The brakes work well.
[2:05] Two keys. Full service history. The MOT is until June. The V5 is here.
"""


@cache
def cached_reader(sha256: str) -> Reader:
    return Reader(load_lexicon())


@pytest.fixture(autouse=True)
def one_reader(monkeypatch: pytest.MonkeyPatch) -> None:
    """The lexicon is compiled once for all these runs of the command line."""
    plain = load_lexicon().sha256

    def reader(lexicon: Lexicon) -> Reader:
        return cached_reader(plain) if lexicon.sha256 == plain else Reader(lexicon)

    monkeypatch.setattr(pipeline, "Reader", reader)
    monkeypatch.setattr(adding, "Reader", reader)


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(a) for a in arguments])


def refused(*arguments: object) -> str:
    """The one sentence of a refusal."""
    result = run(*arguments)
    assert result.exit_code == 2, (result.output, result.exception)
    last = result.stderr.splitlines()[-1]
    assert last.startswith("walkround: ")
    assert last.endswith(".")
    return last


def words(path: Path, sentences: list[dict[str, object]]) -> Path:
    """Sentences as a transcript with times from 0."""
    offset = float(sentences[0]["start"]) if sentences else 0.0  # type: ignore[arg-type]
    segments = [
        {"start": s["start"] - offset, "end": s["end"] - offset, "text": s["text"]}  # type: ignore[operator]
        for s in sentences
    ]
    path.write_text(json.dumps({"segments": segments}), encoding="utf-8")
    return path


def made(out: Path, transcript: Path, *more: object) -> Path:
    result = run("report", "--transcript", transcript, "--out", out, *more)
    assert result.exit_code == 0, result.output
    return out


def of(folder: Path) -> Report:
    return read_report(folder / "report.json")


def lines(report: Report) -> dict[tuple[str, str | None, tuple[str, ...]], tuple[str, ...]]:
    return {(gap.item, gap.side, tuple(gap.parts)): tuple(gap.lacks) for gap in report.gaps}


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    path = tmp_path / "talk.txt"
    path.write_text(
        "[0:00] This is a 2019 on a 19 plate with 8,000 miles on it.\n[0:04] The left mirror is scratched.\n"
    )
    return path


@pytest.fixture
def clip(tmp_path: Path) -> Path:
    path = tmp_path / "clip.txt"
    path.write_text("[0:00] The right mirror is perfect. Here are the two keys.\n")
    return path


@pytest.fixture
def folder(tmp_path: Path, talk: Path) -> Path:
    return made(tmp_path / "bike", talk)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Report:
    base = tmp_path_factory.mktemp("whole")
    return of(made(base / "out", words(base / "all.json", SENTENCES)))


# A paragraph cut out of the demo, then filmed as a second clip


@pytest.mark.parametrize("name", PARAGRAPHS)
def test_a_paragraph_cut_out_is_missed_and_as_a_second_clip_it_closes_the_gap(
    name: str, whole: Report, tmp_path: Path
) -> None:
    first, last, items = PARAGRAPHS[name]
    start, end = IDS.index(first), IDS.index(last) + 1
    out = made(tmp_path / "bike", words(tmp_path / "cut.json", SENTENCES[:start] + SENTENCES[end:]))
    cut, full = lines(of(out)), lines(whole)
    assert {key[0] for key, _ in cut.items() ^ full.items()} == items
    result = run("add", "--transcript", words(tmp_path / "clip.json", SENTENCES[start:end]), "--json", out)
    assert result.exit_code == 0, result.output
    assert lines(of(out)) == full
    assert {gap["item"] for gap in json.loads(result.stdout)["gaps"]} == {key[0] for key in full}


def test_the_same_with_real_speech(tmp_path: Path) -> None:
    """The rear of the demo bike cut out of the film's sound, then added as a clip: heard by the small model."""
    film = next(DEMO.glob("*.mp4"))
    sound = read_sound(probe(film))
    first, last, items = PARAGRAPHS["rear"]
    start = SENTENCES[IDS.index(first)]["start"] - 0.3
    end = SENTENCES[IDS.index(last)]["end"] + 0.3
    at = [round(t * 16_000) for t in (start, end)]
    rest = np.concatenate([sound[: at[0]], sound[at[1] :]])
    for name, samples in (("cut", rest), ("clip", sound[at[0] : at[1]])):
        make_media_file(
            tmp_path / f"{name}.mp4", pictures=steady(1, 5), sound=[(0.0, np.repeat(samples, RATE // 16_000))]
        )
    out = tmp_path / "bike"
    result = run("gaps", tmp_path / "cut.mp4", "--fast", "--out", out, "--json")
    assert result.exit_code == 1, result.output
    skipped = {gap["item"] for gap in json.loads(result.stdout)["gaps"] if gap["lacks"] == ["mention"]}
    assert items <= skipped
    result = run("add", tmp_path / "clip.mp4", out, "--model", "tiny.en", "--json")
    assert result.exit_code == 0, result.output
    closed = skipped - {gap["item"] for gap in json.loads(result.stdout)["gaps"] if gap["lacks"] == ["mention"]}
    assert closed == items


# gaps


def test_a_complete_walk_round_ends_with_nought(tmp_path: Path) -> None:
    (tmp_path / "talk.txt").write_text(COMPLETE)
    out = made(tmp_path / "bike", tmp_path / "talk.txt")
    result = run("gaps", out)
    assert result.exit_code == 0, result.output
    assert "Nothing essential is missing." in result.stdout


def test_something_essential_missing_ends_with_one_and_says_what_to_say(folder: Path) -> None:
    result = run("gaps", folder)
    assert result.exit_code == 1
    assert "to film again before the bike goes" in result.stdout
    assert "- Frame: show the headstock" in result.stdout
    assert "walkround add CLIP" in result.stdout


def test_it_fits_a_phone(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    for command in (["gaps", folder], ["plan"]):
        assert max(len(line) for line in run(*command).stdout.splitlines() if "/" not in line) <= 40


def test_json_holds_the_same(folder: Path) -> None:
    told = json.loads(run("gaps", folder, "--json").stdout)
    assert told["essential_missing"] == sum(gap.essential for gap in of(folder).gaps) > 10
    assert told["gaps"][0]["say"]


def test_a_folder_is_only_read_and_in_a_moment(folder: Path) -> None:
    before = bytes_of(folder)
    run("gaps", folder)
    assert bytes_of(folder) == before


def test_a_transcript_without_a_folder_leaves_nothing_behind(talk: Path, tmp_path: Path) -> None:
    before = {p.name for p in tmp_path.iterdir()}
    result = run("gaps", "--transcript", talk)
    assert result.exit_code == 1, result.output
    assert {p.name for p in tmp_path.iterdir()} == before


def test_kind_and_not_fitted_are_kept(folder: Path) -> None:
    run("gaps", folder, "--kind", "naked", "--not-fitted", "chain guard", "--not-fitted", "horn")
    told = json.loads(run("gaps", folder, "--json").stdout)
    assert told["kind"] == "naked"
    assert {"chain-guard", "horn", "side-fairing"} <= set(told["not_fitted"])
    run("gaps", folder, "--fitted", "horn")
    assert "horn" not in json.loads(run("gaps", folder, "--json").stdout)["not_fitted"]
    page = (folder / "report.html").read_text(encoding="utf-8")
    assert "entered by hand" in page
    assert "usually has none" in page


def test_making_the_report_again_keeps_what_was_given_and_added(folder: Path, talk: Path, clip: Path) -> None:
    run("gaps", folder, "--kind", "naked", "--not-fitted", "horn")
    run("add", "--transcript", clip, folder)
    before = of(folder)
    assert run("report", "--transcript", talk, "--out", folder).exit_code == 0
    assert of(folder) == before


def test_another_film_does_not_take_the_folder_of_one_with_things_given(folder: Path, film: Path, talk: Path) -> None:
    run("gaps", folder, "--kind", "naked")
    told = refused("report", film, "--transcript", talk, "--out", folder)
    assert "another film" in told


def test_a_checklist_of_ones_own(folder: Path, tmp_path: Path) -> None:
    ours = tmp_path / "ours.toml"
    ours.write_text("[item.toolkit]\nessential = true\n")
    run("gaps", folder, "--checklist", ours)
    assert any(gap.item == "toolkit" and gap.essential for gap in of(folder).gaps)
    ours.write_text('[item.swingarm]\nparts = ["swing-arm"]\n')
    assert "unknown part 'swing-arm'" in refused("gaps", folder, "--checklist", ours)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--kind", "hovercraft"], "no kind of bike 'hovercraft'; use one of naked"),
        (["--not-fitted", "wings"], "no part 'wings'"),
        (["--checklist", "gone.toml"], "gone.toml"),
        (["--model", "base"], "--model is for a film"),
        (["--fast", "--model", "base"], "leave out --model"),
    ],
)
def test_bad_options(folder: Path, arguments: list[str], says: str) -> None:
    before = bytes_of(folder)
    assert says in refused("gaps", folder, *arguments)
    assert bytes_of(folder) == before


def test_a_folder_that_is_no_walk_round(tmp_path: Path, clip: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert "is not the folder of a walk-round" in refused("gaps", tmp_path / "empty")
    assert "is not the folder of a walk-round" in refused("add", "--transcript", clip, tmp_path / "empty")
    assert "is a file" in refused("add", "--transcript", clip, clip)
    assert not list((tmp_path / "empty").iterdir())


def test_a_film_that_is_not_there(tmp_path: Path) -> None:
    assert "gone.mp4" in refused("gaps", tmp_path / "gone.mp4")
    assert "Nothing to read" in refused("gaps")


def test_a_record_from_before_or_lost_is_made_again(folder: Path) -> None:
    gaps = lines(of(folder))
    old = json.loads((folder / "report.json").read_text())
    old["schema_version"] = "1.0"
    del old["gaps"]
    (folder / "report.json").unlink()
    assert run("gaps", folder).exit_code == 1
    assert lines(of(folder)) == gaps
    (folder / "report.json").write_text("{")
    assert "damaged" in refused("gaps", folder)


# add


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    base = tmp_path_factory.mktemp("film")
    return make_media_file(base / "walk.mp4", pictures=steady(2), sound=[(0.0, tone(2))])


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory) -> Path:
    base = tmp_path_factory.mktemp("second")
    return make_media_file(base / "more.mp4", pictures=steady(3), sound=[(0.0, tone(3, 300.0))])


def test_the_films_stay_apart_and_the_page_plays_either(
    film: Path, second: Path, talk: Path, clip: Path, tmp_path: Path
) -> None:
    out = made(tmp_path / "bike", talk, film)
    result = run("add", second, out, "--transcript", clip)
    assert result.exit_code == 0, result.output
    report = of(out)
    assert (report.media.file, [m.file for m in report.added]) == ("walk.mp4", ["more.mp4"])
    assert [m.sha256 for m in report.added] == [sha256(second.read_bytes()).hexdigest()]
    assert [len(f.transcript.segments) for f in read_heard(out).films] == [2, 1]
    jumps = Jumps(out / "report.html").links
    assert {source for source, _ in jumps} == {0, 1}
    for source, href in jumps:
        assert (("walk.mp4", "more.mp4")[source]) in href
    assert film.is_file()
    assert second.is_file()


class Jumps(HTMLParser):
    """Film and address of each jump of a page."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.links: list[tuple[int, str]] = []
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if tag == "a" and "jump" in (named.get("class") or "").split():
            self.links.append((int(named.get("data-source") or 0), named["href"] or ""))


def test_the_same_clip_twice_is_known_by_its_hash_whatever_it_is_called(
    film: Path, second: Path, talk: Path, clip: Path, tmp_path: Path
) -> None:
    out = made(tmp_path / "bike", talk, film)
    renamed = Path(shutil.copy(film, tmp_path / "another name.mp4"))
    before = bytes_of(out)
    assert "is film 1 of this walk-round already" in refused("add", renamed, out, "--transcript", clip)
    assert bytes_of(out) == before
    assert run("add", second, out, "--transcript", clip).exit_code == 0
    assert "is film 2 of this walk-round already" in refused("add", second, out, "--transcript", clip)


def test_the_same_words_twice(folder: Path, clip: Path, talk: Path) -> None:
    assert "words of film 1" in refused("add", "--transcript", talk, folder)
    assert run("add", "--transcript", clip, folder).exit_code == 0
    assert "words of film 2" in refused("add", "--transcript", clip, folder)


@pytest.mark.parametrize("text", ["It's got 21,300 miles on it.", "It's on a 68 plate."])
def test_a_clip_of_another_bike_is_asked_about(folder: Path, tmp_path: Path, text: str) -> None:
    other = tmp_path / "other.txt"
    other.write_text(f"[0:00] {text} The right mirror is perfect.\n")
    before = bytes_of(folder)
    told = refused("add", "--transcript", other, folder)
    assert "may be of another bike" in told
    assert "--same-bike" in told
    assert bytes_of(folder) == before
    assert run("add", "--transcript", other, folder, "--same-bike").exit_code == 0
    assert any("same bike" in question.text for question in of(folder).questions)


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
@pytest.mark.parametrize(("answer", "joined"), [("y", True), ("n", False)])
def test_at_a_terminal_it_asks(folder: Path, tmp_path: Path, answer: str, joined: bool) -> None:
    import pty

    other = tmp_path / "other.txt"
    other.write_text("[0:00] It's got 21,300 miles on it. The right mirror is perfect.\n")
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "walkround", "add", "--transcript", str(other), str(folder)]
    process = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, cwd=DEMO.parent,
        env={**os.environ, "PYTHONPATH": str(DEMO.parent), "TERM": "dumb"},
    )  # fmt: skip
    os.write(ours, f"{answer}\n".encode())
    os.close(theirs)
    told = b""
    try:
        while piece := os.read(ours, 4096):
            told += piece
    except OSError:  # Linux: the other end was closed
        pass
    os.close(ours)
    assert process.wait(timeout=60) == (0 if joined else 2)
    assert b"Is it the same bike?" in told
    assert b"21300" in told
    assert len(read_heard(folder).films) == (2 if joined else 1)


def test_a_few_miles_later_it_is_the_same_bike(folder: Path, tmp_path: Path) -> None:
    later = tmp_path / "later.txt"
    later.write_text("[0:00] It's got 8,012 miles on it now. The right mirror is perfect.\n")
    assert run("add", "--transcript", later, folder).exit_code == 0


def test_what_a_person_edited_is_never_lost(folder: Path, clip: Path) -> None:
    edits = b'{"a person": "wrote this"}\n'
    (folder / "edits.jsonl").write_bytes(edits)
    assert run("add", "--transcript", clip, folder).exit_code in (0, 2)
    assert (folder / "edits.jsonl").read_bytes() == edits
    assert run("gaps", folder, "--kind", "naked").exit_code in (1, 2)
    assert (folder / "edits.jsonl").read_bytes() == edits


def test_a_record_changed_by_hand_is_not_written_over(folder: Path, clip: Path) -> None:
    page = folder / "report.html"
    page.write_text("mine")
    assert "changed by hand" in refused("add", "--transcript", clip, folder)
    assert page.read_text() == "mine"
    assert run("add", "--transcript", clip, folder, "--replace-edits").exit_code == 0
    assert (folder / "report.html.before").read_text() == "mine"


def test_nothing_to_add(folder: Path, tmp_path: Path) -> None:
    assert "Nothing to add" in refused("add", folder)
    assert "gone.mp4" in refused("add", tmp_path / "gone.mp4", folder)


# plan


def test_the_plan_has_every_item_of_the_kind_in_walking_order(tmp_path: Path) -> None:
    page = tmp_path / "plans" / "plan.html"
    result = run("plan", "--kind", "adventure", "--out", page)
    assert result.exit_code == 0, result.output
    places = [line for line in result.stdout.splitlines() if line.isupper()]
    assert places[0].startswith("BEFORE")
    assert [
        word in place for word, place in zip(("FRONT", "LEFT", "BEHIND", "RIGHT", "ABOVE"), places[1:], strict=False)
    ] == [True] * 5
    assert "* Left-hand fork leg and fork seal" in result.stdout
    assert "* Right-hand fork leg and fork seal" in result.stdout
    assert "- Left-hand hand guard:" in result.stdout
    text = page.read_text(encoding="utf-8")
    assert "Left-hand hand guard" in text
    assert "<script" not in text
    assert "http" not in text.replace("http-equiv", "")


def test_the_plan_leaves_out_what_the_kind_does_not_have() -> None:
    assert "chain" not in run("plan", "--kind", "scooter").stdout.lower().replace("chain care", "")
    assert "(if fitted)" in run("plan", "--kind", "naked").stdout
    assert "Chain:" in run("plan").stdout


def test_bad_plans(tmp_path: Path) -> None:
    assert "no kind of bike" in refused("plan", "--kind", "tricycle")
    (tmp_path / "file").write_text("")
    assert "cannot be written" in refused("plan", "--out", tmp_path / "file" / "plan.html").replace("walkround: ", "")
