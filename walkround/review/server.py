"""The review page's server: on this computer only, for one folder, for as long as the command runs."""

import gc
import html
import json
import mimetypes
import re
import secrets
import socket
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Route

from walkround.errors import OutputError, WalkroundError
from walkround.pictures.hashes import named_pictures
from walkround.pipeline import page_of
from walkround.review import view
from walkround.review.guard import Guard
from walkround.review.session import Session, StaleError
from walkround.timecode import vtt_clock

_TYPES = {".js": "text/javascript", ".css": "text/css", ".html": "text/html", ".svg": "image/svg+xml"}
_META_POLICY = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]+)"')


class Pages:
    """What is answered, for one session."""

    def __init__(self, session: Session) -> None:
        self.session = session
        folder = resources.files("walkround.review") / "assets"
        self.assets = {asset.name: asset.read_bytes() for asset in folder.iterdir()}

    def app(self) -> Starlette:
        """The application, to be put behind a Guard."""
        return Starlette(
            routes=[
                Route("/", self.shell),
                Route("/state", self.state),
                Route("/act", self.act, methods=["POST"]),
                Route("/film/{source:int}", self.film),
                Route("/captions/{source:int}", self.captions),
                Route("/page", self.page),
                Route("/static/{name}", self.static),
                Route("/{name:path}", self.named),
            ]
        )

    async def shell(self, _: Request) -> Response:
        """The page itself: nothing of the report is in it, the script fills it."""
        return Response(self.assets["review.html"], media_type="text/html")

    async def static(self, request: Request) -> Response:
        """A style sheet or script of ours."""
        name = request.path_params["name"]
        if name not in self.assets:
            return _missing()
        return Response(self.assets[name], media_type=_TYPES.get(Path(name).suffix))

    async def state(self, request: Request) -> Response:
        """What the page shows; nothing (204) where it has that already: ``?have=REVISION``."""
        have = request.query_params.get("have")
        return await run_in_threadpool(self._state, have)

    def _state(self, have: str | None) -> Response:
        with self.session.lock:
            if have == str(self.session.revision):
                return Response(status_code=204)
            return JSONResponse(self._whole())

    def _whole(self) -> dict[str, Any]:
        session, report = self.session, self.session.report
        playable = [self._film(n) is not None for n in range(len(session.heard.films))]
        return {
            **view.state(report, session.now, session.log, session.lexicon),
            **view.choices(session.lexicon),
            "films": view.films(report, playable),
            "words": view.words(report),
            "who": session.who,
        }

    async def act(self, request: Request) -> Response:
        """A change: ``{"action", "revision", ...}``. The new state comes back, with the words where they changed."""
        try:
            asked = json.loads(await request.body())
        except (ValueError, RecursionError):
            asked = None
        if not isinstance(asked, dict):
            return JSONResponse({"error": "That could not be read."}, 400)
        return await run_in_threadpool(self._act, asked)

    def _act(self, asked: dict[str, Any]) -> Response:
        action, revision = str(asked.pop("action", "")), asked.pop("revision", None)
        session = self.session
        with session.lock:
            try:
                if type(revision) is not int:
                    raise StaleError("The page did not say which state it shows.")
                if action == "try":
                    return JSONResponse(session.try_word(asked))
                anew = self._changed(action, asked, revision)
            except StaleError as error:
                return JSONResponse({"error": str(error), "state": self._whole()}, 409)
            except WalkroundError as error:
                return JSONResponse({"error": str(error)}, 507 if isinstance(error, OutputError) else 422)
            if anew:
                return JSONResponse(self._whole())
            return JSONResponse(view.state(session.report, session.now, session.log, session.lexicon))

    def _changed(self, action: str, asked: dict[str, Any], revision: int) -> bool:
        if action == "teach":
            self.session.teach(asked, revision)
            return True
        return self.session.act(action, asked, revision)

    def _film(self, source: int) -> Path | None:
        films = self.session.heard.films
        if not 0 <= source < len(films):
            return None
        name = films[source].path
        path = self.session.path / name if name else None
        return path if path and path.is_file() else None

    async def film(self, request: Request) -> Response:
        """A film, whole or the ranges that were asked for."""
        path = self._film(request.path_params["source"])
        if path is None:
            return _missing()
        return FileResponse(path, media_type=mimetypes.guess_type(path.name)[0] or "video/mp4")

    async def captions(self, request: Request) -> Response:
        """The words of a film as WebVTT, as they stand now."""
        report = self.session.report
        transcripts = [report.transcript, *report.added_transcripts]
        source = request.path_params["source"]
        if not 0 <= source < len(transcripts):
            return _missing()
        cues = ["WEBVTT"]
        for segment in transcripts[source].segments:
            text = segment.text.strip().replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
            end = max(segment.end, segment.start + 0.1)
            cues.append(f"{vtt_clock(segment.start)} --> {vtt_clock(end)}\n{' '.join(text.split())}")
        return Response("\n\n".join(cues) + "\n", media_type="text/vtt")

    async def page(self, _: Request) -> Response:
        """The report page as it is now, bound by its own policy."""
        text = await run_in_threadpool(self._page)
        policy = _META_POLICY.search(text)
        headers = {"content-security-policy": html.unescape(policy[1])} if policy else None
        return Response(text, media_type="text/html", headers=headers)

    def _page(self) -> str:
        with self.session.lock:
            films = range(len(self.session.heard.films))
            first, *added = [f"film/{n}" if self._film(n) else None for n in films]
            return page_of(self.session.report, self.session.lexicon, first, added)

    async def named(self, request: Request) -> Response:
        """A picture or clip: only one that the record names, and only inside the folder."""
        name, report = request.path_params["name"], self.session.report
        path = (self.session.path / name).resolve()
        if (
            name not in named_pictures(report)
            or not path.is_relative_to(self.session.path.resolve())
            or not path.is_file()
        ):
            return _missing()
        return FileResponse(path)


def _missing() -> Response:
    return PlainTextResponse("There is nothing here.", 404)


def prepared(session: Session) -> tuple[uvicorn.Server, socket.socket, str]:
    """A server on a free port of this computer, its socket, and the address with the token. Raises OutputError."""
    gc.collect()
    gc.freeze()  # the lexicon and what was made of it stay: looking through them after each change takes a third of it
    token = secrets.token_urlsafe(24)
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.bind(("127.0.0.1", 0))  # this computer only; the system chooses a free port
        listening.listen()
    except OSError as error:
        listening.close()
        raise OutputError(f"The page cannot be served on this computer ({error.strerror}).") from None
    port = listening.getsockname()[1]
    guarded = Guard(Pages(session).app(), token, {f"127.0.0.1:{port}", f"localhost:{port}"})
    config = uvicorn.Config(
        guarded, log_level="error", access_log=False, server_header=False, lifespan="off", timeout_graceful_shutdown=2
    )
    return uvicorn.Server(config), listening, f"http://127.0.0.1:{port}/{token}/"


def serve(session: Session, ready: Callable[[str], None]) -> None:
    """Answer until the person stops it (Ctrl-C). ``ready`` is told the address. Raises OutputError."""
    server, listening, address = prepared(session)
    session.start_writing()
    try:
        ready(address)
        server.run(sockets=[listening])
    except KeyboardInterrupt:
        pass
    finally:
        listening.close()
        session.stop_writing()
