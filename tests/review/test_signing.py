"""Signing off and checking: a signature is for one film, one record and one log, and `verify` says what changed."""

import hashlib
import json
import shutil
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from desk import lexicon, make_folder, reader
from media.making import make_media_file, steady, tone

from walkround.cli import main
from walkround.errors import InputError, OutputError
from walkround.outputs.printing import print_html
from walkround.pipeline import Job, Quiet, finish, make_report, rebuild
from walkround.report.heard import read_heard
from walkround.report.record import read_report
from walkround.report.store import Folder
from walkround.review.log import read_log
from walkround.review.session import Session, StaleError
from walkround.review.signing import days_asked, open_rows
from walkround.review.verify import verify
from walkround.review.view import state


@pytest.fixture(scope="module")
def signed_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with its film, settled and signed. Not to be changed."""
    base = tmp_path_factory.mktemp("signed")
    film = make_media_file(base / "walk.mp4", pictures=steady(70), sound=[(0.0, tone(70))])
    folder = make_folder(base / "out", film)
    session = Session(folder, "A. Tester", reader())
    settle(session)
    session.act("sign", {"who": "A. Tester"}, session.revision)
    session.save()
    return base


@pytest.fixture
def signed(signed_once: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may change."""
    shutil.copytree(signed_once, tmp_path / "copy")
    return tmp_path / "copy" / "out"


def settle(session: Session) -> None:
    """Settle every line that needs a person."""
    for row in [*session.report.findings, *session.report.unplaced]:
        if row.review:
            session.act("confirm", {"row": row.id}, session.revision)
    for check in session.report.checklist:
        if check.review:
            session.act("confirm", {"part": check.part, "side": check.side}, session.revision)


def checked(folder: Path) -> tuple[int, str]:
    """The exit status and the words of `walkround verify`, with the one reader of these tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys.modules["walkround.cli.review"], "check_folder", lambda path: verify(path, reader()))
        result = CliRunner().invoke(main, ["verify", str(folder)])
    return result.exit_code, result.output


def test_signing_waits_for_the_open_lines(tmp_path: Path) -> None:
    session = Session(make_folder(tmp_path / "out"), "A. Tester", reader())
    amount = open_rows(session.report)
    assert amount == 7
    with pytest.raises(InputError, match="7 lines need a person first"):
        session.act("sign", {"who": "A. Tester"}, 0)
    settle(session)
    with pytest.raises(InputError, match="needs a name"):
        session.act("sign", {"who": "  "}, session.revision)
    session.act("sign", {"who": " B. Boss "}, session.revision)
    row = session.report.signed
    assert row
    assert (row.who, row.withdrawn) == ("B. Boss", None)


def test_what_is_signed_and_whole_is_said_to_be_so(signed: Path) -> None:
    code, said = checked(signed)
    assert code == 0, said
    assert "changed:" not in said
    assert "Signed off by A. Tester" in said
    assert said.count("as it was:") == 5


def test_a_later_change_withdraws_the_signature_and_so_does_taking_it_back(signed: Path) -> None:
    session = Session(signed, "C. Other", reader())
    row = session.report.findings[0]
    session.act("change", {"row": row.id, "fields": {"severity": "serious"}}, session.revision)
    session.act("undo", {}, session.revision)
    session.save()
    report = read_report(signed / "report.json")
    assert report.signed
    assert "by C. Other" in (report.signed.withdrawn or "")
    page = (signed / "report.html").read_text(encoding="utf-8")
    assert "no longer holds" in page
    code, said = checked(signed)
    assert (code, "no longer holds" in said) == (1, True)
    session.act("sign", {"who": "C. Other"}, session.revision)
    session.save()
    assert checked(signed)[0] == 0


FILES = ["walk.mp4", "out/report.json", "out/report.html", "out/edits.jsonl", "out/heard.json"]


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("place", [0.03, 0.5, 0.97])
def test_one_changed_byte_is_found_and_named(signed: Path, name: str, place: float) -> None:
    path = signed.parent / name
    data = bytearray(path.read_bytes())
    data[int(len(data) * place)] ^= 1
    path.write_bytes(data)
    code, said = checked(signed)
    assert code in (1, 2), said
    assert Path(name).name in said
    assert code == 1 or name in ("out/report.json", "out/heard.json"), "unreadable files cannot be checked"


def _edit(path: Path, change: Any) -> None:
    record = json.loads(path.read_text(encoding="utf-8"))
    change(record)
    path.write_text(json.dumps(record, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _stamp_again(folder: Path) -> None:
    """What somebody does who knows how the folder is made: the hashes of the changed files are put right too."""
    made = {
        n: [hashlib.sha256((folder / n).read_bytes()).hexdigest()] for n in ("report.json", "report.html", "heard.json")
    }
    (folder / "made-by-walkround.json").write_text(json.dumps(made))


def _cut_short(one: Path, other: Path) -> None:
    one.write_bytes(one.read_bytes()[:-1])


def _swap(one: Path, other: Path) -> None:
    data = one.read_bytes()
    one.write_bytes(other.read_bytes())
    other.write_bytes(data)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (_cut_short, "is not the picture"),
        (lambda one, _: one.unlink(), "the picture is not there"),
        (_swap, "is not the picture"),
    ],
)
@pytest.mark.parametrize("kind", ["still", "clip"])
def test_a_picture_that_was_changed_removed_or_swapped_is_named(
    signed: Path, kind: str, change: Any, says: str
) -> None:
    report = read_report(signed / "report.json")
    one, other = sorted({getattr(row, kind) for row in report.findings if getattr(row, kind)})[:2]
    assert {one, other} <= set(report.pictures)
    change(signed / one, signed / other)
    code, said = checked(signed)
    assert (code, f"changed: {one}: {says}" in said) == (1, True), said
    assert (f"changed: {other}: {says}" in said) is (change is _swap)


def test_the_signature_covers_the_pictures(signed: Path) -> None:
    """A picture exchanged by somebody who puts its hash into the record as well is no longer what was signed."""
    name = read_report(signed / "report.json").findings[0].still
    assert name
    (signed / name).write_bytes(b"another picture")
    other = hashlib.sha256(b"another picture").hexdigest()
    _edit(signed / "report.json", lambda record: record["pictures"].update({name: other}))
    _stamp_again(signed)
    code, said = checked(signed)
    assert (code, "is not the record that A. Tester signed" in said) == (1, True), said
    session = Session(signed, "A. Tester", reader())
    session.save()
    now = read_report(signed / "report.json").signed
    assert now
    assert "no longer the one that was signed" in (now.withdrawn or "")


def test_pictures_of_a_record_from_before_they_were_hashed_are_said_to_be_unchecked(signed: Path) -> None:
    _edit(signed / "report.json", lambda record: record.pop("pictures"))
    _stamp_again(signed)
    assert "note: The stills and clips were not checked" in checked(signed)[1]


@pytest.mark.parametrize(
    ("file", "change", "says"),
    [
        ("report.json", lambda r: r["findings"].pop(), "findings"),
        ("report.json", lambda r: r.update(signed=None), "taken out"),
        ("report.json", lambda r: r.update(review=None), "without the edits"),
        ("report.json", lambda r: r["signed"].update(who="D. Nobody"), "not in edits.jsonl"),
        ("report.json", lambda r: r["media"].update(sha256="0" * 64), "other films"),
        ("heard.json", lambda r: r["films"][0]["transcript"]["segments"].pop(), "report.json"),
    ],
)
def test_changes_by_somebody_who_knows_the_folder_are_found(signed: Path, file: str, change: Any, says: str) -> None:
    _edit(signed / file, change)
    _stamp_again(signed)
    code, said = checked(signed)
    assert code == 1
    assert says in said


def test_a_log_that_lost_its_end_or_is_gone_is_found(signed: Path) -> None:
    path = signed / "edits.jsonl"
    data = path.read_bytes()
    path.write_bytes(b"".join(data.splitlines(keepends=True)[:-1]))
    assert checked(signed)[0] == 1
    assert "missing or other" in checked(signed)[1]
    path.write_bytes(data[:-5])
    assert checked(signed)[0] == 1
    path.unlink()
    assert checked(signed)[0] == 1
    path.write_bytes(data)
    assert checked(signed)[0] == 0


def test_a_missing_film_is_told(signed: Path) -> None:
    (signed.parent / "walk.mp4").unlink()
    code, said = checked(signed)
    assert (code, "is not there" in said) == (1, True)


def test_what_cannot_be_checked_ends_with_2(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none"):
        code, said = checked(path)
        assert code == 2
        assert "is not the folder of a walk-round" in said


def test_the_command_itself(signed: Path) -> None:
    result = CliRunner().invoke(main, ["verify", str(signed)])
    assert result.exit_code == 0, result.output


def test_an_unsigned_folder_is_whole_and_said_to_be_unsigned(tmp_path: Path) -> None:
    found = verify(make_folder(tmp_path / "out"))
    assert found.changed == []
    assert "Nobody has signed this report off." in found.notes


# A new reading keeps what a person did


def test_making_the_report_again_keeps_the_edits(signed: Path) -> None:
    before = read_report(signed / "report.json")
    rebuild(signed)
    assert read_report(signed / "report.json") == before
    words = next(signed.parent.glob("*-words.json"))
    make_report(Job(signed.parent / "walk.mp4", signed, words))
    assert read_report(signed / "report.json") == before
    assert checked(signed)[0] == 0


def test_edits_are_not_laid_over_another_film(signed: Path, tmp_path: Path) -> None:
    other = make_media_file(tmp_path / "other.mp4", pictures=steady(6), sound=[(0.0, tone(6))])
    words = next(signed.parent.glob("*-words.json"))
    with pytest.raises(OutputError, match="not known to be of this film"):
        make_report(Job(other, signed, words))
    made = make_report(Job(other, signed, words, replace_edits=True))
    assert made.report.review is None
    assert (signed / "edits.jsonl.before").is_file()


def test_a_damaged_log_is_told_before_anything_is_written(signed: Path) -> None:
    path = signed / "edits.jsonl"
    path.write_bytes(path.read_bytes().replace(b"A. Tester", b"B. Tester", 1))
    before = {p.name: p.read_bytes() for p in signed.iterdir() if p.is_file()}
    for call in (lambda: rebuild(signed), lambda: Session(signed, "me")):
        with pytest.raises(InputError, match=r"edits\.jsonl line 1: was changed"):
            call()
    assert {p.name: p.read_bytes() for p in signed.iterdir() if p.is_file()} == before


def test_a_change_on_an_older_state_is_refused(tmp_path: Path) -> None:
    folder = make_folder(tmp_path / "out")
    one, two = Session(folder, "one", reader()), Session(folder, "two", reader())
    one.act("dismiss", {"row": "f1", "reason": "no"}, 0)
    with pytest.raises(StaleError, match="nothing was written over"):
        one.act("confirm", {"row": "f1"}, 0)
    with pytest.raises(StaleError):
        two.act("confirm", {"row": "f2"}, 0)
    assert two.revision == 1, "it has read the log again"
    assert two.report.dismissed
    two.act("confirm", {"row": "f2"}, 1)
    assert [e.who for e in read_log(folder).entries] == ["one", "two"]


def test_the_page_tells_what_a_person_added_and_set_aside(tmp_path: Path) -> None:
    """The narrator is not said to have spoken of what a person typed, and nothing disappears without a word."""
    session = Session(make_folder(tmp_path / "out"), "A. <i>Tester", reader())
    amount = len(session.report.findings) + len(session.report.unplaced)
    fields = {"start": 1, "end": 2, "part": "horn", "defect": "crack", "quote": "typed"}
    session.act("add", {"fields": fields}, 0)
    session.act("dismiss", {"row": "f2", "reason": "no <b>fault"}, 1)
    session.save()
    page = (session.path / "report.html").read_text(encoding="utf-8")
    assert f"The narrator spoke of <strong>{amount - 1} marks and faults</strong>." in page
    assert "A person added <strong>1</strong> more." in page
    assert "these are a person’s words, not the narrator’s" in page
    assert "no &lt;b&gt;fault" in page
    assert "A. &lt;i&gt;Tester" in page
    assert "unless it is marked as added by a person" in page
    assert "Nobody has signed this report off yet" in page


@pytest.mark.parametrize(
    ("filmed", "says"),
    [("2020-01-01T09:00:00+00:00", "Has anything changed on the bike"), ("2199-01-01T09:00:00+00:00", "camera's date")],
)
def test_a_film_dated_far_from_the_signing_is_asked_about(tmp_path: Path, filmed: str, says: str) -> None:
    """Before and after signing, on the page and on paper; the signature holds all the same."""
    folder = make_folder(tmp_path / "out")
    heard = read_heard(folder)
    heard.films[0].media.recorded_at = filmed
    finish(Folder(folder), heard, lexicon(), Quiet())
    session = Session(folder, "A. Tester", reader())
    settle(session)
    before = state(session.report, session.now, session.log, session.lexicon)
    assert says in before["sign_asks"][0]
    session.act("sign", {"who": "A. Tester"}, session.revision)
    session.save()
    report = read_report(folder / "report.json")
    assert report.signed
    assert report.signed.withdrawn is None
    assert says in report.signed.asked[0].text
    assert says in (folder / "report.html").read_text(encoding="utf-8").replace("&#39;", "'")
    assert says in print_html(report, folder, "a4").replace("&#39;", "'")
    assert "is not the record that" not in checked(folder)[1]


def test_a_film_of_the_day_of_signing_asks_nothing(tmp_path: Path) -> None:
    session = Session(make_folder(tmp_path / "out"), "A. Tester", reader())
    today = datetime.now(UTC)
    for filmed in (today.isoformat(), (today - timedelta(days=59)).date().isoformat(), None, "no time"):
        media = session.report.media.model_copy(update={"recorded_at": filmed})
        assert days_asked(session.report.model_copy(update={"media": media}), today.date()) == []


def test_what_was_published_before_a_change_is_named(signed: Path) -> None:
    assert CliRunner().invoke(main, ["advert", str(signed)]).exit_code == 0
    assert "publish:" not in checked(signed)[1]
    session = Session(signed, "A. Tester", reader())
    session.act("change", {"row": session.report.findings[0].id, "fields": {"severity": "serious"}}, session.revision)
    session.save()
    assert "publish: advert.txt was made before the last change of the record" in checked(signed)[1]
    assert CliRunner().invoke(main, ["advert", str(signed)]).exit_code == 0
    assert "publish:" not in checked(signed)[1]
