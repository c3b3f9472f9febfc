"""What the server answers to, path by path."""

from __future__ import annotations

import json
import re
from collections.abc import Awaitable, Callable, Mapping

from aiohttp import web

from frame3d.frame.describe.wording import CAUTIONS, CAUTIONS_IN_SHORT
from frame3d.loads.cautions import cautions_beside
from frame3d.units.data_tables import Json
from frame3d.web.assets import assets
from frame3d.web.first_designs import questions, starts
from frame3d.web.following import followed, followed_file
from frame3d.web.form import form_of_a_design
from frame3d.web.guard import JSON_TYPE, body_of, refused
from frame3d.web.requests.design_links import PackingError, unpacked
from frame3d.web.requests.given import LISTS, GivenError, packed_design, packed_lists, packed_quotes
from frame3d.web.requests.limits import (
    ANSWER_LETTERS,
    DESIGN_BYTES,
    FAMILY_LETTERS,
    FINDINGS_S,
    LAYING_S,
    LIST_BYTES,
    SHEETS_S,
    TEXT_S,
    WAITING,
)
from frame3d.web.work.answers import Answers, Progress
from frame3d.web.work.beginning import QUESTIONS
from frame3d.web.work.exports import KINDS
from frame3d.web.work.jobs import PROGRAM_FAILED, Maker, Wanted
from frame3d.web.work.messages import Message
from frame3d.web.work.workers import BusyError, CrashedError, TooSlowError, WorkerPool

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]
_HEAD_BYTES = 4


class RequestHandlers:
    """Where requests are answered: the workers, the cache, the maker of files, and the fixed texts.

    Parameters
    ----------
    start : dict or None
        The design to begin with, of :mod:`frame3d.web.first_designs`.
    """

    def __init__(self, start: dict[str, Json] | None = None) -> None:
        self._lanes, self._drawing = WorkerPool(2, WAITING), WorkerPool(1, WAITING)
        self._answers, self._maker = Answers(), Maker()
        self._assets = assets()
        self._starts = {"given": start, **starts()} if start else starts()
        self._form = {
            **form_of_a_design(),
            "starts": [
                {"key": key, **{name: value for name, value in start.items() if name != "text"}}
                for key, start in self._starts.items()
            ],
            "questions": {**questions()},
            "cautions": list(CAUTIONS), "cautions_in_short": CAUTIONS_IN_SHORT,
            "files": [{"kind": kind, "meaning": one.meaning, "use": one.use}
                      for kind, one in KINDS.items() if one.listed],
            "loads": {"cautions": list(cautions_beside(other=False)),
                      "cautions_beside": list(cautions_beside(other=True))},
            "lists": [{"what": k, "title": v} for k, v in LISTS.items()],
            "list_bytes": LIST_BYTES,
        }  # fmt: skip

    def routes(self) -> list[web.RouteDef]:
        """Every path there is."""
        return [
            web.get("/", self._index),
            web.get("/assets/{name}", self._asset),
            web.get("/api/form", self._tell_form),
            web.get("/api/start", self._start),
            web.get("/api/picture", self._picture),
            web.post("/api/begin", self._begin),
            web.post("/api/cost", self._cost),
            *self._both("/api/frame", self._frame),
            *self._both("/api/findings", self._findings),
            *self._both("/api/first", self._first),
            *self._both("/api/sheets", self._sheets),
            *self._both("/api/sheet", self._sheet),
            web.post("/api/open", self._open),
            web.post("/api/save", self._save),
            web.post("/api/file", self._file),
        ]

    @staticmethod
    def _both(path: str, handler: Handler) -> list[web.RouteDef]:
        """A view: its design stands in the address, or in the body where it is long."""
        return [web.get(path, handler), web.post(path, handler)]

    async def open_up(self, app: web.Application) -> None:
        """Have a worker ready before the first request."""
        await self._lanes.start()

    async def close_down(self, app: web.Application) -> None:
        """End every process and remove every file."""
        await self._lanes.stop()
        await self._drawing.stop()
        self._maker.stop()

    async def _index(self, request: web.Request) -> web.Response:
        return self._of_the_page("index.html")

    async def _asset(self, request: web.Request) -> web.Response:
        return self._of_the_page(request.match_info["name"])

    def _of_the_page(self, name: str) -> web.Response:
        asset = self._assets.get(name)
        if asset is None:
            return refused(404, "there is no such file")
        return web.Response(body=asset.content, content_type=asset.media, charset="utf-8")

    async def _tell_form(self, request: web.Request) -> web.Response:
        return web.json_response(self._form)

    async def _start(self, request: web.Request) -> web.Response:
        start = self._starts.get(request.query.get("key", ""))
        return web.json_response(start) if start else refused(404, "there is no such design")

    async def _picture(self, request: web.Request) -> web.Response:
        """A design to begin with, as a picture; drawn when it is first asked for."""
        start = self._starts.get(request.query.get("key", ""))
        if start is None:
            return refused(404, "there is no such design")
        on_dark = request.query.get("on") == "dark"
        question = {"task": "picture", "text": start["text"], "on_dark": on_dark}
        answer = await self._ask(self._lanes, question, LAYING_S)
        if not answer.blob:
            return _words(answer)
        return web.Response(body=answer.blob, content_type="image/svg+xml", charset="utf-8")

    async def _begin(self, request: web.Request) -> web.Response:
        start = self._starts.get(await _text(request, "key"))
        if start is None:
            return refused(404, "there is no such design")
        question = {
            "task": "begin", "text": start["text"], "answers": await _answers(request),
        }  # fmt: skip
        return _words(await self._ask(self._lanes, question, LAYING_S))

    async def _cost(self, request: web.Request) -> web.Response:
        question = {"task": "cost", **await _set_of(request), "quotes": await _quotes(request)}
        return _words(await self._ask(self._drawing, question, SHEETS_S))

    async def _frame(self, request: web.Request) -> web.Response:
        """The length of the JSON as four bytes, the JSON, and the scene as GLB."""
        question = {"task": "lay", **await _set_of(request)}
        answer = await self._ask(self._lanes, question, LAYING_S)
        head = len(answer.words).to_bytes(_HEAD_BYTES, "little")
        return web.Response(
            body=head + answer.words + answer.blob, content_type="application/octet-stream"
        )

    async def _findings(self, request: web.Request) -> web.Response:
        question = {"task": "find", **await _set_of(request)}
        return _words(await self._ask(self._lanes, question, FINDINGS_S))

    async def _sheets(self, request: web.Request) -> web.StreamResponse:
        question = {"task": "sheets", **await _set_of(request)}

        async def work(tell: Progress | None) -> Message:
            return await self._ask(self._drawing, question, SHEETS_S, tell)

        if "follow" in request.query:
            return await followed(request, work)
        return _words(await work(None))

    async def _first(self, request: web.Request) -> web.Response:
        """The sheet that is looked at, by its family and place in it."""
        family, place = request.query.get("family", ""), _counted(request, "place")
        if len(family) > FAMILY_LETTERS:
            return refused(400, "family must be that of a sheet")
        question: dict[str, Json] = {
            "task": "first", **await _set_of(request), "family": family, "place": place,
        }  # fmt: skip
        return _words(await self._ask(self._drawing, question, SHEETS_S))

    async def _sheet(self, request: web.Request) -> web.Response:
        number = _counted(request, "number")
        question: dict[str, Json] = {
            "task": "sheet", **await _set_of(request), "number": number,
        }  # fmt: skip
        answer = await self._ask(self._drawing, question, SHEETS_S)
        if not answer.blob:
            return _words(answer)
        return web.Response(body=answer.blob, content_type="image/svg+xml", charset="utf-8")

    async def _open(self, request: web.Request) -> web.Response:
        question = {"task": "open", "text": await _text(request, "text")}
        return _words(await self._ask(self._lanes, question, TEXT_S))

    async def _save(self, request: web.Request) -> web.Response:
        question = {
            "task": "save", "text": await _text(request, "text"),
            "source": await _text(request, "source"),
        }  # fmt: skip
        return _words(await self._ask(self._lanes, question, TEXT_S))

    async def _file(self, request: web.Request) -> web.StreamResponse:
        """A file, made for this request and sent behind the lines that tell how far it is."""
        wanted = Wanted(
            text=await _text(request, "text"), kind=await _text(request, "kind"),
            lists=await _lists(request), against=await _against(request),
        )  # fmt: skip
        if wanted.kind not in KINDS:
            return refused(400, f"kind must be one of {', '.join(KINDS)}")
        try:
            return await followed_file(request, self._maker, wanted)
        except BusyError:
            message = "too many files are being made at once; ask again in a minute"
            return refused(503, message, **{"Retry-After": "30"})

    async def _ask(
        self,
        workers: WorkerPool,
        question: Mapping[str, Json],
        limit_s: float,
        follow: Progress | None = None,
    ) -> Message:
        """The answer of a worker; what goes wrong with it is told as a fault of the design."""
        try:
            return await self._answers.of(workers, question, limit_s, follow)
        except TooSlowError:
            return _failed(
                f"This design takes longer than {limit_s:g} s, the page's limit; make it "
                "shorter or simpler, or use the command line."
            )
        except CrashedError:
            return _failed(PROGRAM_FAILED)
        except BusyError:
            raise web.HTTPServiceUnavailable(
                reason="too many requests are waiting", headers={"Retry-After": "1"}
            ) from None


def _counted(request: web.Request, name: str) -> int:
    """A number in the address."""
    given = request.query.get(name, "")
    if not re.fullmatch(r"[0-9]{1,3}", given):
        raise web.HTTPBadRequest(reason=f"{name} must be that of a sheet")
    return int(given)


def _failed(message: str) -> Message:
    fault = {"where": "", "line": None, "message": message}
    return Message(words=json.dumps({"faults": [fault]}).encode())


def _words(answer: Message) -> web.Response:
    return web.Response(body=answer.words, content_type=JSON_TYPE, charset="utf-8")


async def _design_of(request: web.Request) -> str:
    """The design in the address, or in the body of a long one."""
    if request.method == "POST":
        return await _text(request, "text")
    try:
        return unpacked(request.query.get("d", ""))
    except PackingError as error:
        raise web.HTTPBadRequest(reason=str(error)) from None


async def _set_of(request: web.Request) -> dict[str, str]:
    """The design and the lists of a view, as the fields of a question."""
    return {"text": await _design_of(request), "lists": await _lists(request)}


async def _lists(request: web.Request) -> str:
    """The lists in the body, if there is one."""
    if request.method != "POST":
        return ""
    try:
        return packed_lists(await _field(request, "lists"))
    except GivenError as error:
        raise web.HTTPBadRequest(reason=str(error)) from None


async def _against(request: web.Request) -> str:
    """The design to compare with in the body, if there is one."""
    try:
        return packed_design(await _field(request, "against"))
    except GivenError as error:
        raise web.HTTPBadRequest(reason=str(error)) from None


async def _quotes(request: web.Request) -> str:
    """The price lists of suppliers in the body, if there are any."""
    try:
        return packed_quotes(await _field(request, "quotes"))
    except GivenError as error:
        raise web.HTTPBadRequest(reason=str(error)) from None


async def _answers(request: web.Request) -> str:
    """The answers in the body to the questions that a new design begins with."""
    given = await _field(request, "answers")
    chosen = {name: {one["key"] for one in known} for name, known in questions().items()}
    if not isinstance(given, dict) or not all(
        isinstance(value, str)
        and (value in chosen[name] if name in chosen else len(value) <= ANSWER_LETTERS)
        for name, value in given.items()
        if name in QUESTIONS
    ):
        raise web.HTTPBadRequest(reason="answers must be an object with texts that can be chosen")
    return json.dumps({name: given[name] for name in QUESTIONS if name in given})


async def _field(request: web.Request, name: str) -> Json:
    """What has that name in the body, which is an object in JSON; None where nothing has."""
    try:
        fields = json.loads(await body_of(request))
    except (ValueError, RecursionError):
        return None
    return fields.get(name) if isinstance(fields, dict) else None


async def _text(request: web.Request, name: str) -> str:
    """A text in the body."""
    value = await _field(request, name)
    if not isinstance(value, str):
        raise web.HTTPBadRequest(reason=f"the body must be an object in JSON with the text {name}")
    if len(value) > DESIGN_BYTES:
        raise web.HTTPRequestEntityTooLarge(DESIGN_BYTES, len(value))
    try:
        value.encode()
    except UnicodeEncodeError:
        # JSON can write such a half on its own; no file and no address can hold it.
        message = f"the text {name} contains half a character (a lone surrogate); remove it"
        raise web.HTTPBadRequest(reason=message) from None
    return value
