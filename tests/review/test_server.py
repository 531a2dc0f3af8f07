"""The review page's server: what it answers, and what it refuses."""

import http.client
import json
import multiprocessing
import os
import random
import signal
import subprocess
import sys
import threading
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from desk import ROOT, make_folder, reader
from serving import served

from walkround.report.record import read_report
from walkround.review.log import read_log
from walkround.review.server import serve as serve_until_stopped
from walkround.review.session import Session


class Client:
    """Asks one server, as any program on this computer could."""

    def __init__(self, address: str, session: Session | None = None) -> None:
        parts = urlsplit(address)
        self.host, self.base, self.session = parts.netloc, parts.path, session

    def ask(
        self, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None, host: str = ""
    ) -> tuple[int, dict[str, str], bytes]:
        connection = http.client.HTTPConnection(self.host, timeout=20)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            connection.putheader("Host", host or self.host)
            for name, value in (headers or {}).items():
                connection.putheader(name, value)
            if body is not None:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            answer = connection.getresponse()
            return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        return self.ask("GET", self.base + path, headers=headers)

    def act(self, action: str, revision: int, **more: Any) -> tuple[int, Any]:
        body = json.dumps({"action": action, "revision": revision, **more}).encode()
        status, _, data = self.ask("POST", self.base + "act", body, self.own())
        return status, json.loads(data)

    def own(self) -> dict[str, str]:
        return {"Origin": f"http://{self.host}", "Content-Type": "application/json"}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """A server over a folder without a film. Its log grows with the tests."""
    base = tmp_path_factory.mktemp("served")
    (base / "secret.txt").write_text("secret")
    with served(make_folder(base / "out")) as (address, session):
        yield Client(address, session)


@pytest.fixture
def fresh(tmp_path: Path) -> Any:
    with served(make_folder(tmp_path / "out")) as (address, session):
        yield Client(address, session)


def test_it_listens_on_this_computer_alone_with_a_token_that_cannot_be_guessed(client: Client) -> None:
    assert client.host.startswith("127.0.0.1:")
    assert len(client.base.strip("/")) >= 32
    with served(client.session.path) as (other, _):  # type: ignore[union-attr]
        assert urlsplit(other).path != client.base


def test_the_page_and_its_parts_are_answered(client: Client) -> None:
    for path, kind in (("", "text/html"), ("static/review.js", "text/javascript"), ("static/review.css", "text/css")):
        status, headers, body = client.get(path)
        assert (status, headers["content-type"].split(";")[0]) == (200, kind)
        assert body
    status, _, body = client.get("state")
    told = json.loads(body)
    assert status == 200
    assert told["open"] == 7
    assert client.get(f"state?have={told['revision']}")[0] == 204
    assert client.get("captions/0")[2].startswith(b"WEBVTT\n\n00:00:00.000 --> ")
    assert client.get("captions/7")[0] == 404
    assert client.get("film/0")[0] == 404, "this walk-round has no film"


def test_every_answer_is_bound_by_a_strict_policy(client: Client) -> None:
    for path in ("", "state", "static/review.js", "nothing", "page", "../x"):
        _, headers, _ = client.get(path)
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "*" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "no-store"
    page = client.get("")[2].decode()
    assert "<script>" not in page
    assert "style=" not in page
    assert " on" + "click" not in page


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "localhost:1", "127.0.0.1.evil.example", "[::1]", "127.0.0.1:80@evil.example"]
)
def test_another_host_is_refused(client: Client, host: str) -> None:
    """DNS rebinding: the name is the attacker's, the address is ours."""
    assert client.ask("GET", client.base, host=host)[0] == 421
    assert client.ask("POST", client.base + "act", b"{}", client.own(), host=host)[0] == 421


@pytest.mark.parametrize("path", ["/", "/state", "/act", "/wrong-token/state", "/wrong-token/", "/%2e/"])
def test_without_the_token_there_is_nothing(client: Client, path: str) -> None:
    status, _, body = client.ask("GET", path)
    assert status == 404
    assert client.base.strip("/").encode() not in body
    assert client.ask("POST", path, b"{}", client.own())[0] == 404


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://{host}"},
        {},
        {"Origin": "http://{host}", "Sec-Fetch-Site": "cross-site"},
        {"Origin": "http://{host}", "Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_change_from_another_page_is_refused(client: Client, headers: dict[str, str]) -> None:
    sent = {k: v.format(host=client.host) for k, v in headers.items()} | {"Content-Type": "application/json"}
    body = json.dumps({"action": "confirm", "row": "f1", "revision": client.session.revision}).encode()  # type: ignore[union-attr]
    before = client.session.revision  # type: ignore[union-attr]
    assert client.ask("POST", client.base + "act", body, sent)[0] == 403
    assert client.session.revision == before  # type: ignore[union-attr]


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_a_form_of_another_page_is_refused(client: Client, kind: str) -> None:
    """What a form can send without asking first (a "simple" request of the Fetch standard)."""
    headers = {**client.own(), "Content-Type": kind}
    assert client.ask("POST", client.base + "act", b'{"action": "undo"}', headers)[0] == 415


@pytest.mark.parametrize(
    "path",
    [
        "../secret.txt", "static/../../secret.txt", "..%2fsecret.txt", "%2e%2e/secret.txt", "%2E%2E%2Fsecret.txt",
        "static/..%5c..%5csecret.txt", "static/%2e%2e/%2e%2e/secret.txt", "//etc/passwd", "/etc/passwd",
        "edits.jsonl", "heard.json", "report.json", "secret.txt", "static/../server.py", "static/guard.py", "%00",
    ],
)  # fmt: skip
def test_no_path_leads_to_another_file(client: Client, path: str) -> None:
    status, _, body = client.get(path)
    assert status in (400, 404)
    assert b"secret" not in body


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(client: Client, method: str) -> None:
    assert client.ask(method, client.base + "act", b"{}", client.own())[0] == 405


def test_too_much_is_refused(client: Client) -> None:
    headers = {**client.own(), "Content-Length": str(2_000_000)}
    connection = http.client.HTTPConnection(client.host, timeout=20)
    connection.request("POST", client.base + "act", headers=headers)
    assert connection.getresponse().status == 413
    connection.close()


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"7", b"null", b"\xff\xfe", b"[" * 5000, b'{"action": ["confirm"], "revision": 0}', b"{}"],
)
def test_what_cannot_be_read_changes_nothing(client: Client, body: bytes) -> None:
    before = client.session.log.path.read_bytes() if client.session.log.path.exists() else b""  # type: ignore[union-attr]
    status, _, data = client.ask("POST", client.base + "act", body, client.own())
    assert status in (400, 409, 422)
    assert json.loads(data)["error"]
    assert (client.session.log.path.read_bytes() if before else b"") == before  # type: ignore[union-attr]


def test_a_change_is_on_the_disk_when_it_is_answered(fresh: Client) -> None:
    status, told = fresh.act("dismiss", 0, row="f1", reason="<b>no</b>")
    assert (status, told["revision"]) == (200, 1)
    assert [e.after for e in read_log(fresh.session.path).entries] == [{"reason": "<b>no</b>"}]  # type: ignore[union-attr]
    status, told = fresh.act("confirm", 0, row="f1")
    assert status == 409
    assert "another window" in told["error"]
    assert told["state"]["revision"] == 1
    status, told = fresh.act("confirm", 1, row="f999")
    assert (status, told["error"]) == (422, "That line is no longer there; look at the list again.")
    fresh.session.save()  # type: ignore[union-attr]
    assert len(read_report(fresh.session.path / "report.json").dismissed) == 1  # type: ignore[union-attr]


def test_two_at_once_do_not_write_over_each_other(fresh: Client) -> None:
    answers: list[int] = []

    def one(n: int) -> None:
        answers.append(fresh.act("change", 0, row=f"f{n}", fields={"severity": "serious"})[0])

    threads = [threading.Thread(target=one, args=(n,)) for n in range(1, 7)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == [200, 409, 409, 409, 409, 409]
    assert len(read_log(fresh.session.path).entries) == 1  # type: ignore[union-attr]


def test_a_corrected_word_brings_the_new_reading(fresh: Client) -> None:
    told = json.loads(fresh.get("state")[2])
    (word,) = [w for s in told["words"][0] for w in s["words"] if w["t"] == "grabble"]
    status, told = fresh.act("correct", 0, source=0, start=word["s"], heard="grabble", put="grab rail")
    assert status == 200
    assert "Grab rail: loose" in [row["name"] for row in told["rows"]]
    assert [w["t"] for w in told["words"][0][-1]["words"]][1:3] == ["grab", "rail"]
    status, told = fresh.act("undo", 1)
    assert "grabble" in [w["t"] for w in told["words"][0][-1]["words"]]


def test_the_film_is_sent_in_ranges(demo: Path) -> None:
    film = (demo.parent / "film.mp4").read_bytes()
    with served(demo) as (address, session):
        client = Client(address, session)
        status, headers, body = client.get("film/0", Range="bytes=100-199")
        assert (status, body) == (206, film[100:200])
        assert headers["content-range"] == f"bytes 100-199/{len(film)}"
        status, headers, body = client.get("film/0")
        assert (status, headers["accept-ranges"], len(body)) == (200, "bytes", len(film))
        assert headers["content-type"] == "video/mp4"
        assert client.get("film/1")[0] == 404


#: How often the server is killed. The log's own test kills its writer fifty times more.
KILLS = int(os.environ.get("WALKROUND_KILLS", "8"))


def serve_in_a_process(folder: Path, told: Connection) -> None:
    serve_until_stopped(Session(folder, "A. Tester", reader()), told.send)


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is of POSIX")
def test_kill_9_of_the_server_loses_no_acknowledged_edit(tmp_path: Path) -> None:
    """The whole server, killed at random moments while a script edits."""
    folder = make_folder(tmp_path / "out")
    reader()
    moments = random.Random(7)
    acknowledged = 0
    for _ in range(KILLS):
        hear, told = multiprocessing.Pipe(duplex=False)
        server = multiprocessing.get_context("fork").Process(target=serve_in_a_process, args=(folder, told))
        server.start()
        client = Client(hear.recv())
        timer = threading.Timer(moments.uniform(0.02, 0.3), server.kill)
        timer.start()
        try:
            while True:
                severity = "serious" if acknowledged % 2 else "minor"
                status, answer = client.act("change", acknowledged, row="f1", fields={"severity": severity})
                assert status == 200
                acknowledged = answer["revision"]
        except (OSError, http.client.HTTPException, ValueError):
            pass  # the server is dead
        timer.join()
        server.join()
        log = read_log(folder)
        assert len(log.entries) in (acknowledged, acknowledged + 1), "one may be written and not yet answered"
        acknowledged = len(log.entries)
        read_report(folder / "report.json")
        assert Session(folder, "me", reader()).revision == acknowledged
    assert acknowledged > KILLS


@pytest.mark.skipif(os.name != "posix", reason="signals are of POSIX")
def test_stopping_writes_what_is_due_and_says_nothing_odd(tmp_path: Path) -> None:
    folder = make_folder(tmp_path / "out")
    with subprocess.Popen(
        [sys.executable, "-m", "walkround", "review", str(folder), "--no-open", "--who", "A. Tester"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT,
    ) as server:  # fmt: skip
        assert server.stdout
        assert server.stderr
        lines = [server.stdout.readline() for _ in range(3)]
        client = Client(lines[1].strip())
        assert client.act("dismiss", 0, row="f1", reason="no")[0] == 200
        server.send_signal(signal.SIGINT)
        assert server.wait(20) in (0, -signal.SIGINT, 130)
        assert "Traceback" not in server.stderr.read()
    report = read_report(folder / "report.json")
    assert report.review
    assert report.review.edits == 1
    assert report.dismissed[0].settled.who == "A. Tester"  # type: ignore[union-attr]
