"""The report page as text: what it says, and that nothing spoken gets out of hand."""

import hashlib
import itertools
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from page_sample import HOSTILE, Seen, hostile, page, sample

from walkround.report.page import render_page
from walkround.report.record import Media, Report
from walkround.report.wording import path_href, seconds


def texts(value: object) -> Iterator[str]:
    """Every text in a record."""
    if isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)
    elif isinstance(value, str):
        yield value


def test_every_row_jumps_to_its_exact_start() -> None:
    report = sample()
    seen = Seen(page(report))
    rows = seen.all("li", class_="row")
    assert [a["data-at"] for a in rows] == [
        "2.5",
        "8.2",
        "3.4",
        "5.75",
        "10.9",
        "1.25",
        "4.1",
        "4.6",
        "6.5",
        "6.5",
        "7.3",
    ]
    jumps = [a for a in seen.all("a", class_="jump") if not {"small", "pin"} & set((a["class"] or "").split())]
    assert [a["data-start"] for a in jumps] == [a["data-at"] for a in rows]
    assert all(a["href"] == f"walk.webm#t={a['data-start']}" for a in seen.all("a", class_="jump"))
    assert [a["href"] for a in seen.all("a", class_="copy")] == [f"#t={a['data-at']}" for a in rows]
    told = [*report.measurements, *report.promises, *report.guesses, *report.included, *report.excluded]
    told += [*report.repaired, *report.withdrawn, *report.chapters]
    told += [e for c in report.checklist for e in c.evidence] + report.transcript.segments
    starts = {a["data-start"] for a in seen.all("a", class_="jump")}
    assert {seconds(x.start) for x in told} | {seconds(w.taken_back_at) for w in report.withdrawn} <= starts


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (83.2, "83.2"), (100.0, "100"), (83.19999999999999, "83.2"), (3723.0625, "3723.062")],
)
def test_seconds_are_plain_decimals(value: float, text: str) -> None:
    assert seconds(value) == text


def test_the_first_row_at_a_moment_is_where_its_link_leads() -> None:
    ids = [a["id"] for _, a in Seen(page(sample())).elements if a.get("id")]
    assert len(ids) == len(set(ids)), "an id twice"
    assert {"t=2.5", "t=6.5", "t=7.3"} <= set(ids)


def test_the_film_has_controls_and_waits_to_be_played() -> None:
    """WCAG 2.2 SC 1.4.2 Audio Control: nothing plays by itself."""
    assert set(Seen(page(sample())).all("video")[0]) == {
        "controls",
        "playsinline",
        "preload",
        "src",
        "aria-label",
        "width",
        "height",
    }


def test_a_film_on_its_side_keeps_its_shape() -> None:
    report = sample()
    for rotation, shape in (
        (0, ("640", "360")),
        (90, ("360", "640")),
        (180, ("640", "360")),
        (270, ("360", "640")),
    ):
        media = report.media.model_copy(update={"rotation": rotation})
        seen = Seen(page(report.model_copy(update={"media": media})))
        shapes = {(a["width"], a["height"]) for a in [*seen.all("video"), *seen.all("img")]}
        assert shapes == {shape}


def test_every_state_is_in_words() -> None:
    text = Seen(page(sample())).text
    for words in (
        "Fault spoken of",
        "Said to be in order",
        "Named, nothing said of its condition",
        "Not mentioned",
    ):
        assert words in text
    for words in (
        "Serious",
        "Moderate",
        "Minor",
        "The narrator is unsure",
        "Needs a person’s look:",
        "Heard as",
    ):
        assert words in text
    assert "It is not a roadworthiness inspection." in text
    assert "“Not mentioned” does not mean “no fault”." in text
    assert "Front brake disc, both sides: wear" in text
    assert "Left-hand fork leg: leak" in text


def test_the_summary_counts_what_the_record_holds() -> None:
    text = " ".join(Seen(page(sample())).text.split())
    assert "The narrator spoke of 11 marks and faults. 2 need a person’s look" in text
    assert "1 of them could not be tied to a part. 5 items of the 25 on the checklist were not mentioned." in text
    assert (
        "A fault, past or present, was spoken of: Left-hand fork leg, Front brake disc, Rear tyre and Rear wheel."
        in text
    )
    assert "Nothing was said of: Front tyre." in text
    assert "Have tyres, brakes and steering checked by a qualified mechanic." in text


def test_an_empty_record_claims_nothing() -> None:
    full = sample()
    bare = Report(tool=full.tool, media=Media(), transcript=full.transcript)
    text = " ".join(Seen(page(bare, None)).text.split())
    assert "no marks and faults" in text
    assert "That does not mean there is none." in text
    assert "No checklist was used, so this page cannot say what was left out." in text
    assert "made from a transcript, without a video" in text
    assert "in order" not in text
    for title in ("Measurements", "What else was said", "not tied to a part", "Warnings"):
        assert title not in text


def test_without_a_video_there_is_no_player_and_no_jump() -> None:
    seen = Seen(page(sample(), None))
    assert not seen.all("video")
    assert not seen.all("a", class_="jump")
    assert not seen.all("a", class_="copy")
    assert "0:08" in seen.text


def test_estimated_times_are_called_estimates() -> None:
    report = sample()
    assert "estimates" not in page(report)
    estimated = report.model_copy(update={"transcript": report.transcript.model_copy(update={"timing": "estimated"})})
    assert page(estimated).count("estimates") == 2


def test_words_that_were_heard_badly_are_marked_and_none_is_lost() -> None:
    report = sample()
    assert page(report).count('<span class="unsure"') == 2
    first = report.transcript.segments[0]
    short = first.model_copy(update={"words": first.words[:-1]})
    fewer = report.model_copy(update={"transcript": report.transcript.model_copy(update={"segments": [short]})})
    assert first.text.strip() in Seen(page(fewer)).text


def test_hostile_text_comes_through_as_text() -> None:
    report = hostile()
    names = {
        "part_names": {"chain": HOSTILE},
        "group_names": {"rear": HOSTILE},
        "defect_names": {"wear": HOSTILE},
    }
    html = render_page(report, **names, safety_parts={"chain"}, video_href='../films/a"b<c>#1 ?.mp4')
    seen = Seen(html)
    plain = Seen(page(sample()))
    ours = [a for t, a in seen.elements if t == "script"]
    assert ours == [{}], "one script element, ours, without attributes"
    assert seen.raw["script"] == plain.raw["script"]
    assert seen.raw["style"] == plain.raw["style"]
    assert {t for t, _ in seen.elements} <= {t for t, _ in plain.elements}
    assert not [a for _, a in seen.elements if any(name.startswith("on") or name == "style" for name in a)]
    assert "pwned" not in "".join(seen.raw["script"])
    data = report.model_dump(mode="json")
    for row in [*data["findings"], *data["unplaced"], *data["checklist"]]:
        for not_shown in ("id", "group", "still", "clip", "trace"):
            row.pop(not_shown, None)
    for row in [*data["chapters"], *data["transcript"]["segments"]]:
        row.pop("group", None)
        row.pop("words", None)
    for row in data["measurements"]:
        assert row.pop("quantity").replace("-", " ").replace("_", " ") in seen.text
    data["bike"]["mileage_unit"].pop("quote")  # the unit stands with the mileage
    missing = [text for text in texts(data) if HOSTILE in text and text not in seen.text]
    assert not missing
    assert seen.text.count(f": {HOSTILE}") >= 2, "the names of parts and defects"


def test_links_to_files_are_encoded() -> None:
    report = hostile()
    seen = Seen(page(report, '../films/a"b<c>#1 ?.mp4'))
    assert seen.all("video")[0]["src"] == "../films/a%22b%3Cc%3E%231%20%3F.mp4"
    assert [unquote(a["src"] or "") for a in seen.all("img", class_="still")] == [
        f.still
        for f in sorted(report.findings, key=lambda f: (["serious", "moderate", "minor"].index(f.severity), f.start))
        if f.still
    ]
    for _, attributes in seen.elements:
        for name in ("href", "src"):
            parts = urlsplit(attributes.get(name) or "")
            assert not parts.scheme
            assert not parts.netloc


@pytest.mark.parametrize(
    ("path", "href"),
    [
        ("walk.mp4", "walk.mp4"),
        ("../films/My bike #1.mp4", "../films/My%20bike%20%231.mp4"),
        # RFC 3986 section 2.1 and its section 2.5 example: the letter A with grave is %C3%80 in UTF-8.
        ("À.mp4", "%C3%80.mp4"),
        ("100%.mp4", "100%25.mp4"),
        ("javascript:alert(1)", "javascript%3Aalert%281%29"),
        ("//elsewhere/walk.mp4", "/elsewhere/walk.mp4"),
        ("\\\\elsewhere\\walk.mp4", "%5C%5Celsewhere%5Cwalk.mp4"),
        ("\udcff.mp4", "%FF.mp4"),
    ],
)
def test_a_path_becomes_a_relative_link(path: str, href: str) -> None:
    assert path_href(path) == href


def test_nothing_is_asked_of_another_host() -> None:
    html = page(sample())
    assert not re.search(r"https?:|//[a-z]|url\(|@import|fetch\(|XMLHttp", html)
    policy = next(a["content"] or "" for a in Seen(html).all("meta") if a.get("http-equiv"))
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy


def test_headings_are_in_order() -> None:
    for report in (sample(), Report(tool=sample().tool, media=Media(), transcript=sample().transcript)):
        levels = [int(t[1]) for t, _ in Seen(page(report)).elements if re.fullmatch(r"h[1-6]", t)]
        assert levels[0] == 1
        assert levels.count(1) == 1
        assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_labels_and_references_lead_somewhere() -> None:
    seen = Seen(page(sample()))
    ids = {a["id"] for _, a in seen.elements if a.get("id")}
    for tag, attributes in seen.elements:
        for name in ("for", "aria-labelledby"):
            assert attributes.get(name, next(iter(ids))) in ids, (tag, attributes)
        href = attributes.get("href") or ""
        if href.startswith("#") and "copy" not in (attributes.get("class") or ""):
            assert href[1:] in ids
    assert all(a.get("alt") for a in seen.all("img", class_="still"))
    assert all("alt" in a for a in seen.all("img"))
    assert seen.all("html")[0]["lang"] == "en-GB"


def test_the_same_record_gives_the_same_bytes_anywhere() -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); import page_sample as t, hashlib;"
        "print(hashlib.sha256(t.page(t.sample()).encode()).hexdigest())"
    )
    sums = {
        subprocess.run(
            [sys.executable, "-c", code, str(Path(__file__).parent)],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed, zone in (("1", "Asia/Tokyo"), ("2", "America/New_York"))
    }  # fmt: skip
    assert sums == {hashlib.sha256(page(sample()).encode()).hexdigest() + "\n"}


def test_no_grades_and_no_stars() -> None:
    html = page(sample())
    assert not re.search(r"[★☆⭐]|\bgrade|\bscore|out of (5|10)\b", html)
    for colour in re.findall(r"#([0-9a-f]{6})\b", "".join(Seen(html).raw["style"])):
        red, green, blue = (int(colour[i : i + 2], 16) for i in (0, 2, 4))
        # Red, amber and green as lamps have them: one or both of red and green far above blue.
        assert max(red, green) - blue < 60, f"#{colour} could be taken for a lamp"
