"""Gothic and quonset high-tunnel frames, from a design to solids and drawings.

Axes, everywhere: right-handed, X across the width, Y along the length, Z up. The
origin lies on the centreline, in the plane of the first hoop, at nominal ground.
Inside the package lengths are in millimetres, masses in kilograms and angles in
radians; names at boundaries carry the unit.

The whole way from a file to files is ``load_design``, ``lay_out`` and ``build``. Names are
loaded when they are first asked for, so that ``import frame3d`` costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from frame3d.api import design_from, draw, take_off, write_model, write_sheets
    from frame3d.building import BuildResult, build
    from frame3d.checks.all_checks import check_frame as check
    from frame3d.checks.findings.finding import Finding
    from frame3d.design.reading.reader import notes_of as reading_notes
    from frame3d.design.reading.reader import read_design as load_design
    from frame3d.design.tables.whole_design import Design
    from frame3d.errors import DesignError, DesignFaults, OutputError
    from frame3d.examples import example_paths
    from frame3d.frame.describe.wording import describe, lengths_of
    from frame3d.frame.located import laid_out as lay_out
    from frame3d.frame.measure.measures import mass_kg
    from frame3d.frame.model.members import Frame, Member
    from frame3d.frame.model.roles import Role
    from frame3d.frame.revisions.comparison import compared as compare_parts
    from frame3d.frame.revisions.keeping import with_marks_of
    from frame3d.frame.skin.cover_film import cover_lines
    from frame3d.frame.space.headroom import headroom_of
    from frame3d.loads.comparison import Comparison
    from frame3d.loads.comparison import compared as compare_loads
    from frame3d.sheets.layout.sheet import SheetSet
    from frame3d.sheets.write.pdf_write import sheet_pictures
    from frame3d.single_builds import (
        build_engineer_model,
        build_guide,
        build_loads,
        build_order,
        build_site,
        build_takeoff,
    )
    from frame3d.site.survey import Site
    from frame3d.site.survey import survey_site as set_out
    from frame3d.site.write.site_report import figures as site_figures
    from frame3d.site.write.site_report import findings as site_findings
    from frame3d.site.write.site_tables import site_tables
    from frame3d.solids.write.cadquery_assembly import to_cadquery
    from frame3d.solids.write.scale_model import scale_model
    from frame3d.solids.write.trimesh_scene import to_trimesh
    from frame3d.studies.results.result import StudyResult
    from frame3d.studies.run_study import study
    from frame3d.summary import main_figures
    from frame3d.takeoff.take_off import Takeoff
    from frame3d.takeoff.write.bar_picture import bar_picture
    from frame3d.takeoff.write.part_lists import tables_of

__version__ = "0.1.0"

_HOMES = {
    "frame3d.api": ("design_from", "draw", "take_off", "write_model", "write_sheets"),
    "frame3d.building": ("BuildResult", "build"),
    "frame3d.single_builds": (
        "build_engineer_model",
        "build_guide",
        "build_loads",
        "build_order",
        "build_site",
        "build_takeoff",
    ),
    "frame3d.checks.all_checks": ("check=check_frame",),
    "frame3d.checks.findings.finding": ("Finding",),
    "frame3d.design.reading.reader": ("load_design=read_design", "reading_notes=notes_of"),
    "frame3d.design.tables.whole_design": ("Design",),
    "frame3d.errors": ("DesignError", "DesignFaults", "OutputError"),
    "frame3d.examples": ("example_paths",),
    "frame3d.frame.skin.cover_film": ("cover_lines",),
    "frame3d.frame.describe.wording": ("describe", "lengths_of"),
    "frame3d.frame.located": ("lay_out=laid_out",),
    "frame3d.frame.measure.measures": ("mass_kg",),
    "frame3d.frame.model.members": ("Frame", "Member"),
    "frame3d.frame.model.roles": ("Role",),
    "frame3d.frame.revisions.comparison": ("compare_parts=compared",),
    "frame3d.frame.revisions.keeping": ("with_marks_of",),
    "frame3d.frame.space.headroom": ("headroom_of",),
    "frame3d.loads.comparison": ("Comparison", "compare_loads=compared"),
    "frame3d.sheets.layout.sheet": ("SheetSet",),
    "frame3d.sheets.write.pdf_write": ("sheet_pictures",),
    "frame3d.site.write.site_report": ("site_figures=figures", "site_findings=findings"),
    "frame3d.site.write.site_tables": ("site_tables",),
    "frame3d.site.survey": ("Site", "set_out=survey_site"),
    "frame3d.solids.write.cadquery_assembly": ("to_cadquery",),
    "frame3d.solids.write.scale_model": ("scale_model",),
    "frame3d.solids.write.trimesh_scene": ("to_trimesh",),
    "frame3d.studies.results.result": ("StudyResult",),
    "frame3d.studies.run_study": ("study",),
    "frame3d.summary": ("main_figures",),
    "frame3d.takeoff.take_off": ("Takeoff",),
    "frame3d.takeoff.write.bar_picture": ("bar_picture",),
    "frame3d.takeoff.write.part_lists": ("tables_of",),
}
"""Where each public name lies; ``check=check_frame`` is called so there. A test holds it
against what a type checker sees."""
_HOME = {name.partition("=")[0]: (home, name) for home, names in _HOMES.items() for name in names}

__all__ = [
    "__version__",
    "BuildResult",
    "Comparison",
    "Design",
    "DesignError",
    "DesignFaults",
    "Finding",
    "Frame",
    "Member",
    "OutputError",
    "Role",
    "SheetSet",
    "Site",
    "StudyResult",
    "Takeoff",
    "bar_picture",
    "build",
    "build_engineer_model",
    "build_guide",
    "build_loads",
    "build_order",
    "build_site",
    "build_takeoff",
    "check",
    "compare_loads",
    "compare_parts",
    "cover_lines",
    "describe",
    "design_from",
    "draw",
    "example_paths",
    "headroom_of",
    "lay_out",
    "lengths_of",
    "load_design",
    "main_figures",
    "mass_kg",
    "reading_notes",
    "scale_model",
    "set_out",
    "sheet_pictures",
    "site_figures",
    "site_findings",
    "site_tables",
    "study",
    "tables_of",
    "take_off",
    "to_cadquery",
    "to_trimesh",
    "with_marks_of",
    "write_model",
    "write_sheets",
]


if not TYPE_CHECKING:  # a checker would take any name then

    def __getattr__(name):
        import importlib

        if name not in _HOME:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        home, called = _HOME[name]
        own = called.rpartition("=")[2]
        globals()[name] = found = getattr(importlib.import_module(home), own)
        return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
