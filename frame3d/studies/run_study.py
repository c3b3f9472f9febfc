"""Carry out a plan: rows that are there are taken over, the others worked out and kept at once."""

from __future__ import annotations

import contextlib
import json
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from pathlib import Path
from typing import IO

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList, list_text
from frame3d.design.tables.fields import Table
from frame3d.errors import DesignError, DesignFaults, Fault, present, unwritable
from frame3d.frame.located import laid_out
from frame3d.side_process import cores
from frame3d.studies.figures.figure import Sources
from frame3d.studies.figures.from_loads import asks_loads
from frame3d.studies.figures.known import UnknownFigureError, check_paths
from frame3d.studies.plan.read_plan import plan_from_mapping
from frame3d.studies.plan.variants import Variant, changed, variants_of
from frame3d.studies.plan.whole_plan import Plan
from frame3d.studies.results.result import StudyResult, compared
from frame3d.studies.rows.row import Row, State, program_key, row_key
from frame3d.studies.rows.row_file import RowFile
from frame3d.studies.rows.work_out import Task
from frame3d.studies.running.engine import Crew, Progress, run_tasks
from frame3d.studies.running.local_pool import LocalPool
from frame3d.takeoff.take_off import read_user_lists
from frame3d.units.data_tables import Json

ROWS, FAULTS = "rows.jsonl", "faults.txt"
TOO_MANY = 10_000
"""With more designs somebody is asked first."""
_LISTS = (("prices", "price_file"), ("stock", "stock_file"))

Vary = Mapping[str | tuple[str, ...], Sequence[Json]]
Tell = Callable[[Progress], None]


def study(
    base: str | Path | Table,
    *,
    vary: Vary,
    ask: Sequence[str] = (),
    conditions: Sequence[str] = (),
    goals: Sequence[str] = (),
    sample: int | None = None,
    seed: int = 1,
    folder: str | Path | None = None,
    executor: Executor | None = None,
    workers: int | None = None,
    tell: Tell | None = None,
) -> StudyResult:
    """Compare many designs: those that come of ``base`` by giving fields other values.

    Parameters
    ----------
    base : str, Path or dict
        A design file, or a mapping of its sections.
    vary : mapping
        Fields, such as ``"profile.width"``, and the values of each, as a design file has them;
        ``"left out"`` leaves a field out. Fields that go together are a tuple, and each of their
        values a tuple too.
    ask, conditions, goals : sequences of str
        Figures, ``"errors = 0"``, ``"cost down"``; ``frame3d study --figures`` lists the figures.
    sample : int or None
        How many designs to draw by a Latin hypercube with ``seed``; None for all combinations.
    folder : str, Path or None
        Where rows are kept, so that a study which was ended goes on; None keeps none.
    executor : Executor or None
        Of ``concurrent.futures``, or of Dask; it is not shut down. None: processes of our own.
    workers : int or None
        How many processes; None for one a core. With 1, and no executor, still another process.
    tell : callable or None
        Is told of the progress.

    Figures of loads compare each design with ``base``. None of them says what a frame carries; what
    is to be said beside them is ``StudyResult.cautions``.

    Raises
    ------
    DesignFaults
        With all faults of the plan.
    OutputError
        If the folder cannot be written, or the executor has gone; rows that were there are kept.

    Examples
    --------
    >>> import frame3d
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> with ThreadPoolExecutor(1) as here:
    ...     found = frame3d.study(
    ...         frame3d.example_paths()["long_meadow_quonset"],
    ...         vary={"bays.largest_spacing": ["1.2 m", "1.5 m"]}, ask=["hoops"], executor=here,
    ...     )
    >>> [row.figures["hoops"] for row in found.rows]
    [21, 17]
    """
    tables: list[dict[str, Json]] = [
        {"field": names, "values": list(values)} if isinstance(names, str)
        else {"fields": list(names), "values": [_listed(value) for value in values]}
        for names, values in vary.items()
    ]  # fmt: skip
    section: dict[str, Json] = {
        "ask": list(ask), "conditions": list(conditions), "goals": list(goals), "seed": seed,
    }  # fmt: skip
    if sample is not None:
        section["sample"] = sample
    plan = plan_from_mapping({"study": section, "vary": tables}, base)
    place = None if folder is None else Path(folder)
    if executor is not None:
        crew = Crew(executor=executor, places=cores())
        return carry_out(plan, crew, place, tell or _say_nothing)
    with local_crew(workers, place) as crew:
        return carry_out(plan, crew, place, tell or _say_nothing)


def _listed(value: Json) -> Json:
    return list(value) if isinstance(value, tuple) else value


@contextlib.contextmanager
def local_crew(workers: int | None, folder: Path | None) -> Iterator[Crew]:
    """Processes of our own; what the program tells of its own faults goes to ``faults.txt``."""
    count = workers or cores()
    with _fault_file(folder) as errors:
        pool = LocalPool(count, errors=errors.fileno())
        try:
            yield Crew(executor=pool, places=count)
        finally:
            # Nothing is waited for: what is still being worked out nobody wants any more.
            pool.shutdown(wait=False, cancel_futures=True)


@contextlib.contextmanager
def _fault_file(folder: Path | None) -> Iterator[IO[bytes]]:
    """A file for tracebacks, in the folder of the study once there is something in it."""
    with tempfile.TemporaryFile() as file:
        yield file
        file.seek(0)
        told = file.read()
        if told and folder is not None:
            with contextlib.suppress(OSError):  # of no use where the disk is full
                (folder / FAULTS).write_bytes(told)


def carry_out(plan: Plan, crew: Crew, folder: Path | None, tell: Tell) -> StudyResult:
    """The result of ``plan``; errors as :func:`study`."""
    lists = _lists_of(plan)
    _check_base(plan, lists)
    if folder is None:
        with tempfile.TemporaryDirectory() as made:
            return _carried_out(plan, crew, Path(made), tell, lists, kept=False)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise unwritable(folder, error) from error
    return _carried_out(plan, crew, folder, tell, lists, kept=True)


def _carried_out(
    plan: Plan, crew: Crew, folder: Path, tell: Tell, lists: dict[str, GivenList], *, kept: bool
) -> StudyResult:
    program = program_key()
    base = json.dumps(plan.base, default=str) if asks_loads(plan.figures) else None

    def key_of(variant: Variant) -> tuple[str, str]:
        mapping = changed(plan.base, variant.values(plan))
        return row_key(mapping, lists, program, base), json.dumps(mapping, default=str)

    with RowFile(folder / ROWS) as file:
        there: dict[str, State] = {r.key: r.state for r in file.rows() if r.has(plan.figures)}
        wanted = {key_of(variant)[0] for variant in variants_of(plan)}
        states = [state for key, state in there.items() if key in wanted]
        done = Progress(
            done=len(states), left=len(wanted) - len(states), left_s=None,
            refused=states.count(State.REFUSED), failed=states.count(State.FAILED),
        )  # fmt: skip
        tell(done)

        def missing() -> Iterator[tuple[str, str]]:
            sent = set(there)
            for key, text in map(key_of, variants_of(plan)):
                if key not in sent:
                    sent.add(key)
                    yield key, text

        def ask(designs: tuple[str, ...]) -> Task:
            given = {what: (one.name, one.text) for what, one in lists.items()}
            return Task(
                designs=designs, lists=given, figures=plan.figures, program=program, base=base
            )  # fmt: skip

        run_tasks(crew, missing(), ask, file.add, tell, done=done)
        rows = {row.key: row for row in file.rows() if row.key in wanted and row.has(plan.figures)}
    return StudyResult(
        plan=plan,
        rows=tuple(
            compared(plan, variant, _row(rows, key_of(variant)[0])) for variant in variants_of(plan)
        ),
        folder=folder if kept else None,
    )


def _row(rows: Mapping[str, Row], key: str) -> Row:
    return present(rows.get(key), f"row {key}")


def _lists_of(plan: Plan) -> dict[str, GivenList]:
    """The lists that the designs name, as texts: workers open no file.

    Raises
    ------
    DesignFaults
        If one cannot be read.
    """
    order = plan.base.get("order")
    found = {}
    for what, field in _LISTS:
        name = order.get(field) if isinstance(order, dict) else None
        if isinstance(name, str):
            try:
                text = list_text(plan.folder / name, f"order.{field}")
            except DesignError as error:
                fault = Fault(where=error.where, message=error.message)
                raise DesignFaults([fault], "the base of the study") from None
            found[what] = GivenList(name=name, text=text)
    return found


def _check_base(plan: Plan, lists: dict[str, GivenList]) -> None:
    """See that lists and figures named by path will do, as far as the base can be laid out.

    Raises
    ------
    DesignFaults
        With the faults of a list, or with a figure that is in no record or has no base.
    """
    try:
        frame = laid_out(design_from_mapping(plan.base))
    except DesignFaults as error:  # a base need not be a design before its fields are chosen
        if asks_loads(plan.figures):
            told = f"an index needs a base that can be laid out, to compare with; {error.faults[0]}"
            raise DesignFaults([Fault(where="ask", message=told)], "study") from None
        return
    sources = Sources(frame, read_user_lists(frame, lists))
    try:
        check_paths(plan.figures, sources)
    except UnknownFigureError as error:
        raise DesignFaults([Fault(where="ask", message=str(error.args[0]))], "study") from None


def _say_nothing(progress: Progress) -> None:
    """Nobody asks."""
