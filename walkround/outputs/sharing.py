"""The page as one self-contained file, and a folder that can be served anywhere."""

import base64
import html
import re
import shutil
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path, PurePosixPath
from urllib.parse import urlsplit

from walkround.errors import InputError, OutputError, shown
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.outputs.links import at_moment, is_file_url
from walkround.outputs.material import Material
from walkround.outputs.writing import make_folder, write_files
from walkround.report.page import render_page
from walkround.report.record import Report
from walkround.report.wording import path_href
from walkround.trade.glossary import terms_of

_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG": "image/png", b"RIFF": "image/webp"}


def shared_page(
    report: Report,
    video_href: str | None,
    video_url: str | None,
    lexicon: Lexicon | None = None,
    added_hrefs: Sequence[str | None] = (),
) -> str:
    """The page of a record, made from the record alone; the names in it are the record's own.

    ``lexicon`` (ours, where none is given) says where parts are on the drawing and what terms mean. ``video_href`` is
    the path from the page to the film; ``video_url`` the address of the uploaded copy, which is played if it is the
    film itself and linked to where it is a host's page. ``added_hrefs`` are the paths to the further films, in order.
    """
    if video_url and report.added:
        raise InputError("--video-url: this report is of several films; give it for a report of one film.")
    names, lexicon = report.names, lexicon or load_lexicon()
    text = render_page(
        report,
        part_names=names.parts,
        group_names=names.groups,
        defect_names=names.defects,
        safety_parts=names.safety,
        video_href=None if video_url else video_href,
        online=video_url.partition("#")[0] if video_url else None,
        online_plays=video_url is not None and is_file_url(video_url),
        moment_url=at_moment,
        added_hrefs=added_hrefs,
        terms=terms_of(report, lexicon),
        places=lexicon.trees["places.toml"],
    )
    if video_url and is_file_url(video_url):
        parts = urlsplit(video_url)
        text = _admit(text, "media-src", f"{parts.scheme}://{parts.netloc}")
    return text


def single_file(
    material: Material, video_href: str | None, video_url: str | None, added_hrefs: Sequence[str | None] = ()
) -> str:
    """The page with every picture inside it; the films stay outside, by link. Clips are left out."""
    bare = material.report.model_copy(deep=True)
    for row in (*bare.findings, *bare.unplaced):
        row.clip = None
    text = shared_page(bare, video_href, video_url, material.lexicon(), added_hrefs)
    for name in sorted(set(stills(bare))):  # whatever attribute of the page leads to them
        text = text.replace(f'"{html.escape(path_href(name))}"', f'"{picture_uri(material.folder, name)}"')
    return _admit(text, "img-src", "data:")


def share_folder(material: Material, out: Path, video_url: str | None) -> Path:
    """A folder with the page, its pictures, its clips and (without an address for it) the films; links are relative.

    A film that is not there any more is refused, but for words that never had one. Raises InputError and OutputError.
    """
    report = material.report
    make_folder(out)
    for name in sorted({*stills(report), *clips(report)}):
        _copy(_inside(material.folder, name), out / PurePosixPath(name))
    hrefs: list[str | None] = []
    for number, known in enumerate(material.films if video_url is None else ()):
        hrefs.append(_film_name(known, number, hrefs) if known else None)
        if known:
            _copy(material.film(number), out / str(hrefs[-1]))
    first, *added = hrefs or [None]
    text = shared_page(report, first, video_url, material.lexicon(), added)
    (page,) = write_files(out, {"index.html": text.encode()}, report)
    return page


def _film_name(path: Path, number: int, taken: Collection[str | None]) -> str:
    """The name of a film in the folder: its own, unless another one has that (phones name alike, ``IMG_0001``)."""
    alike = path.name.casefold() in {name.casefold() for name in taken if name} or path.name == "index.html"
    return f"film-{number + 1}-{path.name}" if alike else path.name


def stills(report: Report) -> Iterator[str]:
    """Every picture of the record, as the folder has it."""
    for row in (*report.findings, *report.unplaced):
        if row.still:
            yield row.still
        yield from (still.file for still in row.other_stills)
    yield from (check.still for check in report.checklist if check.still)


def clips(report: Report) -> Iterator[str]:
    """Every clip of the record."""
    yield from (row.clip for row in (*report.findings, *report.unplaced) if row.clip)


def picture(folder: Path, name: str) -> bytes:
    """The bytes of a picture of the record. Raises InputError where it is missing."""
    path = _inside(folder, name)
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{shown(path)}: cannot be read ({error.strerror}); make the report again.") from None


def picture_uri(folder: Path, name: str) -> str:
    """A picture as a data URI."""
    data = picture(folder, name)
    return f"data:{_kind(data, name)};base64,{base64.b64encode(data).decode()}"


def _inside(folder: Path, name: str) -> Path:
    """The file of a record, which must lie in its folder: a record from elsewhere may name any path."""
    path = (folder / name).resolve()
    if not path.is_relative_to(folder.resolve()):
        raise InputError(f"{shown(name)}: lies outside the folder of the report; make the report again.")
    return path


def _kind(data: bytes, name: str) -> str:
    for head, kind in _KINDS.items():
        if data.startswith(head):
            return kind
    raise InputError(f"{shown(name)}: is no JPEG, PNG or WebP picture; make the report again.")


def _admit(text: str, directive: str, source: str) -> str:
    """Set one directive of the page's Content-Security-Policy."""
    changed, found = re.subn(rf"({directive}) [^;\"]*", lambda m: f"{m[1]} {html.escape(source)}", text, count=1)
    assert found, f"the page has no {directive}"
    return changed


def _copy(source: Path, target: Path) -> None:
    beside = target.with_name(f".{target.name}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.exists() and target.samefile(source):
            return
        shutil.copyfile(source, beside)
        beside.replace(target)
    except OSError as error:
        raise OutputError(f"{shown(target)}: cannot be written ({error.strerror}); choose another --out.") from None
    finally:
        beside.unlink(missing_ok=True)
