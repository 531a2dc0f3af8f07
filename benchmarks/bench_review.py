"""Weight and first paint of the report page, and how long a change takes on the review page, at 200 findings.

    python benchmarks/bench_review.py [FINDINGS]

Needs the dev packages and Chromium. Each time stands beside a baseline of the same run: first paint beside that of an
empty page, a change beside the fsync of one line. Processor time is that of this process, in which the server runs.
"""

import gzip
import json
import os
import shutil
import statistics
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from walkround.narration.lexicon import load_lexicon
from walkround.pipeline import Job, make_report
from walkround.report.record import read_report
from walkround.review.server import prepared
from walkround.review.session import Session

RUNS = 15
FAULTS = ("has a scratch on it", "has a dent in it", "has a crack in it", "is corroded", "is loose")


def talk(amount: int) -> dict[str, object]:
    """A narration with so many faults, five seconds each; every fourth is heard weakly."""
    names = [part.name.lower() for part in load_lexicon().parts.values() if part.group not in ("paperwork", "running")]
    said = [f"The {name} {fault}." for fault in FAULTS for name in names][:amount]
    segments = []
    for n, text in enumerate(said):
        words, sure = text.split(), 0.3 if n % 4 == 0 else 0.95
        segments.append(
            {
                "start": n * 5.0, "end": n * 5.0 + 4, "text": text,
                "words": [
                    {"word": f" {w}", "start": n * 5 + k / 2, "end": n * 5 + k / 2 + 0.4, "probability": sure}
                    for k, w in enumerate(words)
                ],
            }
        )  # fmt: skip
    return {"segments": segments}


def paint(browser: Browser, address: str) -> float:
    """Seconds to the first contentful paint, the median of some fresh loads."""
    times = []
    for _ in range(5):
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(address)
        times.append(
            page.evaluate(
                "() => new Promise(done => new PerformanceObserver(list => { for (const e of list.getEntries())"
                " if (e.name === 'first-contentful-paint') done(e.startTime); })"
                ".observe({ type: 'paint', buffered: true }))"
            )
        )
        page.close()
    return statistics.median(times) / 1000


def timed(act: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the clock and of this process's processor (the server runs in it): medians of some runs."""
    clock, processor = [], []
    for _ in range(RUNS):
        start, used = time.perf_counter(), time.process_time()
        act()
        clock.append(time.perf_counter() - start)
        processor.append(time.process_time() - used)
    return statistics.median(clock), statistics.median(processor)


def line(what: str, times: tuple[float, float | None], baseline: float, beside: str) -> None:
    seconds, used = times
    processor = "" if used is None else f"{used * 1000:.1f} ms"
    print(f"{what:<58}{seconds * 1000:8.1f} ms{processor:>12}{seconds / baseline:9.1f} x {beside}")


def main(amount: int) -> None:
    with tempfile.TemporaryDirectory() as base, sync_playwright() as play:
        words = Path(base) / "words.json"
        words.write_text(json.dumps(talk(amount)), encoding="utf-8")
        folder = Path(base) / "out"
        make_report(Job(None, folder, words))
        report = read_report(folder / "report.json")
        page = (folder / "report.html").read_bytes()
        print(f"{len(report.findings)} findings")
        print(f"report page {len(page) / 1000:.0f} kB, {len(gzip.compress(page)) / 1000:.0f} kB gzipped")
        assets = Path(__file__).parents[1] / "walkround" / "review" / "assets"
        print(f"review page {sum(f.stat().st_size for f in assets.iterdir()) / 1000:.0f} kB")

        session = Session(folder, "bench")
        server, listening, address = prepared(session)
        session.start_writing()
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        chromium = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        empty = Path(base) / "empty.html"
        empty.write_text("<!DOCTYPE html><title>x</title><p>x")
        blank = paint(browser, empty.as_uri())
        print(f"{'':<58}{'clock':>11}{'processor':>12}")
        shown = paint(browser, (folder / "report.html").as_uri())
        line("first paint of the report page", (shown, None), blank, "an empty page")
        line("first paint of the review page", (paint(browser, address), None), blank, "an empty page")

        origin = "/".join(address.split("/")[:3])

        def ask(action: str, **more: object) -> bytes:
            body = json.dumps({"action": action, "revision": session.revision, **more}).encode()
            headers = {"Origin": origin, "Content-Type": "application/json"}
            request = urllib.request.Request(f"{address}act", body, headers)
            return bytes(urllib.request.urlopen(request).read())

        with (Path(base) / "line").open("wb") as file:

            def synced() -> None:
                file.write(b"x" * 1000)
                file.flush()
                os.fsync(file.fileno())

            written = timed(synced)
            one = written[0]
        rows = iter([row.id for row in report.findings if row.review] * 20)
        line("one line onto the disk (fsync)", written, one, "itself")
        line("confirm, from request to answer", timed(lambda: ask("confirm", row=next(rows))), one, "fsync")
        line(
            "change, from request to answer",
            timed(lambda: ask("change", row="f9", fields={"severity": ("serious", "moderate")[session.revision % 2]})),
            one,
            "fsync",
        )
        line("undo, from request to answer", timed(lambda: ask("undo")), one, "fsync")
        word = session.report.transcript.segments[3].words[1]

        def correct() -> None:
            now = session.report.transcript.segments[3].words[1].text
            ask("correct", source=0, start=word.start, heard=now, put=now.swapcase())

        line("a word put right, everything read again", timed(correct), one, "fsync")

        tab = browser.new_page(viewport={"width": 1280, "height": 900})
        tab.goto(address)
        tab.wait_for_selector("body[data-ready]")
        line("confirm, from the key to the page that shows it", timed(lambda: key(tab)), one, "fsync")
        browser.close()
        server.should_exit = True
        thread.join()
        session.stop_writing()


def key(tab: object) -> None:
    tab.evaluate(  # type: ignore[attr-defined]
        """() => new Promise((done) => {
          const seen = new MutationObserver(() => { seen.disconnect(); requestAnimationFrame(() => done()); });
          seen.observe(document.getElementById('rest'), { childList: true });
          document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'c', bubbles: true }));
        })"""
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
