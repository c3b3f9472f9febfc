"""Factors of a stiffness by blocks of six: one for each node, many at a time.

A frame of bars is nearly a tree, so that its factors are as small as itself, and a library that
looks at one column after the other spends its time on looking. Here nodes that are not neighbours
are eliminated together, those with few neighbours first; what is eliminated when is found once for
a structure. Each block has a Cholesky factor, which there is of positive blocks alone: a stiffness
that is not positive has no factors.

References
----------
Multiple minimum degree: J. W. H. Liu, Modification of the minimum-degree algorithm by multiple
elimination, ACM TOMS 11 (1985).
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from msgspec import Struct

from frame3d.loads.solver.structure import Array, Structure

_SIX = 6


class _Round(Struct, frozen=True, kw_only=True):
    """Blocks that are eliminated together.

    Parameters
    ----------
    blocks : (k,) int
    slots : (p,) int
        Of the blocks below those in their columns, column by column.
    owner, row : (p,) int
        Which of ``blocks`` each is in the column of, and which block's row it is in.
    starts : (k',) int
        Where in ``slots`` the columns begin that have any; ``with_rows`` are their numbers.
    by_row, row_starts, rows : int
        ``slots`` sorted by their rows, where each row begins there, and which it is.
    first, second : (t,) int
        Pairs in ``slots`` whose product is taken from a block, sorted by that block.
    target_starts, targets : int
        Where each of those blocks begins there, and its slot.
    """

    blocks: Array
    slots: Array
    owner: Array
    row: Array
    starts: Array
    with_rows: Array
    by_row: Array
    row_starts: Array
    rows: Array
    first: Array
    second: Array
    target_starts: Array
    targets: Array


class BlockPattern:
    """Which blocks there are, where the entries of bars stand in them, and who goes when.

    Slots 0 to ``count`` - 1 are the blocks on the diagonal, the others those below it.
    """

    def __init__(self, structure: Structure) -> None:
        block, place = _blocks_of(structure)
        self.count = int(block.max(initial=-1)) + 1
        self.at = _SIX * block + place
        """Where each freedom stands among all places of blocks, (count of freedoms,) int."""
        free = np.zeros(structure.count, dtype=bool)
        free[structure.free] = True
        taken = np.zeros(_SIX * self.count, dtype=bool)
        taken[self.at[free]] = True
        self.empty = np.flatnonzero(~taken)
        """Places that no free freedom has: they hold a one and nothing else."""
        bars = block[structure.freedoms]
        self.rounds, self._slot_of = _rounds(self.count, [set(row.tolist()) for row in bars])
        self.slots = self.count + len(self._slot_of)
        self._entries(structure, block, place, free)

    def _entries(self, structure: Structure, block: Array, place: Array, free: Array) -> None:
        """Where the 144 entries of each bar go; those above the diagonal go nowhere."""
        rows = np.repeat(structure.freedoms, 12, axis=1).ravel()
        columns = np.tile(structure.freedoms, (1, 12)).ravel()
        b_row, b_column = block[rows], block[columns]
        keys = b_row * self.count + b_column
        known, back = np.unique(keys, return_inverse=True)
        slots = np.array([self._slot(*divmod(int(key), self.count)) for key in known])[back]
        kept = (slots >= 0) & free[rows] & free[columns]
        self.counted = np.flatnonzero(kept)
        self.entry = (36 * slots + _SIX * place[rows] + place[columns])[kept]

    def _slot(self, row: int, column: int) -> int:
        return row if row == column else self._slot_of.get((row, column), -1)

    def values(self, bars: Array, springs: Array) -> Array:
        """The blocks of a stiffness, (slots, 6, 6), of its bars (m, 144) and springs (n, 6)."""
        flat = np.bincount(self.entry, weights=bars.ravel()[self.counted],
                           minlength=36 * self.slots)  # fmt: skip
        whole = flat.reshape(self.slots, _SIX, _SIX)
        diagonal = whole[: self.count].reshape(-1, 36)[:, :: _SIX + 1]
        diagonal[: len(springs)] += springs
        block, place = divmod(self.empty, _SIX)
        whole[block, place, :] = whole[block, :, place] = 0.0
        whole[block, place, place] = 1.0
        return whole


def _blocks_of(structure: Structure) -> tuple[Array, Array]:
    """For each freedom its block and place: a node is one, a released end of a bar another."""
    nodes = 6 * len(structure.nodes)
    block = np.arange(structure.count) // _SIX
    place = np.arange(structure.count) % _SIX
    bar, end_freedom = np.nonzero(structure.released)
    ends = 2 * bar + end_freedom // _SIX
    block[nodes:] = len(structure.nodes) + np.unique(ends, return_inverse=True)[1]
    place[nodes:] = end_freedom % _SIX
    return block, place


def _rounds(
    count: int, together: Iterable[set[int]]
) -> tuple[tuple[_Round, ...], dict[tuple[int, int], int]]:
    """Who is eliminated when, and the slots of blocks below the diagonal by row and column."""
    near: list[set[int]] = [set() for _ in range(count)]
    for group in together:
        for one in group:
            near[one] |= group
    for number, group in enumerate(near):
        group.discard(number)
    left = set(range(count))
    slot_of: dict[tuple[int, int], int] = {}
    chosen: list[list[tuple[int, list[int]]]] = []
    while left:
        now = []
        blocked: set[int] = set()
        least = min(len(near[one]) for one in left)
        for one in sorted(left):
            if len(near[one]) <= max(least, 2) + 2 and one not in blocked:
                now.append((one, sorted(near[one])))
                blocked |= near[one]
        for one, others in now:
            left.discard(one)
            for other in others:
                near[other] |= near[one]
                near[other] -= {one, other}
                slot_of[other, one] = count + len(slot_of)
        chosen.append(now)
    when = {one: number for number, now in enumerate(chosen) for one, _ in now}
    return tuple(_round(now, when, slot_of) for now in chosen), slot_of


def _round(
    now: list[tuple[int, list[int]]], when: dict[int, int], slot_of: dict[tuple[int, int], int]
) -> _Round:
    slots: list[int] = []
    owner: list[int] = []
    row: list[int] = []
    starts: list[int] = []
    with_rows: list[int] = []
    pairs: list[tuple[int, int, int]] = []
    for number, (one, others) in enumerate(now):
        if others:
            starts.append(len(slots))
            with_rows.append(number)
        begin = len(slots)
        for k, other in enumerate(others):
            slots.append(slot_of[other, one])
            owner.append(number)
            row.append(other)
            pairs.append((other, begin + k, begin + k))
            for m, earlier in enumerate(others):
                # The later one is the row of the block that both meet in.
                if m != k and (when[earlier], earlier) < (when[other], other):
                    pairs.append((slot_of[other, earlier], begin + k, begin + m))
    by_row = np.argsort(np.array(row, dtype=int), kind="stable")
    rows, row_starts = np.unique(np.array(row, dtype=int)[by_row], return_index=True)
    made = np.array(sorted(pairs), dtype=int).reshape(-1, 3)
    targets, target_starts = np.unique(made[:, 0], return_index=True)
    return _Round(
        blocks=np.array([one for one, _ in now]), slots=np.array(slots, dtype=int),
        owner=np.array(owner, dtype=int), row=np.array(row, dtype=int),
        starts=np.array(starts, dtype=int), with_rows=np.array(with_rows, dtype=int),
        by_row=by_row, row_starts=row_starts, rows=rows,
        first=made[:, 1], second=made[:, 2], target_starts=target_starts, targets=targets,
    )  # fmt: skip


class BlockFactors:
    """The factors of a positive matrix of that pattern.

    Parameters
    ----------
    pattern : BlockPattern
    values : (slots, 6, 6) float
        They are spoilt.
    least : float
        What a pivot has to be more than, as a share of the entry on the diagonal.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a pivot is not positive, or not more than that.
    """

    def __init__(self, pattern: BlockPattern, values: Array, least: float) -> None:
        self._pattern = pattern
        diagonal = np.einsum("kii->ki", values[: pattern.count]).copy() if least else None
        self._steps: list[tuple[Array, Array]] = []
        for now in pattern.rounds:
            factor = np.linalg.cholesky(values[now.blocks])
            if diagonal is not None:
                pivots = np.einsum("kii->ki", factor) ** 2
                if not np.all(pivots > least * diagonal[now.blocks]):
                    raise np.linalg.LinAlgError("a pivot is next to nothing")
            inverse = np.linalg.inv(factor)
            below = values[now.slots] @ inverse[now.owner].transpose(0, 2, 1)
            if len(now.targets):
                products = below[now.first] @ below[now.second].transpose(0, 2, 1)
                values[now.targets] -= np.add.reduceat(products, now.target_starts, axis=0)
            self._steps.append((inverse, below))

    def solve(self, wanted: Array) -> Array:
        """Solve for right-hand sides, (places of blocks, r) float, in the pattern's places."""
        x = wanted.reshape(self._pattern.count, _SIX, -1).copy()
        rounds = self._pattern.rounds
        for now, (inverse, below) in zip(rounds, self._steps, strict=True):
            own = inverse @ x[now.blocks]
            x[now.blocks] = own
            if len(now.slots):
                moved = (below @ own[now.owner])[now.by_row]
                x[now.rows] -= np.add.reduceat(moved, now.row_starts, axis=0)
        for now, (inverse, below) in zip(rounds[::-1], self._steps[::-1], strict=True):
            own = x[now.blocks]
            if len(now.slots):
                back = below.transpose(0, 2, 1) @ x[now.row]
                own[now.with_rows] -= np.add.reduceat(back, now.starts, axis=0)
            x[now.blocks] = inverse.transpose(0, 2, 1) @ own
        return x.reshape(len(wanted), -1)
