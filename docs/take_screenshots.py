"""Take the screenshots in this folder: ``python docs/take_screenshots.py``. Needs the dev packages and Chromium.

Both pages of the demo bike, on a desk and on a phone. To have something to settle, the recogniser's certainty is
lowered for some of the script's sentences; everything else is as `walkround demo` makes it.
"""

import json
import shutil
import sys
import tempfile
import threading
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from walkround.demo import demo_film  # noqa: E402
from walkround.pipeline import Job, make_report  # noqa: E402
from walkround.review.server import prepared  # noqa: E402
from walkround.review.session import Session  # noqa: E402

SIZES = {"desk": (1280, 900), "phone": (390, 844)}
UNSURE = 5  #: every so many sentences one is heard weakly


def demo_folder(base: Path) -> Path:
    """The demo bike's folder, with some lines that need a person."""
    film = Path(shutil.copy(demo_film(), base / demo_film().name))
    sentences = json.loads((HERE.parent / "demo_media" / "sentences.json").read_text(encoding="utf-8"))["sentences"]
    segments = []
    for number, sentence in enumerate(sentences):
        words = sentence["text"].split()
        step = (sentence["end"] - sentence["start"]) / len(words)
        segments.append(
            {
                **{key: sentence[key] for key in ("start", "end", "text")},
                "words": [
                    {
                        "word": f" {word}",
                        "start": sentence["start"] + n * step,
                        "end": sentence["start"] + (n + 1) * step,
                        "probability": 0.3 if number % UNSURE == UNSURE - 1 else 0.95,
                    }
                    for n, word in enumerate(words)
                ],
            }
        )
    (base / "words.json").write_text(json.dumps({"segments": segments}), encoding="utf-8")
    make_report(Job(film, base / "report", base / "words.json"))
    return base / "report"


def take(page: Page, name: str) -> None:
    """One picture, when the film has a frame to show."""
    page.wait_for_function("() => !document.querySelector('video') || document.querySelector('video').readyState >= 2")
    page.wait_for_timeout(600)
    page.screenshot(path=str(HERE / f"{name}.png"))
    print(f"docs/{name}.png")


def main() -> None:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with tempfile.TemporaryDirectory() as base, sync_playwright() as play:
        folder = demo_folder(Path(base))
        session = Session(folder, "Pebblegate Motorcycles")
        server, listening, address = prepared(session)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--mute-audio"])
        for size, (width, height) in SIZES.items():
            page = browser.new_page(viewport={"width": width, "height": height}, has_touch=size == "phone")
            page.goto(address)
            page.wait_for_selector("body[data-ready]")
            page.keyboard.press("ArrowDown")
            take(page, f"review-{size}")
        while session.report.findings and any(row.review for row in session.report.findings):
            row = next(row for row in session.report.findings if row.review)
            session.act("confirm", {"row": row.id}, session.revision)
        session.act("sign", {"who": "Pebblegate Motorcycles"}, session.revision)
        session.save()
        for size, (width, height) in SIZES.items():
            page = browser.new_page(viewport={"width": width, "height": height}, has_touch=size == "phone")
            page.goto((folder / "report.html").as_uri())
            page.evaluate("() => { document.querySelector('video').currentTime = 23; }")
            take(page, "page" if size == "desk" else f"page-{size}")
        browser.close()
        server.should_exit = True
        thread.join()
        listening.close()


if __name__ == "__main__":
    main()
