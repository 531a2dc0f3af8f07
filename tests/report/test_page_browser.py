"""The report page in a real browser, opened from disk: it plays, jumps, sifts, and everyone can read it."""

import itertools
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import imageio_ffmpeg
import pytest
from page_sample import Seen, hostile, page, sample
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select, WebDriverWait

from walkround.report.wording import seconds

pytestmark = pytest.mark.browser


def contrast(first: tuple[float, ...], second: tuple[float, ...]) -> float:
    """Contrast ratio of two sRGB colours (0 to 255), by the definitions of WCAG 2.2, used by SC 1.4.3."""

    def luminance(colour: tuple[float, ...]) -> float:
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in colour[:3])]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize(("grey", "ratio"), [(0x00, 21.0), (0x76, 4.54), (0x77, 4.48), (0x94, 3.03)])
def test_the_contrast_formula_gives_the_published_figures(grey: int, ratio: float) -> None:
    """Greys on white as accessibility handbooks give them: #767676 is the lightest that reaches 4.5 to 1."""
    assert contrast((grey,) * 3, (255,) * 3) == pytest.approx(ratio, abs=0.005)


FILM = 'films/a"b<c>#1 ?.webm'


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Pages, stills, and a 12 s film with an awkward name in a folder beside them."""
    base = tmp_path_factory.mktemp("bike")
    (base / "films").mkdir()
    (base / "report" / "stills").mkdir(parents=True)
    ffmpeg = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error", "-y"]
    picture = ["-f", "lavfi", "-i", "testsrc2=size=640x360:rate=25:duration=12"]
    sound = ["-f", "lavfi", "-i", "sine=frequency=300:duration=12"]
    coded = ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-c:a", "libopus"]
    subprocess.run([*ffmpeg, *picture, *sound, *coded, str(base / FILM)], check=True)
    for still in (f.still for f in sample().findings if f.still):
        subprocess.run([*ffmpeg, *picture, "-frames:v", "1", str(base / "report" / still)], check=True)
    for name, report, film in (
        ("report", sample(), f"../{FILM}"),
        ("hostile", hostile(), f"../{FILM}"),
        ("no-film", sample(), None),
        ("lost-film", sample(), "../films/lost.webm"),
    ):
        (base / "report" / f"{name}.html").write_text(page(report, film), encoding="utf-8")
    return base / "report"


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    driver = shutil.which("chromedriver")
    if not chromium or not driver:
        pytest.fail("the page tests need Chromium and ChromeDriver: install the packages chromium and chromium-driver")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for switch in (
        "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--mute-audio",
        f"--user-data-dir={tmp_path_factory.mktemp('profile')}",
    ):  # fmt: skip
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    with webdriver.Chrome(options=options, service=webdriver.ChromeService(driver)) as chrome:
        yield chrome


def visit(browser: webdriver.Chrome, file: Path, after: str = "", width: int = 1280, height: int = 900) -> None:
    """Open a page from disk, afresh, in a window of this size; wait until it knows its film."""
    browser.get("about:blank")
    browser.get_log("browser")
    size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    browser.get(file.as_uri() + after)
    wait(
        browser,
        "const v = document.querySelector('video'); return !v || v.readyState > 0 || v.error !== null",
    )


def wait(browser: webdriver.Chrome, script: str) -> None:
    WebDriverWait(browser, 10, poll_frequency=0.05).until(lambda b: b.execute_script(script))


def time_of(browser: webdriver.Chrome) -> float:
    return float(browser.execute_script("return document.querySelector('video').currentTime"))


def shown(browser: webdriver.Chrome) -> list[str]:
    return [h.text for h in browser.find_elements(By.CSS_SELECTOR, "#finding-rows .row h3") if h.is_displayed()]


def test_a_press_plays_the_film_from_the_row(browser: webdriver.Chrome, folder: Path) -> None:
    for index, start in enumerate([2.5, 8.2, 3.4, 5.75, 10.9, 1.25, 4.1, 4.6, 6.5, 6.5, 7.3]):
        if index == 0:
            visit(browser, folder / "report.html")
            assert browser.execute_script("return document.querySelector('video').paused"), "nothing plays by itself"
            assert browser.execute_script("return document.querySelector('video').duration") == pytest.approx(
                12, abs=0.2
            )
            browser.execute_script(
                "const v = document.querySelector('video');"
                "v.addEventListener('seeked', () => { window.landed = v.currentTime; });"
            )
        browser.execute_script("window.landed = null")
        browser.find_elements(By.CSS_SELECTOR, ".row .jump")[index].click()
        wait(browser, "return window.landed !== null && !document.querySelector('video').paused")
        assert browser.execute_script("return window.landed") == pytest.approx(start, abs=0.3)
        assert browser.execute_script("return location.hash") == f"#t={seconds(start)}"
    before = time_of(browser)
    wait(browser, f"return document.querySelector('video').currentTime > {before}")
    assert browser.get_log("browser") == []


@pytest.mark.parametrize(
    ("after", "start"),
    [
        # Media Fragments URI 1.0 (W3C Recommendation, 25 September 2012), section 4.2.1: forms of a time.
        ("#t=5", 5), ("?t=5", 5), ("#t=5.75", 5.75), ("#t=10,11", 10), ("#t=npt:10,11", 10), ("#t=,4", 0),
        ("#t=00:05.5", 5.5), ("#t=0:00:05", 5), ("#t=1:2", 0), ("#t=1m30s", 0), ("#t=", 0), ("#findings", 0),
    ],
)  # fmt: skip
def test_a_link_with_a_time_opens_there(browser: webdriver.Chrome, folder: Path, after: str, start: float) -> None:
    visit(browser, folder / "report.html", after)
    wait(browser, f"return Math.abs(document.querySelector('video').currentTime - {start}) < 0.3")
    assert browser.execute_script("return document.querySelector('video').paused")


def test_a_link_with_a_time_shows_its_row(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html", "#t=4.6")
    top = browser.execute_script("return document.getElementById('t=4.6').getBoundingClientRect().top")
    assert 0 <= top < 900
    assert browser.find_element(By.CSS_SELECTOR, ".is-current h3").text == "Clutch lever: bent or twisted"


def test_the_chapter_being_played_is_marked(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html", "#t=8.5")
    marked = "return [...document.querySelectorAll('.chapters [aria-current]')]"
    wait(browser, marked + ".map(item => item.lastElementChild.textContent).join() === 'Rear'")


def test_the_sieve_hides_rows_and_says_so(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    everything = shown(browser)
    assert len(everything) == 10
    browser.find_element(By.ID, "sift-words").send_keys("Oil WEEP")
    assert shown(browser) == ["Left-hand fork leg: leak"]
    assert browser.find_element(By.ID, "sift-result").text.startswith("1 of 10 shown")
    assert len(browser.find_elements(By.CSS_SELECTOR, ".unplaced .row")) == 1
    browser.find_element(By.CSS_SELECTOR, ".sift button").click()
    wait(browser, "return document.getElementById('sift-result').textContent === 'All 10 shown.'")
    Select(browser.find_element(By.ID, "sift-side")).select_by_value("left")
    assert shown(browser) == ["Left-hand fork leg: leak", "Front brake disc, both sides: wear"]
    Select(browser.find_element(By.ID, "sift-side")).select_by_value("")
    Select(browser.find_element(By.ID, "sift-severity")).select_by_value("serious")
    assert shown(browser) == everything[:2]
    Select(browser.find_element(By.ID, "sift-severity")).select_by_value("")
    Select(browser.find_element(By.ID, "sift-part")).select_by_value("engine-casing")
    assert shown(browser) == everything[-2:]
    Select(browser.find_element(By.ID, "sift-part")).select_by_value("")
    Select(browser.find_element(By.ID, "sift-order")).select_by_value("at")
    assert shown(browser)[0] == "Front mudguard: stone chip"
    assert sorted(shown(browser)) == sorted(everything)


@pytest.mark.parametrize("name", ["report", "hostile", "no-film"])
@pytest.mark.parametrize("width", [320, 390, 700, 1024, 1280])
def test_no_sideways_scrolling(browser: webdriver.Chrome, folder: Path, name: str, width: int) -> None:
    """WCAG 2.2 SC 1.4.10 Reflow: 320 CSS pixels wide without scrolling in two directions."""
    visit(browser, folder / f"{name}.html", width=width)
    browser.execute_script("for (const d of document.querySelectorAll('details')) d.open = true")
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width


def test_hostile_text_does_nothing_in_a_browser(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "hostile.html")
    assert browser.execute_script("return window.pwned") is None
    errors = [entry["message"] for entry in browser.get_log("browser") if "ERR_FILE_NOT_FOUND" not in entry["message"]]
    assert errors == [], "only the poisoned pictures are not found"
    assert browser.find_elements(By.CSS_SELECTOR, ".row .jump")[0].text.startswith("Play from 0:02")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_all_text_can_be_read(browser: webdriver.Chrome, folder: Path, scheme: str) -> None:
    """WCAG 2.2 SC 1.4.3: 4.5 to 1 for every text on the page, as the browser paints it."""
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    try:
        visit(browser, folder / "report.html", "#t=2.5")
        painted = browser.execute_script(
            """
            for (const d of document.querySelectorAll('details')) d.open = true;
            const found = [];
            const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
            for (let node = walk.nextNode(); node; node = walk.nextNode()) {
              const own = node.parentElement;
              if (!node.data.trim() || !own.checkVisibility() || own.closest('script')) continue;
              let under = own;
              const ground = (e) => getComputedStyle(e).backgroundColor;
              while (under.parentElement && ground(under) === 'rgba(0, 0, 0, 0)') under = under.parentElement;
              const back = ground(under) === 'rgba(0, 0, 0, 0)' ? ground(document.body) : ground(under);
              found.push([node.data.trim(), getComputedStyle(own).color, back]);
            }
            return found;
            """
        )
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert len(painted) > 200
    bright = sum(rgb(painted[-1][2]))
    assert (bright > 600) == (scheme == "light")
    poor = [(text, ink, paper) for text, ink, paper in painted if contrast(rgb(ink), rgb(paper)) < 4.5]
    assert not poor


def rgb(css: str) -> tuple[float, ...]:
    assert re.fullmatch(r"rgb\(\d+, \d+, \d+\)", css), css
    return tuple(float(v) for v in re.findall(r"\d+", css))


def test_edges_of_controls_and_focus_can_be_seen() -> None:
    """WCAG 2.2 SC 1.4.11: 3 to 1 for the edge of a control and for the focus mark, in both palettes."""
    style = "".join(Seen(page(sample())).raw["style"])
    palettes = [
        dict(re.findall(r"--([\w-]+): #([0-9a-f]{6})", block)) for block in re.findall(r":root \{(.*?)\}", style, re.S)
    ]
    assert len(palettes) == 2
    for palette in palettes:
        colour = {name: tuple(bytes.fromhex(value)) for name, value in palette.items()}
        for mark, ground in itertools.product(("edge", "focus"), ("paper", "panel")):
            assert contrast(colour[mark], colour[ground]) >= 3, (mark, ground)


def test_it_works_by_keyboard(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    browser.find_element(By.TAG_NAME, "body").send_keys(Keys.TAB)
    assert browser.switch_to.active_element.text == "Skip to the findings"
    assert browser.switch_to.active_element.rect["y"] >= 0, "the skip link shows itself when it has the focus"
    browser.switch_to.active_element.send_keys(Keys.ENTER)
    wait(browser, "return document.activeElement.id === 'findings'")
    browser.execute_script("document.querySelector('.row .jump').focus()")
    outline = browser.execute_script("return getComputedStyle(document.querySelector('.row .jump')).outlineStyle")
    assert outline == "solid"
    browser.switch_to.active_element.send_keys(Keys.ENTER)
    wait(browser, "return document.querySelector('video').currentTime >= 2.4")


def test_targets_are_large_enough(browser: webdriver.Chrome, folder: Path) -> None:
    """WCAG 2.2 SC 2.5.8 Target Size (Minimum): 24 by 24 CSS pixels."""
    visit(browser, folder / "report.html", width=390, height=844)
    browser.execute_script("for (const d of document.querySelectorAll('details')) d.open = true")
    small = browser.execute_script(
        "return [...document.querySelectorAll('.jump, .pin, .copy, .clip, button, select, input, summary')]"
        ".map(e => [e.textContent, e.getBoundingClientRect()])"
        ".filter(([, r]) => r.height < 24 || r.width < 24)"
    )
    assert small == []


def test_on_a_phone_the_film_does_not_cover_what_was_pressed(browser: webdriver.Chrome, folder: Path) -> None:
    """WCAG 2.2 SC 2.4.11 Focus Not Obscured."""
    visit(browser, folder / "report.html", width=390, height=844)
    link = browser.find_elements(By.CSS_SELECTOR, ".row .jump")[3]
    browser.execute_script("arguments[0].scrollIntoView({block: 'start'})", link)
    covered = "return arguments[0].getBoundingClientRect().top < document.querySelector('video').offsetHeight"
    assert browser.execute_script(covered, link), "the film would lie over the link"
    # Pressed by mouse: the driver's own click would first move the link to the middle of the window.
    webdriver.ActionChains(browser).move_to_element(link).click().perform()
    wait(browser, "return document.documentElement.classList.contains('is-playing')")
    wait(browser, "return document.querySelector('.player').getBoundingClientRect().top === 0")
    # Only while it plays: once the film ends, the player is no longer in the way.
    script = (
        "return document.documentElement.classList.contains('is-playing')"
        " && document.querySelectorAll('.row .jump')[3].getBoundingClientRect().top"
        " >= document.querySelector('.player').getBoundingClientRect().bottom"
    )
    wait(browser, script)
    browser.execute_script("document.querySelector('video').pause()")
    wait(browser, "return document.querySelector('.player').getBoundingClientRect().bottom < 0")


def test_captions_come_from_the_transcript(browser: webdriver.Chrome, folder: Path) -> None:
    """WCAG 2.2 SC 1.2.2 Captions."""
    visit(browser, folder / "report.html")
    browser.execute_script("document.querySelector('video').textTracks[0].mode = 'hidden'")
    cues = browser.execute_script(
        "return [...document.querySelector('video').textTracks[0].cues].map(c => [c.startTime, c.endTime, c.text])"
    )
    assert cues == [[s.start, s.end, s.text.strip()] for s in sample().transcript.segments]


def test_a_link_can_be_copied(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    browser.find_elements(By.CSS_SELECTOR, ".copy")[0].click()
    wait(
        browser,
        "return /^(Link copied|The link is in the address bar)/.test(document.querySelector('.notice').textContent)",
    )


def test_a_lost_film_is_said_to_be_lost(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "lost-film.html")
    wait(browser, "return !document.querySelector('.player-fault').hidden")
    assert "garganey-640-walk.webm" in browser.find_element(By.CSS_SELECTOR, ".player-fault").text


def test_without_javascript_all_can_be_read_and_played(browser: webdriver.Chrome, folder: Path) -> None:
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        browser.get((folder / "report.html").as_uri())
        assert not browser.find_element(By.CSS_SELECTOR, ".sift").is_displayed()
        assert len(shown(browser)) == 10
        link = browser.find_element(By.CSS_SELECTOR, ".row .jump")
        assert (link.get_attribute("href") or "").endswith("films/a%22b%3Cc%3E%231%20%3F.webm#t=2.5")
        link.click()
        WebDriverWait(browser, 10).until(lambda b: b.current_url.endswith(".webm#t=2.5"))
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


def test_print_has_everything_but_the_player(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    browser.find_element(By.ID, "sift-words").send_keys("weep")
    visible = "return document.querySelector('.transcript li').checkVisibility()"
    assert not browser.execute_script(visible)
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        assert not browser.find_element(By.TAG_NAME, "video").is_displayed()
        assert not browser.find_element(By.CSS_SELECTOR, ".sift").is_displayed()
        assert len(shown(browser)) == 10, "rows that the search hides are printed all the same"
        assert browser.execute_script(visible), "the transcript is opened"
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def test_marks_on_the_drawing_open_their_line_by_keyboard(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    find = browser.find_element(By.ID, "sift-words")
    find.send_keys("no line has these words")
    assert shown(browser) == []
    dot = browser.find_element(By.CSS_SELECTOR, ".view a.pin")
    number = dot.get_attribute("aria-label").split(",")[0]
    browser.execute_script("arguments[0].focus()", dot)
    webdriver.ActionChains(browser).send_keys(Keys.ENTER).perform()
    wait(browser, "return location.hash.startsWith('#finding-')")
    row = browser.find_element(By.CSS_SELECTOR, browser.execute_script("return location.hash"))
    wait(browser, "return !document.querySelector(location.hash).hidden")
    assert number in row.text


def test_a_mark_on_the_timeline_plays_from_there(browser: webdriver.Chrome, folder: Path) -> None:
    visit(browser, folder / "report.html")
    mark = browser.find_element(By.CSS_SELECTOR, ".timeline a.pin")
    browser.execute_script("arguments[0].focus()", mark)
    webdriver.ActionChains(browser).send_keys(Keys.ENTER).perform()
    start = float(mark.get_attribute("data-start"))
    WebDriverWait(browser, 10).until(lambda b: start <= time_of(b) < start + 3)
