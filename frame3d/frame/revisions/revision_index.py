"""The revision of a set: its index, and whether the design's entries agree."""

from __future__ import annotations

from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignError

NO_REVISION = "-"


def revision_of(design: Design) -> str:
    """The index in the title block: that of the last entry, or the one that the project gives."""
    return design.revision[-1].mark if design.revision else design.project.revision


def project_record(design: Design) -> dict[str, str]:
    """The project as JSON files hold it, with the revision in the title block."""
    return design.project.model_dump(mode="json") | {"revision": revision_of(design)}


def check_revisions(design: Design) -> None:
    """Look whether each entry has an index of its own, and the project gives the last one.

    Raises
    ------
    DesignError
        If not.
    """
    seen: dict[str, int] = {}
    for number, one in enumerate(design.revision, start=1):
        if one.mark in seen:
            raise DesignError(
                f'got "{one.mark}", which revision[{seen[one.mark]}] has too; give each revision '
                "a mark of its own",
                f"revision[{number}].mark",
            )
        seen[one.mark] = number
    given = design.project.revision
    if design.revision and given not in (NO_REVISION, revision_of(design)):
        raise DesignError(
            f'got "{given}", but the last revision is "{revision_of(design)}"; remove this '
            "field, or give the same",
            "project.revision",
        )
