"""A finding: what a check discovered, where, how far off, and what to do about it.

Findings are never exceptions: a frame with errors among its findings can be laid
out and drawn, and nothing here calls a frame safe.
"""

from __future__ import annotations

import enum

from msgspec import Struct

from frame3d.frame.model.members import Member


class Severity(enum.Enum):
    """How much a finding matters."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


COMMON_PRACTICE = "common practice, no source"
"""What stands as the source of a rule of the trade that has no published one."""


class Rule(Struct, frozen=True, kw_only=True):
    """What a check looks for.

    Parameters
    ----------
    name : str
        Its id, for example ``tie-headroom``; stable, as designs accept findings by it.
    severity : Severity
    meaning : str
        What is looked for, in one sentence.
    source : str
        A standard, a publication, or :data:`COMMON_PRACTICE`.
    """

    name: str
    severity: Severity
    meaning: str
    source: str


class Finding(Struct, frozen=True, kw_only=True):
    """One thing that a rule found.

    Parameters
    ----------
    rule : Rule
    where : str
        Marks and place in the grid, or the field of the design.
    required, provided : float or None
        In ``unit``; None where the rule has no number.
    unit : str
        ``mm``, ``deg``, ``share``, or empty.
    message : str
        One sentence: what was found.
    advice : str
        One sentence: what to do.
    is_most : bool
        True where ``required`` is the most that is allowed, and not the least.
    fine : bool
        True for fits, which are told more finely than a tape measure shows.
    accepted : str or None
        The reason for which the design accepts it.
    members : tuple of Member
        Those that it is about, objects of the frame; none where it is about the frame as a
        whole, an opening, or something outside of it.
    field : str
        The field or section of the design that it is about, such as ``rail[2].height``; empty
        for none.
    against : str
        A second field, where it takes two values that contradict each other; empty for none.
    """

    rule: Rule
    where: str
    message: str
    advice: str
    required: float | None = None
    provided: float | None = None
    unit: str = ""
    is_most: bool = False
    fine: bool = False
    accepted: str | None = None
    members: tuple[Member, ...] = ()
    field: str = ""
    against: str = ""

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks of :attr:`members`, each once, in their order."""
        return tuple(dict.fromkeys(member.mark for member in self.members))

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields that it names: none, one, or the two that contradict each other."""
        return tuple(dict.fromkeys(name for name in (self.field, self.against) if name))

    @property
    def severity(self) -> Severity:
        """That of the rule; a note once the design accepts it."""
        return Severity.NOTE if self.accepted is not None else self.rule.severity

    @property
    def margin(self) -> float | None:
        """What is left to the limit, negative beyond it; None where the rule has no number."""
        if self.required is None or self.provided is None:
            return None
        over = self.provided - self.required
        return -over if self.is_most else over
