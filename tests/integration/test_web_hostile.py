"""Requests that mean harm or are broken: refused or served, with the server alive and well after.

Every request goes to 127.0.0.1 and nowhere else.
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import gzip
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import tomllib
import zlib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_server import ROOT, Server, page_server

from frame3d.design.writing.template import design_text
from frame3d.examples import example_paths
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem
from frame3d.web.guard import HEADERS
from frame3d.web.requests.design_links import packed
from frame3d.web.requests.limits import BODY_BYTES, DESIGN_BYTES, FILES
from frame3d.web.routes import RequestHandlers

SMALL = '[profile]\nstyle = "quonset"\nwidth = "16 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with page_server() as running:
        yield running


@pytest.fixture(autouse=True)
def alive_and_well(server: Server) -> Iterator[None]:
    """After every test a design is still laid out, by the same process."""
    yield
    assert server.process.poll() is None
    assert server.frame(packed(SMALL))["figures"]


def deflated(data: bytes) -> str:
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    return base64.urlsafe_b64encode(squeeze.compress(data) + squeeze.flush()).decode().rstrip("=")


@pytest.mark.parametrize(
    "host",
    [
        "farm.example", "farm.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost",
        "0.0.0.0:{port}", "127.0.0.1:{port}.farm.example", "127.0.0.1:{port}@farm.example",
        "[::1]", "", "127.1:{port}",
    ],
)  # fmt: skip
def test_a_name_that_is_not_its_own_is_refused(server: Server, host: str) -> None:
    got = server.ask("/api/form", host=host.format(port=server.port) or "\t")
    assert got.status in (400, 421)
    assert b"sections" not in got.body


@pytest.mark.parametrize(
    "host", ["127.0.0.1:{port}", "localhost:{port}", "LOCALHOST:{port}", "[::1]:{port}"]
)
def test_its_own_names_are_served(server: Server, host: str) -> None:
    assert server.ask("/api/form", host=host.format(port=server.port)).status == 200


def test_two_hosts_or_none_are_refused(server: Server) -> None:
    own = f"127.0.0.1:{server.port}"
    assert server.ask("/", headers={"Host": own}).status in (400, 421)
    assert b" 400 " in raw(server, b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n")[:16]
    target = f"GET http://farm.example/ HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\n\r\n"
    assert b" 400 " in raw(server, target.encode())[:16]


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://farm.example"}, {"Origin": "null"}, {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://127.0.0.1:{port}"}, {"Origin": "http://127.0.0.1:{port}.farm.example"},
        {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"},
    ],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/", "/api/form", "/assets/main.js"])
def test_pages_of_others_are_refused(server: Server, headers: dict[str, str], path: str) -> None:
    filled = {name: value.format(port=server.port) for name, value in headers.items()}
    assert server.ask(path, headers=filled).status == 403
    assert server.post("/api/open", {"text": SMALL}, **filled).status == 403


LINK = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}
"""What a browser sends with a link on another page that is followed (W3C, Fetch Metadata)."""


def test_a_link_on_another_page_opens_the_page_and_nothing_else(server: Server) -> None:
    assert server.ask("/", headers=LINK).status == 200
    for path in ("/api/form", "/assets/main.js", f"/api/frame?d={packed(SMALL)}"):
        assert server.ask(path, headers=LINK).status == 403
    assert server.post("/", {"text": SMALL}, **LINK).status == 403
    # No frame of another page, and no script of it.
    for other in ({"Sec-Fetch-Dest": "iframe"}, {"Sec-Fetch-Mode": "no-cors"}):
        assert server.ask("/", headers={**LINK, **other}).status == 403


def test_the_page_itself_may_ask(server: Server) -> None:
    own = f"http://127.0.0.1:{server.port}"
    assert server.ask("/", headers={"Sec-Fetch-Site": "none"}).status == 200
    headers = {"Origin": own, "Sec-Fetch-Site": "same-origin"}
    assert server.post("/api/open", {"text": SMALL}, **headers).status == 200
    # Nobody types a change into the address.
    assert server.post("/api/open", {"text": SMALL}, **{"Sec-Fetch-Site": "none"}).status == 403


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data"]
)
def test_what_a_form_of_another_page_could_send_is_refused(server: Server, kind: str) -> None:
    got = server.ask(
        "/api/file", method="POST", body=json.dumps({"text": SMALL, "kind": "step"}).encode(),
        headers={"Content-Type": kind},
    )  # fmt: skip
    assert got.status == 415


@pytest.mark.parametrize("path", ["/", "/api/form", "/assets/main.js", "/assets/none.js", "/none"])
def test_every_answer_carries_the_policy(server: Server, path: str) -> None:
    headers = server.ask(path).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Access-Control-Allow-Origin" not in headers


@pytest.mark.parametrize(
    "path",
    [
        "/assets/../serve.py", "/assets/..%2f..%2fserve.py", "/assets/%2e%2e/%2e%2e/pyproject.toml",
        "/assets//etc/passwd", "/assets/%2fetc%2fpasswd", "/../../../../etc/passwd",
        "/assets/....//....//etc/passwd", "/assets/..\\..\\serve.py", "/assets/main.js%00.html",
        "/assets/page.css/../../serve.py", "/api/start?key=../../../etc/passwd",
        "/api/file/..%2f..%2fetc%2fpasswd", "/api/files/x?name=../../etc/passwd",
    ],
)  # fmt: skip
def test_no_path_of_a_client_is_opened(server: Server, path: str) -> None:
    got = server.ask(path)
    assert got.status in (400, 404), got
    assert b"root:" not in got.body and b"import" not in got.body


def test_files_that_a_design_names_are_left_alone(server: Server, tmp_path: Path) -> None:
    """A list that blocks whoever opens it: an order that read it would never be ready."""
    trap = tmp_path / "prices.csv"
    os.mkfifo(trap)
    text = f'{SMALL}[order]\nprice_file = "{trap}"\nstock_file = "/etc/passwd"\n'
    found = server.ask(f"/api/findings?d={packed(text)}").json
    assert found["lists"]["missing"] == ["prices", "stock"]
    told, content = server.file(text, "xlsx")
    assert told["state"] == "ready", told
    assert content.startswith(b"PK") and b"root:" not in content


@pytest.mark.parametrize(
    "letters",
    [
        "", "A", "!!!", "%00", "../../etc", "A" * 61_000, deflated(b"")[:-1],
        deflated(b"\xff\xfe\x00"),
        deflated(SMALL.encode())[:-4], deflated(SMALL.encode()) + "AAAA", "é",
    ],
)  # fmt: skip
def test_a_packed_design_that_is_none_is_refused(server: Server, letters: str) -> None:
    got = server.ask(
        f"/api/frame?d={letters.encode('utf-8').decode('latin-1')}"
        if letters.isascii()
        else "/api/frame?d=%C3%A9"
    )
    assert got.status in (200, 400), got
    if got.status == 200:  # it could be unpacked, to nothing
        assert b"nothing in it" in got.body
    assert b"Traceback" not in got.body


@pytest.mark.parametrize("size", [DESIGN_BYTES + 1, 2_000_000, 40_000_000])
def test_a_bomb_does_not_go_off(server: Server, size: int) -> None:
    before = memory_kb(server)
    letters = deflated(b"#" * size)
    assert len(letters) < 60_000
    got = server.ask(f"/api/frame?d={letters}")
    assert got.status == 400 and "larger than" in got.json["refused"]
    assert memory_kb(server) - before < 20_000


def test_a_scene_is_packed_for_who_accepts_it(server: Server) -> None:
    path = f"/api/frame?d={packed(SMALL)}"
    plain = server.ask(path)
    small = server.ask(path, headers={"Accept-Encoding": "gzip, deflate, br"})
    assert "Content-Encoding" not in plain.headers
    assert small.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(small.body) == plain.body
    assert len(small.body) < 0.4 * len(plain.body)
    for answer in (plain, small):
        assert answer.headers["Vary"] == "Accept-Encoding"
    # Told line by line, and at last the same as without.
    lines = server.ask(f"/api/sheets?d={packed(SMALL)}&follow=1").body.splitlines()
    assert json.loads(lines[-1])["answer"] == server.ask(f"/api/sheets?d={packed(SMALL)}").json
    assert {"what", "done", "total"} == set(json.loads(lines[0]))


def test_compressed_bodies_are_refused(server: Server) -> None:
    for coding, data in (
        ("gzip", zlib.compress(b"{" * 10_000_000, 9)),
        ("deflate", b"x"),
        ("br", b"x"),
    ):
        got = server.ask(
            "/api/open", method="POST", body=data,
            headers={"Content-Type": "application/json", "Content-Encoding": coding},
        )  # fmt: skip
        assert got.status == 415


def test_bodies_too_large_are_refused(server: Server) -> None:
    head = (
        f"POST /api/open HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n"
        "Content-Type: application/json\r\n"
    )  # fmt: skip
    told = raw(server, f"{head}Content-Length: 900000000000\r\n\r\n".encode(), wait=5)
    assert b" 413 " in told[:16]
    chunk = b"%x\r\n" % 65536 + b"x" * 65536 + b"\r\n"
    many = chunk * (BODY_BYTES // 65536 + 2)
    told = raw(server, f"{head}Transfer-Encoding: chunked\r\n\r\n".encode() + many + b"0\r\n\r\n")
    assert b" 413 " in told[:16]
    assert server.post("/api/open", {"text": "#" * (DESIGN_BYTES + 1)}).status == 413


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"null", b'{"text": 3}', b'{"text": null}', b"\xff", b"[" * 100_000,
     b'{"a":' * 50_000],
)  # fmt: skip
def test_bodies_that_are_no_question_are_refused(server: Server, body: bytes) -> None:
    got = server.ask(
        "/api/open", method="POST", body=body, headers={"Content-Type": "application/json"}
    )
    assert got.status == 400


DESIGNS = [
    "", "x", "[profile", "[profile]\nwidth = 3", '[profile]\nwidth = "\\ud800"', "\x00",
    '[profile]\nwidth = "1 ft"\n',
    '[profile]\nwidth = "90 ft"\n[bays]\ncount = 1\nspacing = "1 ft"\n',
    "a." * 100_000 + "b = 1", "a = " + "[" * 50_000, "x = " + "9" * 200_000, "[[rail]]\n" * 5_000,
    '[profile]\nwidth = "' + "9" * 100_000 + ' ft"\n', "a = 2024-01-01T00:00:00Z\n", "a = inf\n",
    '[bays]\ncount = 99999999999999999999999\n[profile]\nwidth = "20 ft"\n',
    '[profile]\nstyle = "gothic"\nwidth = "30 m"\n[bays]\ncount = 400\nspacing = "300 mm"\n',
    '"\\u0000" = 1\n', "é = 1\n", "[profile]\n" + "\n".join(f"f{n} = {n}" for n in range(15_000)),
    '[profile]\nwidth = "20 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
    + '[[machine]]\nname="<b>&\\u202e"\n' * 20,
]  # fmt: skip


@pytest.mark.parametrize("text", DESIGNS, ids=range(len(DESIGNS)))
def test_any_design_gets_an_answer(server: Server, text: str) -> None:
    """Laid out or with faults that say something: never an error of the server."""
    for path in ("/api/frame", "/api/findings", "/api/open"):
        got = server.post(path, {"text": text})
        assert got.status == 200, got.body[:300]
        size = int.from_bytes(got.body[:4], "little")
        found = json.loads(got.body[4 : 4 + size] if path == "/api/frame" else got.body)
        if "faults" in found:
            assert found["faults"] and all(fault["message"] for fault in found["faults"])
            assert "program itself" not in found["faults"][0]["message"]
        else:
            assert found.keys() & {"figures", "findings", "design"}


HALF = SMALL.replace("16 ft", "16 ft\ud800")
NASTY = [
    HALF, "\udfff", "\ud83d", {"text": HALF}, ["\ud800"], 1e400, -0.0, 10**400, True, None, "",
    "\x00", "\u2028\u202e\ufeff", {"__proto__": 1}, "=1+1", "<script>", "a" * 1000,
    "\ud800" * 1000, [[[[]]]],
]  # fmt: skip
FIELDS = ("text", "source", "kind", "number", "key", "name", "\ud800")


def every_route() -> list[tuple[str, str]]:
    """Each method and path that the server answers to, with something in place of its names."""

    async def routes() -> list[tuple[str, str]]:
        builder = RequestHandlers()
        try:
            return [(route.method, route.path) for route in builder.routes()]
        finally:
            await builder.close_down(None)

    return [(m, re.sub(r"\{\w+\}", "%ED%A0%80", p)) for m, p in asyncio.run(routes())]


@pytest.mark.parametrize("nasty", NASTY, ids=range(len(NASTY)))
def test_nothing_nasty_makes_the_server_fail(server: Server, nasty: object) -> None:
    """Every route, every field: an answer with all headers, and a word where it is refused."""
    body = json.dumps(dict.fromkeys(FIELDS, nasty)).encode()
    routes = every_route()
    assert len(routes) >= 17
    for method, path in routes:
        posted = method == "POST"
        for query in ("", "?key=%ED%A0%80&number=%FF&d=%ED%A0%80&name=%ED%A0%80"):
            got = server.ask(
                path + query,
                method=method,
                body=body if method == "POST" else None,
                headers={"Content-Type": "application/json"} if posted else None,
            )
            assert got.status in (200, 400, 404, 413), (method, path, got)
            assert set(HEADERS) <= set(got.headers), (method, path)
            if got.status != 200:
                assert got.json["refused"]


def test_half_a_character_is_told(server: Server) -> None:
    for path, fields in (
        ("/api/open", {"text": HALF}), ("/api/save", {"text": SMALL, "source": HALF}),
        ("/api/frame", {"text": HALF}), ("/api/file", {"text": HALF, "kind": "xlsx"}),
    ):  # fmt: skip
        got = server.post(path, fields)
        assert got.status == 400 and "contains half a character" in got.json["refused"]
    whole = server.post("/api/open", {"text": SMALL.replace("16 ft", "16 ft \U0001f33d")})
    assert whole.status == 200


@pytest.mark.parametrize(
    "head", ["Expect: nothing", "Content-Length: 3", "Connection: close", "Range: bytes=\xff-"]
)
def test_answers_from_before_a_route_carry_the_headers_too(server: Server, head: str) -> None:
    question = f"GET /none HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n{head}\r\n\r\n"
    told = raw(server, question.encode("latin-1") + b"abc" * ("Content" in head), wait=2)
    assert b" 500 " not in told[:16]
    assert b"content-security-policy: default-src 'none'" in told.lower()


def test_a_beginning_that_does_not_exist(server: Server) -> None:
    assert server.ask("/api/picture?key=../../etc/passwd").status == 404
    assert server.ask("/api/picture").status == 404
    assert server.post("/api/begin", {"key": "none", "answers": {}}).status == 404
    for answers in (None, [], {"width": 9}, {"width": "9" * 61}, {"style": "flat"}, {"sides": ""}):
        assert server.post("/api/begin", {"key": "market", "answers": answers}).status == 400
    got = server.post("/api/begin", {"key": "market", "answers": {"width": '"]\n[x', "more": 1}})
    assert tomllib.loads(got.json["text"])["profile"]["width"] == '"]\n[x'


def test_price_lists_that_are_none(server: Server) -> None:
    for quotes in ("x", [1], [{"name": "a", "text": "b" * 250_001}], [{}] * 9):
        assert server.post("/api/cost", {"text": SMALL, "quotes": quotes}).status == 400


def test_a_sheet_or_a_file_that_does_not_exist(server: Server) -> None:
    design = packed(SMALL)
    for number in ("0", "9999", "-1", "x", "1e3", ""):
        got = server.ask(f"/api/sheet?number={number}&d={design}")
        assert got.status == 400 or "there is no sheet" in got.json["faults"][0]["message"]
    assert server.post("/api/file", {"text": SMALL, "kind": "../x"}).status == 400


@pytest.mark.parametrize("method", ["PUT", "PATCH", "TRACE", "OPTIONS", "CONNECT", "BREW"])
def test_other_methods_are_refused(server: Server, method: str) -> None:
    assert server.ask("/api/form", method=method).status in (400, 404, 405, 415)


@pytest.mark.parametrize(
    "data",
    [
        b"\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", b"GET\r\n\r\n",
        b"A" * 200_000,
        b"GET / HTTP/9.9\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"X: y\r\n" * 20_000 + b"\r\n",
        b"GET /" + b"a" * 300_000 + b" HTTP/1.1\r\n\r\n", bytes(range(256)) * 20,
        b"POST /api/open HTTP/1.1\r\nContent-Length: -5\r\n\r\n",
        b"POST /api/open HTTP/1.1\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n"
        b"0\r\n\r\n",
    ],
)  # fmt: skip
def test_what_is_no_request_does_no_harm(server: Server, data: bytes) -> None:
    told = raw(server, data, wait=2)
    assert b" 200 " not in told[:16]
    assert b"Traceback" not in told


def test_slow_clients_are_let_go_and_hinder_nobody(server: Server) -> None:
    """A head that never ends: fifty at once, closed after ten seconds, and others served."""
    slow = [socket.create_connection(("127.0.0.1", server.port)) for _ in range(50)]
    try:
        for one in slow:
            one.sendall(b"GET / HTTP/1.1\r\nHost: ")
        begun = time.monotonic()
        assert server.frame(packed(SMALL))["figures"]
        assert time.monotonic() - begun < 5
        for one in slow:
            one.settimeout(20)
            with pytest.raises(ConnectionError):
                # The server resets; an empty answer would be a close, which is as good.
                if one.recv(1) == b"":
                    raise ConnectionError
        assert time.monotonic() - begun < 18
    finally:
        for one in slow:
            one.close()


def test_a_body_that_does_not_come_is_given_up(server: Server) -> None:
    head = f"POST /api/open HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n"
    told = raw(
        server,
        f"{head}Content-Type: application/json\r\nContent-Length: 50\r\n\r\n{{".encode(),
        wait=16,
        enough=16,
    )
    assert b" 408 " in told


def test_a_thousand_requests_at_once(server: Server) -> None:
    """Each is answered or turned away in words; the next one is answered at once."""
    gothic = example_paths()["long_meadow_gothic"].read_text("utf-8")
    paths = [
        "/",
        "/assets/main.js",
        f"/api/frame?d={packed(SMALL)}",
        f"/api/findings?d={packed(gothic)}",
    ]
    paths += [f"/api/frame?d={packed(SMALL + f'# {number}')}" for number in range(40)]

    async def one(path: str) -> int:
        try:
            reader, writer = await asyncio.open_connection("127.0.0.1", server.port)
        except OSError:
            return -1
        try:
            writer.write(
                f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n"
                "Connection: close\r\n\r\n".encode()
            )
            head = await asyncio.wait_for(reader.readline(), 90)
            await asyncio.wait_for(reader.read(), 90)
            return int(head.split()[1]) if head else -1
        except ConnectionError:
            return -1
        finally:
            writer.close()

    async def all_at_once() -> Counter[int]:
        return Counter(await asyncio.gather(*(one(paths[n % len(paths)]) for n in range(1000))))

    told = asyncio.run(all_at_once())
    assert set(told) <= {200, 503, -1}, told
    assert told[200] >= 300, told
    begun = time.monotonic()
    assert server.frame(packed(SMALL + "# after"))["figures"]
    assert time.monotonic() - begun < 5


def test_files_in_the_making_can_be_stopped_and_leave_nothing(tmp_path: Path) -> None:
    text = design_text(ArchStyle.GOTHIC, UnitSystem.IMPERIAL)
    with page_server(folder=tmp_path) as other, contextlib.ExitStack() as wanted:
        for before in range(FILES):
            told = wanted.enter_context(other.making(text, "stl"))
            assert next(told)["what"] == (f"waiting behind {before}" if before else "waiting")
        assert other.post("/api/file", {"text": text, "kind": "stl"}).status == 503
        begun = time.monotonic()
        assert other.frame(packed(SMALL))["figures"]  # the page stays live meanwhile
        assert time.monotonic() - begun < 8
        # Nobody wants them any more.
        wanted.close()
        wait_until(lambda: not [*tmp_path.glob("frame3d-*/made/*")])
        assert other.file(SMALL, "xlsx")[0]["state"] == "ready"
        last = wanted.enter_context(other.making(text, "stl"))
        assert next(last)["what"] == "waiting"
        wait_until(lambda: [*tmp_path.glob("frame3d-*/made/*")])
    assert [*tmp_path.glob("frame3d-*")] == []
    assert workers_of(other) == []


@pytest.mark.parametrize("stop", [signal.SIGTERM, signal.SIGHUP])
def test_being_told_to_end_is_a_clean_end(tmp_path: Path, stop: signal.Signals) -> None:
    with page_server(folder=tmp_path, stop=stop) as other:
        assert other.frame(packed(SMALL))["figures"]
        assert [*tmp_path.glob("frame3d-*")]
    assert [*tmp_path.iterdir()] == []
    assert workers_of(other) == []


def test_with_nohup_it_outlives_its_terminal() -> None:
    with page_server(nohup=True, stop=signal.SIGTERM) as other:
        other.process.send_signal(signal.SIGHUP)
        time.sleep(0.3)
        assert other.frame(packed(SMALL))["figures"]


def test_what_a_killed_server_left_is_cleared_away_and_a_live_ones_stays(tmp_path: Path) -> None:
    with page_server(folder=tmp_path) as live:
        with pytest.raises(AssertionError), page_server(folder=tmp_path) as dead:
            assert len([*tmp_path.glob("frame3d-*")]) == 2
            dead.process.kill()
            dead.process.wait()
        assert len([*tmp_path.glob("frame3d-*")]) == 2
        with page_server(folder=tmp_path):
            assert len([*tmp_path.glob("frame3d-*")]) == 2
        assert live.file(SMALL, "xlsx")[0]["state"] == "ready"
    assert [*tmp_path.iterdir()] == []


def test_a_server_that_is_killed_leaves_no_worker() -> None:
    with pytest.raises(AssertionError), page_server() as other:
        assert other.frame(packed(SMALL))["figures"]
        assert workers_of(other)
        other.process.kill()
        other.process.wait()
        wait_until(lambda: not workers_of(other))
    assert workers_of(other) == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--host", "0.0.0.0"), "every address"), (("--host", "farm.example"), "in numbers"),
        (("--host", "203.0.113.7"), "cannot listen"), (("none.toml",), "there is no file"),
    ],
)  # fmt: skip
def test_where_it_cannot_serve_it_says_so(words: tuple[str, ...], told: str) -> None:
    run = subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", "serve", "--port", "0", *words],
        capture_output=True, text=True, timeout=60, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 2
    assert told in run.stderr and "Traceback" not in run.stderr


def test_a_port_that_is_taken_is_told(server: Server) -> None:
    with (
        pytest.raises(AssertionError, match="cannot listen"),
        page_server("--port", str(server.port)),
    ):
        pass


def raw(server: Server, data: bytes, wait: float = 5.0, enough: int = 10**9) -> bytes:
    """What comes back for bytes, until it is enough, the server closes, or ``wait`` is over."""
    got = b""
    with socket.create_connection(("127.0.0.1", server.port), timeout=wait) as line:
        try:
            line.sendall(data)
            while len(got) < enough and (part := line.recv(min(enough, 65536))):
                got += part
        except (TimeoutError, ConnectionError):
            pass
    return got


def wait_until(true, limit_s: float = 20.0) -> None:
    end = time.monotonic() + limit_s
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


def memory_kb(server: Server) -> int:
    status = Path(f"/proc/{server.process.pid}/status").read_text()
    return int(status.split("VmRSS:")[1].split()[0])


_seen: dict[int, set[int]] = {}


def workers_of(server: Server) -> list[int]:
    """The workers of a server, living or residual: they keep the session they were started in."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            command = (folder / "cmdline").read_bytes()
            parent = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
        except (OSError, ValueError):
            continue
        if b"frame3d.web.work.worker_process" in command:
            known = _seen.setdefault(server.process.pid, set())
            if parent == server.process.pid:
                known.add(int(folder.name))
            if int(folder.name) in known:
                found.append(int(folder.name))
    return found
