"""Both pages in a real Chromium, on the demo bike: by mouse, by keyboard, for everyone, and against hostile words."""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from click.testing import CliRunner
from desk import heard_of, make_folder, reader, transcript
from playwright.sync_api import Browser, Page, expect, sync_playwright
from serving import said, served

from walkround.cli import main
from walkround.demo import demo_film
from walkround.errors import InputError
from walkround.pipeline import Job, make_report, rebuild
from walkround.report.heard import HEARD, read_heard
from walkround.report.record import read_report
from walkround.review.log import read_log
from walkround.review.signing import open_rows
from walkround.review.verify import verify
from walkround.review.view import key_of

pytestmark = pytest.mark.browser

#: The rules of WCAG 2.0 to 2.2, levels A and AA, as axe-core tags them.
WCAG = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if not chromium:
        pytest.fail("the page tests need Chromium: install the package chromium")
    with sync_playwright() as play:
        started = play.chromium.launch(
            executable_path=chromium,
            args=["--no-sandbox", "--mute-audio", "--autoplay-policy=no-user-gesture-required"],
        )
        yield started
        started.close()


class Visit:
    """A page that was opened, and everything that it asked for and complained of."""

    def __init__(self, browser: Browser, address: str, width: int = 1280, height: int = 900, **more: Any) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": height}, **more)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.faults: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on(
            "console", lambda said: self.faults.append(said.text) if said.type in ("error", "warning") else None
        )
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.goto(address)
        if address.startswith("http"):
            self.page.wait_for_selector("body[data-ready]")
            self.page.evaluate(
                "() => { const v = document.querySelector('video');"
                " v.addEventListener('seeked', () => { window.landed = v.currentTime; }); }"
            )


@pytest.fixture
def visit(browser: Browser) -> Iterator[Any]:
    visits: list[Visit] = []

    def open_page(address: str, **more: Any) -> Visit:
        visits.append(Visit(browser, address, **more))
        return visits[-1]

    yield open_page
    for one in visits:
        one.context.close()


def time_of(page: Page) -> float:
    return float(page.evaluate("document.querySelector('video').currentTime"))


def settled_down(page: Page, start: float) -> None:
    """Wait until a jump has landed within 0.3 s of a time; the film may be playing on by then."""
    page.wait_for_function(
        "start => { const v = document.querySelector('video'); const near = t => Math.abs(t - start) < 0.3;"
        " return v.readyState >= 2 && (near(v.currentTime) || near(window.landed ?? -1)); }",
        arg=start,
    )


def chosen(page: Page) -> str:
    return page.locator(".line.is-chosen h3").inner_text().split("\n")[0].strip()


def save_and_read(session: Any) -> Any:
    session.save()
    return read_report(session.path / "report.json")


# The review page


def test_stepping_and_pressing_move_the_player_to_the_row(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    starts = {row.id: row.start for row in (*session.report.findings, *session.report.unplaced)}
    buttons = page.locator(".line > .jump")
    amount = buttons.count()
    assert amount >= len(starts)
    for n in (3, 0, amount - 1, 7):
        label = buttons.nth(n).get_attribute("aria-label") or ""
        minutes, seconds = re.match(r"Play from (\d+):(\d+)", label).groups()  # type: ignore[union-attr]
        near = int(minutes) * 60 + int(seconds)
        (start,) = {s for s in starts.values() if near <= s < near + 1}
        page.evaluate("document.querySelector('video').pause()")
        buttons.nth(n).click()
        settled_down(page, start)
        page.evaluate("document.querySelector('video').pause()")


def test_what_two_films_say_of_a_part_is_looked_at_before_signing(tmp_path: Path, visit: Any, serve: Any) -> None:
    folder = make_folder(tmp_path / "out")
    heard = read_heard(folder)
    heard.films += heard_of(transcript((("The chain has now been replaced.", 0.95),))).films
    (folder / HEARD).write_text(heard.to_json(), encoding="utf-8")
    rebuild(folder)
    address, session = serve(folder)
    amount = open_rows(session.report)
    asked = [q for q in session.report.questions if q.between_films]
    assert asked
    seen = visit(address)
    lines = seen.page.locator("#needs .line", has_text="Films do not agree: Chain")
    expect(lines).to_have_count(len(asked))
    lines.first.click()
    expect(seen.page.locator(".is-chosen button")).to_contain_text(["0:", "Looked at it"])
    seen.page.keyboard.press("n")
    seen.page.keyboard.press("c")
    expect(seen.page.locator("#standing")).to_contain_text(f"{amount - 1} line")
    expect(lines).to_have_count(len(asked) - 1)
    assert [entry.action for entry in session.log.entries] == ["confirm"]
    assert seen.faults == []


def test_every_open_line_is_settled_with_at_most_three_keys(demo: Path, visit: Any, serve: Any) -> None:
    """Keystroke by keystroke, with the time of each: the lines that need a person, then the signature."""
    address, session = serve(demo)
    page = visit(address).page
    lines = session.now.report
    needing = [r for r in (*lines.unplaced, *lines.findings) if r.review] + [c for c in lines.checklist if c.review]
    assert len(needing) >= 6
    assert any(r.part is None for r in needing)
    keys = 0
    for left in range(len(needing), 0, -1):
        expect(page.locator("#standing")).to_contain_text(f"{left} line")
        key = "1" if page.locator(".is-chosen .row-tools:has-text('Which part?')").count() else "c"
        page.keyboard.press(key)
        keys += 1
        expect(page.locator("#standing")).to_contain_text(f"{left - 1 or 'No'} line")
    assert keys <= 3 * len(needing)
    assert keys == len(needing)
    page.keyboard.press("o")
    page.keyboard.press("Enter")
    expect(page.locator("#standing")).to_contain_text("Signed off by A. Tester.")
    report = save_and_read(session)
    assert report.signed.withdrawn is None
    assert CliRunner().invoke(main, ["verify", str(demo)]).exit_code == 0


def test_setting_aside_takes_two_keys(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("ArrowDown")
    name = chosen(page)
    page.keyboard.press("d")
    page.keyboard.press("3")
    expect(page.locator("#aside h3")).to_have_text(name.split(" Minor")[0])
    assert save_and_read(session).dismissed[0].reason == "the words were heard wrongly"
    page.get_by_role("button", name="Bring it back").click()
    expect(page.locator("#aside-part")).to_be_hidden()


def test_editing_undoing_and_loading_again(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("ArrowDown")
    page.keyboard.press("e")
    page.locator("#c-part").select_option("fuel-tank")
    page.locator("#c-severity").select_option("serious")
    page.locator("#c-quote").fill("Words <b>put</b> right")
    page.locator("#c-start").fill("21.5")
    page.locator("#c-severity").press("Enter")
    row = page.locator(".line", has_text="Words <b>put</b> right")
    expect(row.locator("h3")).to_contain_text("Fuel tank: scratch")
    expect(row).to_contain_text("Changed by A. Tester; read as windscreen; read as minor.")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    expect(row.locator(".tag")).to_have_text("Serious")
    changed = [r for r in save_and_read(session).findings if r.settled]
    assert [(r.part, r.severity, r.start) for r in changed] == [("fuel-tank", "serious", 21.5)]
    page.keyboard.press("u")
    expect(page.locator("#redo")).to_be_enabled()
    expect(row).to_have_count(0)
    page.keyboard.press("r")
    expect(row).to_have_count(1)
    assert [e.action for e in read_log(demo).entries] == ["change", "undo", "redo"]


def test_a_line_is_added_at_the_moment_of_the_pause(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    settled_down(page, 0.2)
    page.evaluate("document.querySelector('video').currentTime = 40")
    settled_down(page, 40)
    page.keyboard.press("Space")
    page.wait_for_function("() => !document.querySelector('video').paused")
    page.keyboard.press("a")
    assert page.evaluate("document.querySelector('video').paused")
    page.keyboard.type("The horn bracket is bent")
    page.locator("#a-part").select_option("horn")
    page.locator("#a-defect").select_option("bent")
    page.locator("#a-defect").press("Enter")
    expect(page.locator(".line", has_text="Horn: bent")).to_contain_text("Added by hand by A. Tester")
    (added,) = [r for r in save_and_read(session).findings if r.part == "horn"]
    assert 40 <= added.start < 45
    assert added.settled.how == "added"


def test_splitting_and_joining(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    before = len(session.report.findings)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("s")
    page.locator("#s2-defect").select_option("crack")
    page.locator("#s2-defect").press("Enter")
    expect(page.locator(".line", has_text="Windscreen: crack")).to_have_count(1)
    assert len(session.report.findings) == before + 1
    page.locator(".line", has_text="Windscreen: crack").locator(".said").click()
    page.keyboard.press("j")
    page.keyboard.press("Enter")
    expect(page.locator("#aside h3")).to_have_text("Windscreen: scratch")
    assert len(session.report.findings) == before


def test_a_word_is_put_right_and_the_reading_follows(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("ArrowDown")
    page.keyboard.press("w")
    area = page.locator("#words textarea")
    expect(area).to_be_focused()
    words = area.input_value()
    assert "windscreen" in words
    area.fill(words.replace("little windscreen", "little left mirror"))
    area.press("Enter")
    expect(page.locator(".line", has_text="Left-hand mirror: scratch")).to_have_count(1)
    (correction,) = save_and_read(session).corrections
    assert (correction.heard, correction.put) == ("windscreen", "left mirror")
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("u")
    expect(page.locator(".line", has_text="Windscreen: scratch")).to_have_count(1)


def test_another_picture_is_chosen_and_stays_chosen(demo: Path, visit: Any, serve: Any) -> None:
    """By keyboard, on the demo's own stills: seen at once, after loading again, in the record and on the report."""
    address, session = serve(demo)
    row = next(row for row in session.report.findings if len(row.other_stills) > 1)
    wanted, before = row.other_stills[1].file, row.still
    assert (demo / wanted).is_file()
    page = visit(address).page
    page.locator(f".line[data-key='{key_of(session.now, row)}']").click()
    page.keyboard.press("p")
    choices = page.locator(".pictures button")
    expect(choices).to_have_count(len(row.other_stills))
    page.wait_for_function("() => [...document.querySelectorAll('.pictures img')].every(i => i.naturalWidth > 0)")
    page.keyboard.press("2")
    shown = page.locator(".is-chosen img.still")
    expect(shown).to_have_attribute("src", re.compile(re.escape(wanted) + "$"))
    page.wait_for_function("i => i.complete && i.naturalWidth > 0", arg=shown.element_handle())
    page.reload()
    page.wait_for_selector("body[data-ready]")
    now = next(r for r in save_and_read(session).findings if r.quote == row.quote and r.defect == row.defect)
    assert now.still == wanted
    assert before in [still.file for still in now.other_stills]
    report = visit((demo / "report.html").as_uri()).page
    expect(report.locator(f"#finding-rows img.still[src='{wanted}']")).to_have_count(1)
    assert verify(demo, reader()).changed == []


def test_a_part_is_marked_as_not_fitted(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.get_by_role("button", name="Centre stand: not fitted").click()
    expect(page.locator("#items li", has_text="Centre stand")).to_contain_text("not fitted")
    (check,) = [c for c in save_and_read(session).checklist if c.part == "centre-stand"]
    assert check.not_fitted


def test_signing_is_blocked_while_lines_are_open(demo: Path, visit: Any, serve: Any) -> None:
    address, _ = serve(demo)
    page = visit(address).page
    page.keyboard.press("o")
    expect(page.locator("#sign-yes")).to_be_disabled()
    expect(page.locator("#sign-says")).to_contain_text("need a person first")


def test_the_second_tab_is_told_and_nothing_is_written_over(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    one, two = visit(address).page, visit(address).page
    two.keyboard.press("ArrowDown")
    two.keyboard.press("e")
    two.locator("#c-quote").fill("typed in the second tab")
    one.keyboard.press("ArrowDown")
    one.keyboard.press("d")
    one.keyboard.press("1")
    expect(one.locator("#aside-part")).to_be_visible()
    one.keyboard.press("u")
    expect(one.locator("#aside-part")).to_be_hidden()
    two.locator("#c-severity").press("Enter")
    expect(two.locator("#alarm")).to_contain_text("changed in another window")
    expect(two.locator("#c-quote")).to_have_value("typed in the second tab")
    assert session.revision == 2
    two.locator("#c-severity").press("Enter")
    expect(two.locator(".line", has_text="typed in the second tab")).to_have_count(1)
    assert session.revision == 3


def test_the_clip_is_played_again_and_again_and_space_plays(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("ArrowDown")
    (row,) = [r for r in session.report.findings if r.part == "windscreen"]
    settled_down(page, row.start)
    page.keyboard.press("l")
    expect(page.locator("#looping")).to_be_visible()
    page.evaluate(f"document.querySelector('video').currentTime = {row.end + 0.2}")
    page.wait_for_function("end => document.querySelector('video').currentTime < end", arg=row.end)
    page.keyboard.press("l")
    expect(page.locator("#looping")).to_be_hidden()
    page.keyboard.press("Space")
    assert page.evaluate("document.querySelector('video').paused")
    page.keyboard.press("ArrowRight")
    assert time_of(page) > row.start + 1


def test_the_keys_are_listed_and_can_be_turned_off(demo: Path, visit: Any, serve: Any) -> None:
    """WCAG 2.2 SC 2.1.4: single-letter keys can be turned off."""
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("?")
    expect(page.locator("#help")).to_be_visible()
    listed = page.locator("#keys dt").all_inner_texts()
    assert {"?", "Space", "c", "e", "d", "u", "r", "o", "l", "w", "a", "s", "j", "n"} <= set(listed)
    page.locator("#keys-on").uncheck()
    page.keyboard.press("Escape")
    page.locator("h1").click()
    page.keyboard.press("c")
    page.keyboard.press("ArrowDown")
    page.wait_for_timeout(200)
    assert session.revision == 0


def test_the_film_has_captions(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.evaluate("document.querySelector('video').textTracks[0].mode = 'hidden'")
    page.wait_for_function("() => document.querySelector('track').readyState === 2")  # all of it is read
    cues = page.evaluate("[...document.querySelector('video').textTracks[0].cues].map(c => c.text)")
    assert len(cues) == len(session.report.transcript.segments)


def test_tab_goes_through_the_page_in_its_order(demo: Path, visit: Any, serve: Any) -> None:
    page = visit(serve(demo)[0]).page
    page.locator(".skip").focus()
    seen = ["skip"]
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("(e => e.id || e.dataset.do || e.className || e.tagName)(document.activeElement)"))
    assert seen[0] == "skip"
    assert seen[1:6] == ["add", "teach", "sign", "A", "help"]
    assert seen[6] == "film"
    assert [mark for mark in ("words", "jump") if mark in seen] == ["words"], "the words before the lines"


# For everyone


def axe(page: Page) -> list[str]:
    found = Axe().run(page, options=WCAG).response["violations"]
    return [f"{v['id']}: {n['html'][:150]} {n['failureSummary'][:200]}" for v in found for n in v["nodes"]]


@pytest.mark.parametrize(("width", "scheme", "keys"), [(1280, "light", "esjdaw?o"), (390, "dark", "ea?")])
def test_axe_finds_nothing_on_the_review_page(
    demo: Path, visit: Any, serve: Any, width: int, scheme: str, keys: str
) -> None:
    page = visit(serve(demo)[0], width=width, color_scheme=scheme).page
    page.keyboard.press("d")
    page.keyboard.press("1")
    expect(page.locator("#aside-part")).to_be_visible()
    assert axe(page) == []
    for key in keys:
        page.keyboard.press(key)
        assert axe(page) == [], key
        page.keyboard.press("Escape")


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "dark")])
def test_axe_finds_nothing_on_the_report_page(demo: Path, visit: Any, serve: Any, width: int, scheme: str) -> None:
    _, session = serve(demo)
    session.act("dismiss", {"row": "f2", "reason": "no"}, 0)
    session.save()
    page = visit((demo / "report.html").as_uri(), width=width, color_scheme=scheme).page
    page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
    assert axe(page) == []


@pytest.mark.parametrize("width", [320, 390, 700, 1024])
def test_no_sideways_scrolling(demo: Path, visit: Any, serve: Any, width: int) -> None:
    """WCAG 2.2 SC 1.4.10 Reflow: 320 CSS pixels, which is 1280 at 400 % zoom."""
    page = visit(serve(demo)[0], width=width).page
    for key in ("e", "s", "d", "a"):
        page.keyboard.press(key)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, key
        page.keyboard.press("Escape")


def test_targets_are_large_enough(demo: Path, visit: Any, serve: Any) -> None:
    """WCAG 2.2 SC 2.5.8: 24 by 24 CSS pixels."""
    page = visit(serve(demo)[0], width=390).page
    small = page.evaluate(
        "[...document.querySelectorAll('button, select, input, a')].filter(e => e.offsetParent)"
        ".map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])"
        ".filter(([, r]) => r.width < 24 || r.height < 24).map(([html]) => html)"
    )
    assert small == []


# Against what was not meant


def test_no_request_leaves_this_computer(demo: Path, visit: Any, serve: Any) -> None:
    address, _ = serve(demo)
    seen = visit(address)
    for key in ("ArrowDown", "e", "Escape", "w", "Escape", "l", "?", "Escape"):
        seen.page.keyboard.press(key)
    origin = "/".join(address.split("/")[:3])
    assert len(seen.asked) > 5
    assert [url for url in seen.asked if not url.startswith(f"{origin}/")] == []
    assert seen.faults == []
    page = visit((demo / "report.html").as_uri())
    assert [url for url in page.asked if not url.startswith("file:")] == []
    assert page.faults == []


HOSTILE = "<script>window.pwned=1</script><img src=x onerror=window.pwned=1>\"'>&amp;{{7*7}}"


def test_hostile_words_names_and_edits_stay_text(tmp_path: Path, visit: Any, serve: Any) -> None:
    folder = tmp_path / "bike"
    folder.mkdir()
    name = "<img src=x onerror=window.pwned=1>'\".mp4"
    film = Path(shutil.copy(demo_film(), folder / name))
    text = f"The left mirror has a scratch {HOSTILE} on it."
    (tmp_path / "w.json").write_text(json.dumps({"segments": [said(text, 1.0, 5.0, 0.2)]}), encoding="utf-8")
    make_report(Job(film, folder, tmp_path / "w.json"))
    address, session = serve(folder, who=f"A {HOSTILE}")
    seen = visit(address)
    page = seen.page
    page.keyboard.press("e")
    page.locator("#c-quote").fill(f"edit {HOSTILE}")
    page.locator("#c-severity").press("Enter")
    expect(page.locator(".said", has_text="edit <script>")).to_have_count(1)
    page.keyboard.press("d")
    page.locator("#d-reason").fill(f"reason {HOSTILE}")
    page.locator("#d-reason").press("Enter")
    expect(page.locator("#aside", has_text="reason <script>")).to_have_count(1)
    expect(page.locator("#words", has_text="<script>")).to_have_count(1)
    session.act("sign", {"who": f"Sign {HOSTILE}"}, session.revision)
    page.reload()
    page.wait_for_selector("body[data-ready]")
    expect(page.locator("#standing")).to_contain_text("Sign <script>")
    assert page.evaluate("window.pwned") is None
    assert seen.faults == []
    session.save()
    for where in ((folder / "report.html").as_uri(), None):
        if where:
            report = visit(where).page
        else:
            report = page
            report.goto(f"{address}page")
        assert report.evaluate("window.pwned") is None
        body = report.locator("body").inner_text()
        for words in ("reason <script>", "Sign <script>"):
            assert words in body
    assert CliRunner().invoke(main, ["verify", str(folder)]).exit_code == 0


# Signed, then changed


def test_from_the_page_to_verify_which_finds_a_changed_byte(demo: Path, visit: Any) -> None:
    with served(demo) as (address, _):
        page = visit(address).page
        while "No line" not in page.locator("#standing").inner_text():
            before = page.locator("#standing").inner_text()
            page.keyboard.press("c")
            expect(page.locator("#standing")).not_to_have_text(before)
        page.keyboard.press("o")
        page.locator("#sign-who").fill("B. Boss")
        page.locator("#sign-yes").click()
        expect(page.locator("#standing")).to_contain_text("Signed off by B. Boss.")
    fine = verify(demo, reader())
    assert fine.changed == []
    assert "Signed off by B. Boss" in fine.fine[-1]
    for name in ("film.mp4", "report/report.json", "report/edits.jsonl"):
        path = demo.parent / name
        whole = path.read_bytes()
        path.write_bytes(whole[: len(whole) // 2] + bytes([whole[len(whole) // 2] ^ 1]) + whole[len(whole) // 2 + 1 :])
        try:
            told = verify(demo, reader()).changed
        except InputError as error:
            told = [str(error)]
        assert any(path.name in sentence for sentence in told), (name, told)
        path.write_bytes(whole)
    assert verify(demo, reader()).changed == []


def test_a_word_is_taught_after_its_changes_were_shown(demo: Path, visit: Any, serve: Any) -> None:
    address, session = serve(demo)
    page = visit(address).page
    page.keyboard.press("t")
    expect(page.locator("#teach-yes")).to_be_disabled()
    page.locator("#teach-form-word").fill("bramble")
    page.locator("#teach-means").select_option("part/horn")
    page.locator("#teach-look").click()
    expect(page.locator("#teach-yes")).to_be_enabled(timeout=30_000)
    expect(page.locator("#teach-told")).to_contain_text("Horn: not mentioned; then named only")
    assert axe(page) == []
    page.locator("#teach-form-word").fill("bramblebike")
    expect(page.locator("#teach-yes")).to_be_disabled()
    page.locator("#teach-form-word").fill("bramble")
    page.locator("#teach-look").click()
    expect(page.locator("#teach-yes")).to_be_enabled(timeout=30_000)
    page.locator("#teach-yes").click()
    expect(page.locator("#teach")).to_be_hidden(timeout=30_000)
    assert {c.state for c in session.report.checklist if c.part == "horn"} == {"named"}
    assert "bramble" in (demo / "lexicon" / "parts.toml").read_text(encoding="utf-8")
