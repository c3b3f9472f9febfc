"""The form in which a design is shown: its groups, sections and fields, made from the models.

Only the order and the headings stand here; meaning, kind, limits, choices and defaults of a
field are those that the reader and the design file go by.
"""

from __future__ import annotations

from frame3d.catalog import CatalogKind as CatalogKind
from frame3d.catalog import names
from frame3d.design.reading.faults import described
from frame3d.design.reading.formats import FORMAT
from frame3d.design.tables.fields import FieldKind
from frame3d.design.values.applying import APPLYING
from frame3d.design.values.defaults import FOLLOWS
from frame3d.design.values.field_info import FieldFacts, TableInfo, sections
from frame3d.design.values.following import FOLLOWING
from frame3d.design.values.starter_values import EXAMPLES
from frame3d.frame.describe.glossary import GLOSSARY
from frame3d.units import UnitSystem
from frame3d.units.data_tables import Json

_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Shape and length", ("profile", "bays")),
    ("Sides and cover", ("side_opening", "curtain", "sill_board", "cover")),
    ("End walls and doors", ("door", "end_wall")),
    ("Clearance and machines", ("machine", "clearance")),
    ("Hoops and sockets", ("hoop", "socket")),
    ("Rails and braces", ("rail", "brace", "tie")),
    ("Drawings and names", ("project", "revision", "output")),
    (
        "Site and practice",
        (
            "surroundings",
            "boundary",
            "nearby",
            "service",
            "staking",
            "crew",
            "practice",
            "tolerances",
            "accept",
        ),
    ),
    ("Bolts, making and ordering", ("hardware", "make", "order", "labels")),
    ("Comparing loads", ("loads",)),
)
"""What matters first comes first."""
_FIRST: dict[str, tuple[str, ...]] = {
    "profile": ("style", "width", "ridge_height", "leg_height", "ridge_slope"),
    "bays": ("count", "spacing", "length", "largest_spacing"),
    "side_opening": ("hip", "height", "timber", "tube"),
    "curtain": ("winder", "winder_end", "tube"),
    "sill_board": ("timber",),
    "cover": ("layers", "wall_cover"),
    "door": ("at", "kind", "width", "height", "position", "leaves"),
    "end_wall": ("at", "studs", "timber", "tube"),
    "machine": ("name", "width", "height", "passes"),
    "clearance": ("head_height",),
    "hoop": ("tube", "pieces"),
    "socket": ("length", "exposed"),
    "rail": ("at", "height", "fraction", "tube"),
    "brace": ("corners", "to_height", "tube"),
    "tie": ("height", "every", "post"),
    "project": ("name", "number", "owner", "date"),
    "revision": ("mark", "date", "what", "who"),
    "output": ("sheets", "sheet_size"),
    "surroundings": ("front_faces", "wind_from"),
    "nearby": ("name", "kind", "side", "distance", "height"),
    "staking": ("corner", "string"),
    "accept": ("rule", "where", "reason"),
    "hardware": ("system",),
    "make": ("zinc",),
    "order": ("goal", "bar_lengths", "spare_percent"),
    "labels": ("each",),
    "loads": ("crop", "soil"),
}
"""The fields that are seen at once; those of the second depth are opened."""
_TITLES = {
    "profile": "Profile", "bays": "Bays", "hoop": "Hoops", "socket": "Sockets", "rail": "Rail",
    "brace": "Brace", "tie": "Tie", "sill_board": "Sill boards", "side_opening": "Side openings",
    "cover": "Cover", "end_wall": "End wall", "door": "Door", "clearance": "Clearance for people",
    "machine": "Machine", "staking": "Staking out", "surroundings": "Surroundings",
    "boundary": "Boundary", "nearby": "Nearby object", "service": "Service",
    "crew": "Crew and days",
    "practice": "Limits of practice", "tolerances": "Tolerances", "accept": "Accepted finding",
    "hardware": "Bolts", "make": "How parts are made", "order": "Ordering", "labels": "Labels",
    "loads": "Loads of comparing", "project": "Names", "output": "Units and paper",
    "revision": "Revision",
}  # fmt: skip
_ABBREVIATED = {
    "zinc": "Zinc, g/m²", "persuasion": "Pull-in allowance",
    "epsg": "EPSG number", "dxf_version": "DXF version",
}  # fmt: skip


def form_of_a_design() -> dict[str, Json]:
    """The form, for JSON.

    Returns
    -------
    dict
        ``groups``: title and names of sections; ``sections`` by name, each with its title,
        meaning, whether there may be several or none, and its fields; ``follows``: fields
        whose default goes by another field and not by the units; ``format``: that of today's
        files, whose defaults these are; ``glossary``: words and what they mean; ``tubes`` and
        ``boards``: names in the catalogue.
    """
    known = sections()
    grouped = {name for _, names in _GROUPS for name in names}
    groups = [*_GROUPS]
    if rest := tuple(name for name in known if name not in grouped):
        groups.append(("More", rest))
    return {
        "groups": [
            {"title": title, "sections": [name for name in names if name in known]}
            for title, names in groups
        ],
        "sections": {name: _section(section) for name, section in known.items()},
        "follows": {
            f"{section}.{name}": {"field": leader, "units": {k: v.value for k, v in to.items()}}
            for (section, name), (leader, to) in FOLLOWS.items()
        },
        "format": FORMAT,
        "glossary": [[term.called, term.meaning] for term in GLOSSARY],
        "tubes": list(names(CatalogKind.TUBE)),
        "boards": list(names(CatalogKind.TIMBER)),
    }


def _section(section: TableInfo) -> dict[str, Json]:
    return {
        "title": _TITLES.get(section.name, _words(section.name)),
        "meaning": section.meaning,
        "several": section.several,
        "optional": section.optional and not section.several,
        "most": section.most,
        "fields": [_field(section, facts) for facts in section.fields.values()],
    }


def _field(section: TableInfo, facts: FieldFacts) -> dict[str, Json]:
    follower = FOLLOWING.get((section.name, facts.name))
    return {
        "name": facts.name,
        "label": _ABBREVIATED.get(facts.name, _words(facts.name)),
        "meaning": facts.meaning,
        "why": facts.why,
        "kind": facts.kind.name.lower(),
        "choices": list(facts.choices),
        "several": facts.several,
        "longest": facts.longest,
        "goes_by": follower.goes_by if follower else "",
        "first": facts.name in _FIRST.get(section.name, ()),
        "applying": [
            {other: list(values) for other, values in way.items()}
            for way in APPLYING.get((section.name, facts.name), ())
        ],
        **{units.value: _in_units(section, facts, units) for units in UnitSystem},
    }


def _in_units(section: TableInfo, facts: FieldFacts, units: UnitSystem) -> dict[str, Json]:
    """Default, allowed values and an example, as written in these units.

    A default that follows other fields is none of the form's: what it has become comes with
    what is worked out, and here it is an example.
    """
    default, key = facts.default(units), (section.name, facts.name)
    pair = EXAMPLES.get(key)
    said = "" if facts.choices or facts.kind is FieldKind.TEXT else described(facts, units)
    return {
        "default": None if key in FOLLOWING else default,
        "allowed": said,
        "example": pair[units is UnitSystem.METRIC]
        if pair
        else default
        if key in FOLLOWING
        else None,
    }


def _words(name: str) -> str:
    return name[:1].upper() + name[1:].replace("_", " ")
