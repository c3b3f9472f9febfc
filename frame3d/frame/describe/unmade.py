"""Parts whose solids could not be made: what stands in the model files for them.

Drawings, lists and the guide need no solids, so such a part loses nothing but its place in the
model; it is told wherever somebody could rely on that place.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Mapping

from msgspec import Struct

from frame3d.frame.model.roles import Role


class Lack(enum.Enum):
    """What the model lacks; the value is what the name in the model files begins with."""

    NOT_BORED = "NOT BORED"
    NOT_MADE = "NOT MADE"


class Unmade(Struct, frozen=True, kw_only=True):
    """A part that the model files show without its holes, or not at all.

    Parameters
    ----------
    mark : str
    role : Role
    lack : Lack
    reason : str
        What went wrong with its solid.
    """

    mark: str
    role: Role
    lack: Lack
    reason: str

    @property
    def name(self) -> str:
        """What it is called in the model files: ``NOT BORED H1``."""
        return f"{self.lack.value} {self.mark}"

    @property
    def words(self) -> str:
        """What its sheet, the cover and the screen say of it."""
        return (
            f"{self.name}: {self.mark} ({self.role.value}) is {_LOST[self.lack]}, because "
            "its solid could not be made. Drawings, lists and model.ifc show it complete: "
            "work from them, not from the other models."
        )


_LOST = {
    Lack.NOT_BORED: "without its holes in model.step, model.stl and model.glb",
    Lack.NOT_MADE: "missing from model.step, model.stl and model.glb",
}


def told_together(unmade: Iterable[Unmade]) -> tuple[str, ...]:
    """A sentence for each kind of lack, with the names of all that it befell."""
    names: dict[Lack, list[str]] = {}
    for one in unmade:
        names.setdefault(one.lack, []).append(one.name)
    return tuple(
        f"{', '.join(names[lack])}: {_LOST[lack]}. Drawings, lists and model.ifc "
        "show every part complete: work from them, not from the other models."
        for lack in Lack
        if lack in names
    )


def names_in_model(unmade: Iterable[Unmade]) -> Mapping[str, str]:
    """By mark, what parts are called in model files that are not called by their marks."""
    return {one.mark: one.name for one in unmade}
