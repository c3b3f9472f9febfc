"""The IFC file of a frame: project, units, the ground that it stands on, types and members.

The file follows from the design alone and needs no solid, so it holds every part with its bores,
those too of which the kernel makes none. The same design gives the same bytes.

References
----------
ISO 16739-1:2018, Industry Foundation Classes (IFC) for data sharing, of which the file holds what
the schema IFC4 has; its WHERE rules are held by the tests.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from frame3d import __version__
from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.wording import CAUTIONS, describe, lengths_of
from frame3d.frame.model.members import Frame, Member, PartCount
from frame3d.frame.model.roles import Role
from frame3d.frame.revisions.words import with_revision
from frame3d.geometry.placement import Placement
from frame3d.ifc.classes import IfcClass, class_of
from frame3d.ifc.doors import add_doors
from frame3d.ifc.geography import add_conversion, compound_angle, geography_of
from frame3d.ifc.global_ids import GlobalIds, Name
from frame3d.ifc.part21 import DERIVED, Enum, Lines, Ref, Value, text
from frame3d.ifc.properties import add_materials, add_properties
from frame3d.ifc.shapes import items_of
from frame3d.ifc.solids import Solids
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.role_colours import role_colour
from frame3d.writing import write_whole

_DATE = "2000-01-01"
"""Where a design has none: the same design gives the same bytes."""
_PRECISION_MM = 1e-4


def write_ifc(frame: Frame, path: Path, sheets: Mapping[str, str] | None = None) -> None:
    """Write every member of ``frame`` into an IFC file.

    Parameters
    ----------
    frame : Frame
    path : Path
    sheets : mapping of mark to str or None
        The sheet that a part is drawn on, where that is known.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    whole = ifc_text(frame, sheets or {}).encode("ascii")
    write_whole(path, lambda temporary: temporary.write_bytes(whole))


def ifc_text(frame: Frame, sheets: Mapping[str, str]) -> str:
    """The whole file."""
    lines = Lines()
    _Model(lines, frame, sheets).write()
    project = frame.design.project
    date = _DATE if project.date == "-" else project.date
    author, owner = ("" if name == "-" else name for name in (project.drawn_by, project.owner))
    program = text(f"frame3d {__version__}")
    return "\n".join((
        "ISO-10303-21;",
        "HEADER;",
        "FILE_DESCRIPTION(('ViewDefinition [DesignTransferView]'),'2;1');",
        f"FILE_NAME('model.ifc','{date}T00:00:00',({text(author)}),({text(owner)}),{program},{program},'');",
        "FILE_SCHEMA(('IFC4'));",
        "ENDSEC;",
        "DATA;",
        *lines,
        "ENDSEC;",
        "END-ISO-10303-21;",
        "",
    ))  # fmt: skip


class _Model:
    """Puts a frame into the lines of a file."""

    def __init__(self, lines: Lines, frame: Frame, sheets: Mapping[str, str]) -> None:
        self._lines, self._frame, self._sheets = lines, frame, sheets
        self._solids = Solids(lines)
        project = frame.design.project
        self._ids = GlobalIds(project.name, project.number, project.owner)
        self._where = geography_of(frame)
        self._styles: dict[Role, Ref] = {}

    def write(self) -> None:
        """Everything."""
        lines, ids, frame = self._lines, self._ids, self._frame
        origin = self._solids.placement(Placement())
        project, self._body = self._project(origin)
        ground, self._ground = self._site(project, origin)
        places = {id(m): name for m, name in zip(
            frame.members, member_names(frame.members), strict=True
        )}  # fmt: skip
        keys = _keys(frame.members)
        unmoved = lines.once(
            "IFCCARTESIANTRANSFORMATIONOPERATOR3D", None, None,
            self._solids.point((0.0, 0.0, 0.0)), 1.0, None,
        )  # fmt: skip
        refs: dict[int, Ref] = {}
        materials: dict[str, list[Ref]] = {}
        for group in frame.parts():
            kind = class_of(group.role, group.part)
            shape = self._shape(group)
            its_type = self._type(group, kind, shape)
            made = []
            for member in group.members:
                item = lines.add("IFCMAPPEDITEM", shape, unmoved)
                made.append(self._member(member, places[id(member)], keys[id(member)], kind, item))
                refs[id(member)] = made[-1]
            lines.add(
                "IFCRELDEFINESBYTYPE", ids.of("members of", group.mark), None, None, None, made,
                its_type,
            )  # fmt: skip
            add_properties(lines, ids, frame, group, kind, made, self._sheets)
            materials.setdefault(group.part.material.value, []).extend(made)
        add_materials(lines, ids, materials)
        doors, of_doors = add_doors(lines, ids, frame, refs, self._ground)
        # What is part of a door is in the building with it.
        inside = [refs[id(m)] for m in frame.members if id(m) not in of_doors] + doors
        lines.add(
            "IFCRELCONTAINEDINSPATIALSTRUCTURE", ids.of("members"), None, None, None, inside, ground
        )

    def _project(self, origin: Ref) -> tuple[Ref, Ref]:
        """Project with units; and the context that bodies are in."""
        add, project = self._lines.add, self._frame.design.project
        whole = add(
            "IFCGEOMETRICREPRESENTATIONCONTEXT", None, "Model", 3, _PRECISION_MM, origin, None
        )
        body = add(
            "IFCGEOMETRICREPRESENTATIONSUBCONTEXT", "Body", "Model", DERIVED, DERIVED, DERIVED,
            DERIVED, whole, None, Enum("MODEL_VIEW"), None,
        )  # fmt: skip
        if self._where:
            metre = add("IFCSIUNIT", DERIVED, Enum("LENGTHUNIT"), None, Enum("METRE"))
            add_conversion(self._lines, self._where, whole, metre)
        units = [
            add("IFCSIUNIT", DERIVED, Enum(kind), Enum(prefix) if prefix else None, Enum(name))
            for kind, prefix, name in (
                ("LENGTHUNIT", "MILLI", "METRE"), ("AREAUNIT", "", "SQUARE_METRE"),
                ("VOLUMEUNIT", "", "CUBIC_METRE"), ("PLANEANGLEUNIT", "", "RADIAN"),
                ("MASSUNIT", "KILO", "GRAM"),
            )
        ]  # fmt: skip
        made = add(
            "IFCPROJECT", self._ids.of("project"), None, project.name,
            as_built_mark(self._frame) or None, None, with_revision(self._frame, project.number),
            None, [whole], add("IFCUNITASSIGNMENT", units),
        )  # fmt: skip
        return made, body

    def _site(self, project: Ref, origin: Ref) -> tuple[Ref, Ref]:
        """Site, building and its one storey; that storey, and where it stands."""
        add, ids = self._lines.add, self._ids
        place = add("IFCLOCALPLACEMENT", None, origin)
        angles: list[Value] = [None, None]
        if self._where:
            at = self._where.place
            angles = [compound_angle(at.latitude), compound_angle(at.longitude)]
        site = add(
            "IFCSITE", ids.of("site"), None, "Site", None, None, place, None, None,
            Enum("ELEMENT"), *angles, None, None, None,
        )  # fmt: skip
        name = self._frame.design.project.name
        place = add("IFCLOCALPLACEMENT", place, origin)
        building = add(
            "IFCBUILDING", ids.of("building"), None, name, " ".join(CAUTIONS), "high tunnel",
            place, None, None, Enum("ELEMENT"), None, None, None,
        )  # fmt: skip
        place = add("IFCLOCALPLACEMENT", place, origin)
        storey = add(
            "IFCBUILDINGSTOREY", ids.of("ground"), None, "Ground", None, None, place, None, None,
            Enum("ELEMENT"), 0.0,
        )  # fmt: skip
        for whole, part in ((project, site), (site, building), (building, storey)):
            key = ids.of("holds", whole.number)
            add("IFCRELAGGREGATES", key, None, None, None, whole, [part])
        return storey, place

    def _shape(self, group: PartCount) -> Ref:
        """The shape of a part, for all its members."""
        solids = self._solids
        items = [item for body in group.part.bodies for item in items_of(solids, body)]
        kind, refs = solids.together(items)
        style = self._style(group.role)
        for ref in refs:
            self._lines.add("IFCSTYLEDITEM", ref, [style], None)
        shape = self._lines.add("IFCSHAPEREPRESENTATION", self._body, "Body", kind, refs)
        return self._lines.add("IFCREPRESENTATIONMAP", solids.placement(Placement()), shape)

    def _style(self, role: Role) -> Ref:
        if role not in self._styles:
            add = self._lines.add
            shading = add("IFCSURFACESTYLESHADING", add("IFCCOLOURRGB", None, *role_colour(role)),
                          None)  # fmt: skip
            self._styles[role] = add("IFCSURFACESTYLE", role.value, Enum("BOTH"), [shading])
        return self._styles[role]

    def _type(self, group: PartCount, kind: IfcClass, shape: Ref) -> Ref:
        words = describe(group.part, lengths_of(self._frame))
        own: list[Value] = [Enum(kind.predefined), *_nominal(group, kind)]
        return self._lines.add(
            f"{kind.name.upper()}TYPE", self._ids.of("type", group.mark), None, group.mark, words,
            None, None, [shape], group.mark, group.role.value, *own,
        )  # fmt: skip

    def _member(
        self, member: Member, name: str, key: tuple[Name, ...], kind: IfcClass, item: Ref
    ) -> Ref:
        lines = self._lines
        place = lines.add(
            "IFCLOCALPLACEMENT", self._ground, self._solids.placement(member.placement)
        )
        shape = lines.add(
            "IFCSHAPEREPRESENTATION", self._body, "Body", "MappedRepresentation", [item]
        )
        product = lines.add("IFCPRODUCTDEFINITIONSHAPE", None, None, [shape])
        own: list[Value] = [*_nominal(member, kind), Enum(kind.predefined)]
        if kind.name == "IfcPile":
            own.append(None)
        return lines.add(
            kind.name.upper(), self._ids.of(*key), None, name, None, member.role.value, place,
            product, member.mark, *own,
        )  # fmt: skip


def _nominal(of: Member | PartCount, kind: IfcClass) -> list[Value]:
    """Diameter and length of what a fastener is called by, where it has them."""
    if not kind.is_fastener:
        return []
    size = getattr(of.part, "size", of.part)
    found: list[Value] = [getattr(size, "diameter_mm", None), of.part.over_all_mm]
    return found


def _keys(members: Sequence[Member]) -> dict[int, tuple[Name, ...]]:
    """What members go by, whatever their marks are: role, place, and a count where several are."""
    seen: dict[tuple[Name, ...], int] = {}
    found: dict[int, tuple[Name, ...]] = {}
    for member in members:
        spot = member.spot
        key = (member.role.value, spot.hoop, spot.to_hoop, spot.side.value, spot.order)
        seen[key] = seen.get(key, 0) + 1
        found[id(member)] = (*key, seen[key])
    return found
