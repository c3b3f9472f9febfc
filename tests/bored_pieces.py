"""Random bored tubes, bent and straight, and what judges the solid of one.

As a program it tries as many as it is told, in a process that is ended when it hangs:

    python tests/bored_pieces.py 0 10000

tries the pieces numbered 0 to 9,999 and tells of each that fails.
"""

from __future__ import annotations

import functools
import math
import multiprocessing
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from frame3d.catalog.lookup import tube_rows
from frame3d.catalog.sections import TubeSection
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.parts import Flat, Hole, Swage, Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.paths import Arc, Line, PlanePath, Segment

LIMIT_S = 120.0
"""How long a piece may keep the processor busy before it is called hung."""
MOST_TOLERANCE_MM = 1e-3
MOST_VOLUME = 1e-6
_WIDEST_MM = 60_000.0
_TIMES_TUBE = 4.0
"""The tightest bends, in outside diameters: less than any default of ``smallest_bend``."""
_NEAR_MM = 6.0
_WEB_MM = 0.3
"""The least steel that is left between two holes."""


NEAR_TANGENT = tuple(
    sign * size for size in (1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.1) for sign in (1, -1)
) + (0.0,)
"""How far from where a hole's edge would touch a joint, mm."""


def overlapping(hole: Hole, section: TubeSection) -> Hole:
    """A hole of another clock angle that runs into ``hole`` in the wall of a tube."""
    turned = 0.5 * hole.diameter_mm / section.od_mm
    return Hole(
        at_mm=hole.at_mm + hole.diameter_mm / 2,
        clock_rad=hole.clock_rad + turned,
        diameter_mm=hole.diameter_mm,
    )


@functools.cache
def sections() -> tuple[TubeSection, ...]:
    """The tubes of the catalogue that hoops, rails and braces are made of."""
    found = (row.value for row in tube_rows())
    return tuple(s for s in found if 20.0 < s.od_mm < 100.0 and s.inside_mm > 15.0)


def piece(number: int) -> Tube:
    """The random piece of a number: always the same one."""
    # Not by the number alone: neighbouring seeds begin alike.
    chance = random.Random(f"piece {number}")
    section = chance.choice(sections())
    axis = _axis(chance, section.od_mm)
    start, end = (_end(chance, section, axis, at) for at in (0, -1))
    tube = Tube(section=section, axis=axis, start=start, end=end)
    return Tube(section=section, axis=axis, start=start, end=end, holes=_holes(chance, tube))


def _radius(chance: random.Random, od_mm: float) -> float:
    low, high = math.log(_TIMES_TUBE * od_mm), math.log(_WIDEST_MM)
    return math.exp(chance.uniform(low, high))


def _axis(chance: random.Random, od_mm: float) -> PlanePath:
    segments: list[Segment] = []
    for _ in range(chance.choice((1, 2, 2, 3, 3, 4))):
        radius = _radius(chance, od_mm)
        # Some short ones, which a hole can hold whole.
        length = chance.choice(
            (chance.uniform(1.0, 20.0), chance.uniform(60.0, 2500.0), chance.uniform(60.0, 2500.0))
        )
        straight = chance.random() < 0.3 and not (segments and isinstance(segments[-1], Line))
        if straight:
            segments.append(Line(length))
        else:
            angle = min(length / radius, 2.5)
            segments.append(Arc(radius, chance.choice((1, 1, 1, -1)) * angle))
    if sum(s.length_mm for s in segments) < 150.0:
        segments.append(Arc(_radius(chance, od_mm), 0.0))
        segments[-1] = Arc(segments[-1].radius_mm, 300.0 / segments[-1].radius_mm)
    return PlanePath(tuple(segments))


def _end(chance: random.Random, section: TubeSection, axis: PlanePath, at: int):
    """A swage at one end of ten, a flat at one of ten that are straight for long enough."""
    kind, segment = chance.random(), axis.segments[at]
    if kind < 0.1 and axis.length_mm > 500.0:
        less = chance.uniform(0.75, 0.95) * section.od_mm
        return Swage(
            od_mm=max(less, 2 * section.wall_mm + 16.0),
            length_mm=chance.uniform(40.0, 120.0),
            taper_mm=chance.uniform(10.0, 40.0),
        )
    if 0.1 < kind < 0.4 and isinstance(segment, Line) and segment.length_mm > 300.0:
        return Flat(
            length_mm=chance.uniform(40.0, 80.0),
            transition_mm=chance.uniform(30.0, 60.0),
            clock_rad=chance.uniform(0.0, math.pi),
            slant_rad=chance.choice((0.0, chance.uniform(-0.5, 0.5))),
        )
    return None


def _holes(chance: random.Random, tube: Tube) -> tuple[Hole, ...]:
    """One to seven holes; in half the pieces near a joint of the axis or near another hole."""
    near = chance.random() < 0.5
    joints = [at for at, _ in tube.axis.starts[1:]]
    wanted, found, tries = chance.randint(1, 7), [], 0
    while len(found) < wanted and tries < 400:
        tries += 1
        diameter = chance.choice((6.5, 9.0, 11.0, 12.0, 14.3, chance.uniform(4.0, 20.0)))
        diameter = min(diameter, 0.6 * _bore(tube))
        at = chance.uniform(0.0, tube.length_mm)
        if near and joints and chance.random() < 0.6:
            at = chance.choice(joints) + chance.uniform(-_NEAR_MM, _NEAR_MM)
            if chance.random() < 0.3:  # its edge all but touches the joint
                at = chance.choice(joints) + chance.choice((-1, 1)) * (
                    diameter / 2 + chance.choice((1, -1)) * 10 ** chance.uniform(-6.0, -1.0)
                )
        elif near and found and chance.random() < 0.8:
            other = chance.choice(found)
            at = other.at_mm + chance.choice((-1, 1)) * chance.uniform(0.0, 3 * diameter)
        clock = chance.choice((0.0, math.pi / 2, chance.uniform(0.0, math.pi)))
        hole = Hole(at_mm=at, clock_rad=clock, diameter_mm=diameter)
        if _fits(tube, hole, found):
            found.append(hole)
    return tuple(found)


def _bore(tube: Tube) -> float:
    swages = [end.od_mm for end in (tube.start, tube.end) if isinstance(end, Swage)]
    return min([tube.section.od_mm, *swages]) - 2 * tube.section.wall_mm


def _fits(tube: Tube, hole: Hole, others: Iterable[Hole]) -> bool:
    """Whether a hole keeps clear of ends, of what is pressed, and of other holes."""
    reach, length = hole.diameter_mm / 2, tube.length_mm
    for end, to_end in ((tube.start, hole.at_mm), (tube.end, length - hole.at_mm)):
        if to_end < 1.3 * reach + 3.0:
            return False
        if isinstance(end, Flat) and to_end < end.length_mm + end.transition_mm + 1.3 * reach + 3.0:
            # Or wholly in the flat.
            if not 25.0 + reach < to_end < end.length_mm - reach - 1.0:
                return False
            if hole.diameter_mm > 20.0:
                return False
    inside = _bore(tube) / 2
    for other in others:
        turned = abs(math.remainder(hole.clock_rad - other.clock_rad, math.pi))
        away = math.hypot(0.75 * (hole.at_mm - other.at_mm), inside * turned)
        wide = sum(inside * math.asin(min(h.diameter_mm / 2 / inside, 1.0)) for h in (hole, other))
        if away < wide + _WEB_MM:
            return False
        in_flat = any(
            isinstance(end, Flat) and to_end < end.length_mm + end.transition_mm
            for end, to_end in ((tube.start, other.at_mm), (tube.end, length - other.at_mm))
        )
        if in_flat and abs(hole.at_mm - other.at_mm) < reach + other.diameter_mm / 2 + _WEB_MM:
            return False
    return True


def fault_of(tube: Tube, folder: Path, *, reads: bool = True) -> str:
    """What is wrong with the solid of ``tube``, in a few words; empty if nothing is.

    With ``reads`` it is written as STEP and read back too, which takes a third of the time.
    """
    # The kernel is loaded in the process that may have to be ended.
    from frame3d.errors import SolidError
    from frame3d.solids.kernel.solid import greatest_tolerance_mm, tolerance
    from frame3d.solids.meshes.meshes import mesh_of
    from frame3d.solids.parts.make_solids import make_solid

    try:
        solid = make_solid(tube, mark="T1", role=Role.HOOP)
        mesh_of(solid)  # tells if its triangles do not close
    except SolidError as error:
        return str(error)
    off = solid.volume_mm3 / volume_mm3(tube) - 1
    # Wider only at a hole that reaches into a taper on a bend, which arithmetic does not know.
    if abs(off) > max(MOST_VOLUME, tolerance(tube)):
        return f"volume off by {off:.1e}"
    if (widest := greatest_tolerance_mm(solid.shape)) > MOST_TOLERANCE_MM:
        return f"tolerance of {widest:.1e} mm"
    return read_back_fault(solid.shape, folder) if reads else ""


def read_back_fault(shape, folder: Path) -> str:
    """What is wrong with a shape once it has been written as STEP and read."""
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer

    from frame3d.solids.kernel.solid import greatest_tolerance_mm, solids_in
    from frame3d.solids.write.step import quiet

    path = str(folder / "piece.step")
    with quiet():
        writer, reader = STEPControl_Writer(), STEPControl_Reader()
        writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
        writer.Write(path)
        if reader.ReadFile(path) != IFSelect_ReturnStatus.IFSelect_RetDone:
            return "STEP cannot be read"
        reader.TransferRoots()
    found = reader.OneShape()
    if len(solids_in(found)) != 1:
        return f"{len(solids_in(found))} solids read back"
    if not BRepCheck_Analyzer(found).IsValid():
        return "not valid when read back"
    if (widest := greatest_tolerance_mm(found)) > MOST_TOLERANCE_MM:
        return f"tolerance of {widest:.1e} mm when read back"
    return ""


def _work(pipe) -> None:
    with tempfile.TemporaryDirectory() as folder:
        while (asked := pipe.recv()) is not None:
            tube, reads = asked
            try:
                fault = fault_of(tube, Path(folder), reads=reads)
            except Exception as error:  # told like any other fault
                fault = f"{type(error).__name__}: {error}"
            pipe.send(fault)


def _busy_s(process: int) -> float:
    """How long a process has been at work, which on a busy machine is less than the clock says."""
    try:
        fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    except FileNotFoundError:
        return time.monotonic()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


class Judge:
    """Tries tubes in a process of its own, which is ended when it hangs or dies.

    One process for as many tubes as come: to load the kernel takes longer than to try a few.
    """

    def __init__(self) -> None:
        self._worker, self._pipe = None, None

    def faults(self, tubes: Iterable[Tube]) -> Iterator[str]:
        """What is wrong with each tube."""
        return map(self.fault, tubes)

    def fault(self, tube: Tube, *, reads: bool = True) -> str:
        """What is wrong with a tube; with ``reads`` as others read it, too."""
        if self._worker is None:
            context = multiprocessing.get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._worker = context.Process(target=_work, args=(theirs,), daemon=True)
            self._worker.start()
            theirs.close()
        self._pipe.send((tube, reads))
        try:
            begun = _busy_s(self._worker.pid)
            while not self._pipe.poll(2.0) and _busy_s(self._worker.pid) - begun < LIMIT_S:
                pass
            fault = self._pipe.recv() if self._pipe.poll() else "hangs"
        except EOFError:
            fault = "the process died"
        if fault in ("hangs", "the process died"):
            self._worker.kill()
            self._worker = None
        return fault

    def close(self) -> None:
        """End the process."""
        if self._worker is not None:
            self._pipe.send(None)
            self._worker.join(10)
            self._worker = None


def main(first: int, after: int) -> int:
    """Try pieces by number and say what came of it; the number that failed, 255 at most."""
    kinds: Counter[str] = Counter()
    numbers = range(first, after)
    judge = Judge()
    for number, fault in zip(numbers, judge.faults(map(piece, numbers)), strict=True):
        if fault:
            kinds[fault.split(":")[0][:40]] += 1
            sys.stdout.write(f"{number}: {fault}\n")
        if number % 25 == 24:
            sys.stdout.write(f"up to {number}: {sum(kinds.values())} failed\n")
        sys.stdout.flush()
    judge.close()
    sys.stdout.write(f"{after - first} pieces, {sum(kinds.values())} failed\n")
    return min(sum(kinds.values()), 255)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:3])))
