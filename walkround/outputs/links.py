"""Links to a moment of a film that was uploaded."""

from urllib.parse import urlsplit, urlunsplit

from walkround.errors import InputError, shown
from walkround.report.wording import seconds

#: Endings of files that a browser plays by itself; their moments are Media Fragments (W3C, URI 1.0).
_FILES = (".mp4", ".m4v", ".mov", ".webm", ".mkv", ".ogv")


def checked_url(url: str) -> str:
    """The address, if it is one of the web. Raises InputError."""
    try:
        parts = urlsplit(url)
        usable = parts.scheme in ("http", "https") and bool(parts.hostname) and url.isprintable() and " " not in url
    except ValueError:
        usable = False
    if not usable:
        raise InputError(f"{shown(url)}: is no web address; give one that begins with https://.")
    return url


def is_file_url(url: str) -> bool:
    """Whether the address is that of the film itself, not of a page that shows it."""
    return urlsplit(url).path.lower().endswith(_FILES)


def at_moment(url: str, start: float) -> str:
    """The address of a moment. ``{t}`` in the address becomes whole seconds, rounded down; a film itself gets a
    media fragment ``#t=``; the page of a video host gets ``t=`` in its query (as large hosts read it)."""
    if "{t}" in url:
        return url.replace("{t}", str(int(start)))
    parts = urlsplit(url)
    if is_file_url(url):
        return urlunsplit(parts._replace(fragment=f"t={seconds(start)}"))
    query = "&".join(part for part in (parts.query, f"t={int(start)}") if part)
    return urlunsplit(parts._replace(query=query))
