"""The page as one file and as a folder: nothing missing, nothing reached for, links into the uploaded film."""

import base64
import re
import shutil
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from drawn_stills import jpeg, with_stills
from page_sample import Seen
from telling import told

from walkround.errors import InputError
from walkround.narration.reader import Reader
from walkround.outputs.links import checked_url
from walkround.outputs.material import Material
from walkround.outputs.sharing import share_folder, shared_page, single_file
from walkround.report.record import Report, Still

HOST = "https://host.example/watch?v=a&b=\"'<c>".replace("\"'<c>", "%22%3Cc%3E")


@pytest.fixture
def made(demo: Report, tmp_path: Path) -> Material:
    report = with_stills(demo, tmp_path / "round")
    report.findings[0].other_stills = [Still(file="stills/more.jpg", time=1.0)]
    report.findings[1].clip = "clips/one.mp4"
    (tmp_path / "round" / "stills" / "more.jpg").write_bytes(jpeg())
    (tmp_path / "round" / "clips").mkdir()
    (tmp_path / "round" / "clips" / "one.mp4").write_bytes(b"clip")
    film = tmp_path / "film & 1.mp4"
    film.write_bytes(b"film")
    return Material(report, tmp_path / "round", (film,))


def policy(page: str) -> dict[str, str]:
    text = next(a["content"] or "" for a in Seen(page).all("meta") if a.get("http-equiv") == "Content-Security-Policy")
    return {part.split()[0]: " ".join(part.split()[1:]) for part in text.split(";") if part.strip()}


def test_one_file_holds_every_picture(made: Material) -> None:
    page = single_file(made, "../film & 1.mp4", None)
    seen = Seen(page)
    pictures = [a["src"] or "" for a in seen.all("img")]
    assert len(pictures) >= len(made.report.findings)
    for source in pictures:
        assert source.startswith("data:image/jpeg;base64,")
        assert base64.b64decode(source.partition(",")[2], validate=True)[:3] == b"\xff\xd8\xff"
    assert policy(page)["img-src"] == "data:"
    assert policy(page)["default-src"] == "'none'"
    assert "clips/" not in page
    assert seen.all("video")[0]["src"] == "../film%20%26%201.mp4"


def test_one_file_is_the_same_bytes_each_time(made: Material) -> None:
    assert single_file(made, None, None) == single_file(made, None, None)


def test_a_folder_that_can_be_served_anywhere(made: Material, tmp_path: Path) -> None:
    out = tmp_path / "served"
    index = share_folder(made, out, None)
    moved = tmp_path / "elsewhere"
    shutil.move(out, moved)
    seen = Seen((moved / index.name).read_text(encoding="utf-8"))
    links = [a["src"] or "" for tag in ("img", "video") for a in seen.all(tag)]
    links += [a["href"] or "" for a in seen.all("a") if not (a["href"] or "").startswith("#")]
    assert len(links) > 40
    for link in links:
        parts = urlsplit(link)
        assert (parts.scheme, parts.netloc) == ("", "")
        path = (moved / unquote(parts.path)).resolve()
        assert path.is_relative_to(moved.resolve())
        assert path.is_file(), link


def test_links_lead_into_the_uploaded_film(demo: Report) -> None:
    page = shared_page(demo, "walk.mp4", HOST)
    seen = Seen(page)
    assert seen.all("video") == []
    jumps = {a["href"] for a in seen.all("a", class_="jump")}
    for row in (*demo.findings, *demo.chapters, *demo.promises):
        assert f"{HOST}&t={int(row.start)}" in jumps
    assert all(a.get("rel") == "noreferrer" for a in seen.all("a", class_="jump"))
    assert "The film is online" in seen.text
    assert "made from a transcript" not in seen.text


def test_a_film_that_was_uploaded_as_a_file_is_played(demo: Report) -> None:
    url = "https://films.example:8443/walk%20round.mp4"
    page = shared_page(demo, None, url)
    assert Seen(page).all("video")[0]["src"] == url
    assert policy(page)["media-src"] == "https://films.example:8443"
    assert {a["href"] for a in Seen(page).all("a", class_="jump")} >= {f"{url}#t={demo.findings[0].start:g}"}


def test_without_an_address_the_page_is_that_of_the_report(demo: Report) -> None:
    from walkround.narration.lexicon import load_lexicon
    from walkround.pipeline import page_of

    assert shared_page(demo, "walk.mp4", None) == page_of(demo, load_lexicon(), "walk.mp4")


@pytest.mark.parametrize(
    "url",
    [
        "javascript:alert(1)",
        "file:///etc/passwd",
        "//host/x",
        "https://",
        "ftp://a/b",
        "https://a b/c",
        "https://[x",
        "",
    ],
)
def test_what_is_no_web_address_is_refused(url: str) -> None:
    with pytest.raises(InputError, match="no web address"):
        checked_url(url)


def test_several_films_have_no_one_address(reader: Reader) -> None:
    lines = [(0.0, 5.0, "The left mirror has a scratch.")]
    with pytest.raises(InputError, match="several films"):
        shared_page(told(reader, lines, lines), None, "https://host.example/v")


def test_a_folder_holds_every_film_and_leads_to_each(reader: Reader, tmp_path: Path) -> None:
    """Also where two films have one name, as two phones give them."""
    report = told(reader, *[[(0.0, 5.0, "The left mirror has a scratch.")], [(1.0, 5.0, "The seat has a tear.")]])
    films = tuple(tmp_path / name / "IMG & 1.mp4" for name in ("first", "second"))
    for film in films:
        film.parent.mkdir()
        film.write_bytes(film.parent.name.encode())
    made = Material(report, tmp_path, films)
    index = share_folder(made, tmp_path / "out", None)
    links = {str(a["href"]).split("#")[0] for a in Seen(index.read_text("utf-8")).all("a", class_="jump")}
    assert links == {"IMG%20%26%201.mp4", "film-2-IMG%20%26%201.mp4"}
    held = {unquote(link): (index.parent / unquote(link)).read_bytes() for link in links}
    assert held == {"IMG & 1.mp4": b"first", "film-2-IMG & 1.mp4": b"second"}
    page = single_file(made, "../first/a.mp4", None, ["../second/a.mp4"])
    assert 'href="../second/a.mp4#t=1" data-start="1" data-source="1"' in page
    films[1].unlink()
    with pytest.raises(InputError, match="its film is not there"):
        share_folder(made, tmp_path / "again", None)


@pytest.mark.parametrize("name", ["../secret.jpg", "stills/../../secret.jpg"])
def test_a_picture_outside_the_folder_is_refused(made: Material, tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.jpg").write_bytes(jpeg())
    made.report.findings[0].still = name
    with pytest.raises(InputError, match="outside the folder"):
        single_file(made, None, None)
    with pytest.raises(InputError, match="outside the folder"):
        share_folder(made, tmp_path / "out", None)


def test_a_picture_that_is_none_or_missing_is_told(made: Material) -> None:
    still = made.report.findings[0].still
    assert still
    (made.folder / still).write_text("<svg onload=alert(1)>")
    with pytest.raises(InputError, match="no JPEG"):
        single_file(made, None, None)
    (made.folder / still).unlink()
    with pytest.raises(InputError, match="cannot be read"):
        single_file(made, None, None)


def test_hostile_words_stay_text(hostile: Report, tmp_path: Path) -> None:
    page = single_file(Material(hostile, tmp_path, ()), None, "https://host.example/?v=%3Cscript%3E")
    assert len(re.findall("<script", page)) == 1
    assert "<script>alert(1)</script>" in Seen(page).text
