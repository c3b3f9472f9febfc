"""The page's server as a process of its own, and questions to it byte by byte."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
STOP_S = 15


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


def told_and_file(answer: Answer) -> tuple[dict[str, Any], bytes]:
    """The last line of what is told, and what follows it."""
    assert answer.status == 200, answer
    rest = answer.body
    while rest:
        line, _, rest = rest.partition(b"\n")
        if "answer" in (told := json.loads(line)):
            return told["answer"], rest
    raise AssertionError("the server has not said what came of it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Server:
    """A running server."""

    process: subprocess.Popen[str]
    port: int

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def ask(
        self,
        path: str,
        *,
        method: str = "GET",
        body: bytes | None = None,
        headers: dict[str, str] | None = None,
        host: str | None = None,
    ) -> Answer:
        """One request on a connection of its own, with no more headers than are given."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        with contextlib.closing(connection):
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            connection.putheader("Host", host or f"127.0.0.1:{self.port}")
            if body is not None:
                connection.putheader("Content-Length", str(len(body)))
            for name, value in (headers or {}).items():
                connection.putheader(name, value)
            connection.endheaders(body)
            got = connection.getresponse()
            return Answer(status=got.status, headers=dict(got.getheaders()), body=got.read())

    def post(self, path: str, fields: Any, **headers: str) -> Answer:
        """A question in JSON, as the page asks it."""
        body = json.dumps(fields).encode()
        return self.ask(
            path, method="POST", body=body, headers={"Content-Type": "application/json", **headers}
        )

    def file(self, text: str, kind: str, **fields: Any) -> tuple[dict[str, Any], bytes]:
        """What came of making a file, and the file itself."""
        return told_and_file(self.post("/api/file", {"text": text, "kind": kind, **fields}))

    @contextlib.contextmanager
    def making(self, text: str, kind: str, **fields: Any) -> Iterator[Iterator[dict[str, Any]]]:
        """What is told of a file while it is made; who leaves does not want it any more."""
        body = json.dumps({"text": text, "kind": kind, **fields}).encode()
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        with contextlib.closing(connection):
            headers = {"Content-Type": "application/json"}
            connection.request("POST", "/api/file", body, headers)
            yield (json.loads(line) for line in connection.getresponse())

    def frame(self, packed: str) -> dict[str, Any]:
        """The words of a frame, or its faults."""
        got = self.ask(f"/api/frame?d={packed}")
        assert got.status == 200, got
        size = int.from_bytes(got.body[:4], "little")
        return json.loads(got.body[4 : 4 + size])


@contextlib.contextmanager
def page_server(
    *arguments: str,
    folder: Path | None = None,
    work: Path | None = None,
    program: Sequence[str] = ("-P", "-m", "frame3d.cli"),
    stop: signal.Signals = signal.SIGINT,
    nohup: bool = False,
) -> Iterator[Server]:
    """``frame3d serve`` on a free port; ended by Ctrl-C, which must be a clean end.

    Parameters
    ----------
    folder : Path or None
        For its temporary files.
    work : Path or None
        Where it is started.
    program : sequence of str
        What Python runs.
    stop : Signals
        What ends it.
    nohup : bool
        Whether it is started as by ``nohup``, with SIGHUP ignored.
    """
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    if folder is not None:
        environment["TMPDIR"] = str(folder)
    process = subprocess.Popen(
        [sys.executable, *program, "serve", "--port", "0", *arguments], cwd=work,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment,
        preexec_fn=(lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN)) if nohup else None,
    )  # fmt: skip
    try:
        line = process.stdout.readline()
        assert "http://127.0.0.1:" in line, line + process.stderr.read()
        port = int(line.split("http://127.0.0.1:")[1].split("/")[0])
        yield Server(process=process, port=port)
        process.send_signal(stop)
        out, errors = process.communicate(timeout=STOP_S)
        assert process.returncode == 0, errors
        assert out.endswith("stopped\n")
        assert "Traceback" not in errors, errors
    finally:
        if process.poll() is None:
            process.kill()
        for stream in (process.stdout, process.stderr):
            stream.close()
        process.wait()
