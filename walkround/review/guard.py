"""What stands before every request: only this computer's own page, by its token, may ask or change anything."""

import hmac
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Asgi = Callable[[Scope, Receive, Send], Awaitable[None]]

#: The most that a request may send (bytes).
LARGEST = 1_000_000
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


class Guard:
    """Refuses what does not come from the page at ``http://HOST/TOKEN/``; adds the headers that bind the page."""

    def __init__(self, app: Asgi, token: str, hosts: set[str]) -> None:
        self.app, self.prefix, self.hosts = app, f"/{token}/".encode(), hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            return
        refused = self.refusal(scope)
        if refused:
            await _refuse(send, *refused)
            return
        inside = {**scope, "path": scope["path"][len(self.prefix) - 1 :], "root_path": ""}
        await self.app(inside, receive, _bound(send))

    def refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Why the request is not answered: status and sentence; None where it is."""
        headers: dict[bytes, list[bytes]] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name.lower(), []).append(value)
        host = headers.get(b"host", [])
        if len(host) != 1 or host[0].decode("latin-1") not in self.hosts:
            return 421, "This address is not the one of the page."
        path: bytes = scope.get("raw_path") or scope["path"].encode()
        if not hmac.compare_digest(path[: len(self.prefix)], self.prefix):
            return 404, "There is nothing here; use the address that walkround review printed."
        if any(part in path.lower() for part in (b"..", b"%2e", b"%5c", b"\\", b"%00", b"//")):
            return 400, "That is not an address of the page."
        origin = headers.get(b"origin", [])
        own = b"http://" + host[0]
        site = headers.get(b"sec-fetch-site", [b"none"])
        if any(value != own for value in origin) or any(value not in (b"same-origin", b"none") for value in site):
            return 403, "Another page may not ask this."
        if scope["method"] not in ("GET", "HEAD"):
            return _change_refused(scope["method"], headers, origin)
        return None


def _change_refused(method: str, headers: dict[bytes, list[bytes]], origin: list[bytes]) -> tuple[int, str] | None:
    if method != "POST":
        return 405, "That is not a way to ask."
    if not origin:
        return 403, "Another page may not ask this."
    if headers.get(b"content-type", [b""])[0].split(b";")[0].strip() != b"application/json":
        return 415, "Changes are sent as JSON."
    length = headers.get(b"content-length", [b""])[0]
    if not length.isdigit() or int(length) > LARGEST:
        return 413, "That is too much at once."
    return None


def _bound(send: Send) -> Send:
    async def bound(message: Message) -> None:
        if message["type"] == "http.response.start":
            names = {name.lower() for name, _ in message["headers"]}
            added = [pair for pair in _HEADERS if pair[0] not in names]
            if b"content-security-policy" not in names:
                added.append((b"content-security-policy", POLICY.encode()))
            message["headers"] = [*message["headers"], *added]
        await send(message)

    return bound


async def _refuse(send: Send, status: int, said: str) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-security-policy", POLICY.encode())]
    await send({"type": "http.response.start", "status": status, "headers": [*headers, *_HEADERS]})
    await send({"type": "http.response.body", "body": said.encode()})
