"""A worker that takes too long or dies is ended, told, and followed by another."""

from __future__ import annotations

import asyncio
import os

import pytest

from frame3d.web.work.answers import Answers
from frame3d.web.work.workers import BusyError, CrashedError, TooSlowError, Worker, WorkerPool

TEXT = '[profile]\nstyle = "quonset"\nwidth = "16 ft"\n[bays]\ncount = 2\nspacing = "4 ft"\n'
OPEN = {"task": "open", "text": TEXT}


def test_a_worker_too_slow_or_dead_is_told_and_replaced() -> None:
    async def run() -> None:
        lane = Worker()
        with pytest.raises(TooSlowError):
            await lane.ask(OPEN, 0.001)
        assert (await lane.ask(OPEN, 60)).fields["design"]["bays"]["count"] == 2
        with pytest.raises(CrashedError):
            await lane.ask({"task": "nothing of the kind"}, 60)
        pid = await pid_of(lane)
        assert (await lane.ask(OPEN, 60)).fields["design"]
        assert await pid_of(lane) == pid  # the same process answers again
        await lane.stop()
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)

    async def pid_of(lane: Worker) -> int:
        await lane.start()
        return lane._process.pid

    asyncio.run(run())


def test_who_asks_the_same_gets_the_same_and_too_many_are_turned_away() -> None:
    async def run() -> None:
        lanes, answers = WorkerPool(1, 2), Answers()
        same = await asyncio.gather(*(answers.of(lanes, OPEN, 60) for _ in range(5)))
        assert all(answer is same[0] for answer in same)
        others = [{**OPEN, "text": f"{TEXT}# {number}"} for number in range(4)]
        told = await asyncio.gather(
            *(answers.of(lanes, other, 60) for other in others), return_exceptions=True
        )
        assert [isinstance(answer, BusyError) for answer in told].count(True) in (1, 2)
        # A refusal is not kept.
        assert (await answers.of(lanes, others[3], 60)).fields["design"]
        await lanes.stop()

    asyncio.run(run())


def test_what_can_wait_stands_behind_and_who_gives_up_leaves_the_line() -> None:
    async def run() -> list[str]:
        pool, turns = WorkerPool(1, 8), []

        async def wait(name: str, *, later: bool) -> None:
            async with pool.one(name, later=later):
                turns.append(name)

        async with pool.one("first"):
            line = [
                asyncio.create_task(wait(name, later=later))
                for name, later in (("set", True), ("gone", False), ("picture", False))
            ]
            await asyncio.sleep(0)
            line[1].cancel()
        # One that gives up as its turn comes hands it on.
        last = asyncio.create_task(wait("last", later=False))
        await asyncio.gather(*line, last, return_exceptions=True)
        async with pool.one("held"):
            given_up = asyncio.create_task(wait("given up", later=False))
            await asyncio.sleep(0)
        given_up.cancel()
        await asyncio.gather(given_up, return_exceptions=True)
        async with pool.one("free again"):
            turns.append("free again")
        return turns

    turns = asyncio.run(run())
    assert turns == ["picture", "set", "last", "free again"] or turns == [
        "picture", "last", "set", "free again",
    ]  # fmt: skip


def test_a_question_that_nobody_waits_for_is_dropped() -> None:
    async def run() -> None:
        lanes, answers = WorkerPool(1, 8), Answers()
        async with lanes.one("held"):
            asked = asyncio.create_task(answers.of(lanes, OPEN, 60))
            await asyncio.sleep(0)
            asked.cancel()
            await asyncio.gather(asked, return_exceptions=True)
            await asyncio.sleep(0)
        assert not answers._entries
        assert (await answers.of(lanes, OPEN, 60)).fields["design"]
        await lanes.stop()

    asyncio.run(run())


def test_who_follows_hears_how_far_it_is_and_can_stop_it() -> None:
    """Drawings: told by kinds of sheet in their order; stopped, the worker's process is ended."""

    async def run() -> None:
        lanes, answers = WorkerPool(1, 8), Answers()
        question = {"task": "sheets", "text": TEXT, "lists": ""}
        told: list[tuple[str, int, int]] = []
        begun = asyncio.Event()

        def follow(*step: str | int) -> None:
            told.append(step)
            begun.set()

        asked = asyncio.create_task(answers.of(lanes, question, 60, follow))
        await asyncio.wait_for(begun.wait(), 60)
        (lane,) = lanes._all
        pid = lane._process.pid
        asked.cancel()
        await asyncio.gather(asked, return_exceptions=True)
        async with lanes.one("any"):  # free again once it has been stopped
            with pytest.raises(ProcessLookupError):
                os.kill(pid, 0)
        told.clear()
        found = await answers.of(lanes, question, 120, follow)
        assert len(found.fields["sheets"]) >= 4
        steps = [step for step in told if step[0] == "drawing the sheets"]
        assert [done for _, done, _ in steps] == list(range(steps[0][2]))
        await lanes.stop()

    asyncio.run(run())


def test_a_worker_is_known_for_its_last_designs_only() -> None:
    """It keeps four laid out (from its module): for an older one the other may as well be asked."""

    async def run() -> None:
        pool = WorkerPool(1, 10)
        for number in range(12):
            async with pool.one(f"design {number}") as lane:
                pass
        assert list(lane.keys) == [f"design {number}" for number in (8, 9, 10, 11)]

    asyncio.run(run())
