"""The one file in a real browser, opened from disk: its policy lets its own pictures in and nothing else."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from drawn_stills import with_stills
from selenium import webdriver
from selenium.webdriver.common.by import By

from walkround.outputs.material import Material
from walkround.outputs.sharing import single_file
from walkround.report.record import Report

pytestmark = pytest.mark.browser


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[webdriver.Chrome]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    driver = shutil.which("chromedriver")
    if not chromium or not driver:
        pytest.fail("this test needs Chromium and ChromeDriver: install the packages chromium and chromium-driver")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for switch in (
        "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync", f"--user-data-dir={tmp_path / 'profile'}",
    ):  # fmt: skip
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    with webdriver.Chrome(options=options, service=webdriver.ChromeService(driver)) as chrome:
        yield chrome


def test_one_file_shows_every_picture_alone_in_a_folder(
    browser: webdriver.Chrome, demo: Report, tmp_path: Path
) -> None:
    report = with_stills(demo, tmp_path / "round")
    alone = tmp_path / "alone"
    alone.mkdir()
    page = single_file(Material(report, tmp_path / "round", ()), None, "https://host.example/watch?v=a")
    (alone / "report.html").write_text(page, encoding="utf-8")
    shutil.rmtree(tmp_path / "round")
    browser.get((alone / "report.html").as_uri())
    pictures = browser.find_elements(By.CSS_SELECTOR, "img.still")
    assert len(pictures) == len(report.findings)
    for picture in pictures:
        browser.execute_script("arguments[0].scrollIntoView()", picture)
    widths = browser.execute_async_script(
        "const done = arguments[0];"
        "for (const i of document.images) i.loading = 'eager';"
        "Promise.all([...document.images].map(i => i.decode().then(() => i.naturalWidth, () => 0))).then(done)"
    )
    assert set(widths) == {320}
    link = browser.find_element(By.CSS_SELECTOR, "li.row a.jump")
    assert link.get_attribute("href").startswith("https://host.example/watch?v=a&t=")
    assert [line for line in browser.get_log("browser") if line["level"] == "SEVERE"] == []
