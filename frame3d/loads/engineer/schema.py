"""The schema of ``engineer-model.json``: JSON Schema, draft 2020-12."""

from __future__ import annotations

from frame3d.units.data_tables import Json


def schema() -> dict[str, Json]:
    """The schema."""
    number: dict[str, Json] = {"type": "number"}
    index: dict[str, Json] = {"type": "integer", "minimum": 0}
    force: dict[str, Json] = {"FX": number, "FY": number, "FZ": number}
    texts = ("label", "program", "design", "units", "assumed")
    parts: dict[str, Json] = {
        "$schema": {"type": "string"},
        "caution": {"type": "array", "items": {"type": "string"}, "minItems": 2},
        **{name: {"type": "string"} for name in texts},
        "material": _table({"E_kN_per_m2": number, "G_kN_per_m2": number}),
        "nodes": {
            "type": "array",
            "items": {"type": "array", "items": number, "minItems": 3, "maxItems": 3},
            "description": "x, y, z in m: across, along the tunnel, up",
        },
        "sections": _list({"A": number, "Iy": number, "Iz": number, "J": number}),
        "members": _list({"from": index, "to": index, "section": index}),
        "springs": _list(
            {"node": index, "DX": number, "DY": number, "DZ": number, "RZ": number}
        ),
        "sockets": _list({
            "hoop": index, "side": {"enum": ["left", "right"]},
            "nodes": {"type": "array", "items": index},
        }),
        "loads": _list({
            "name": {"type": "string"}, "label": {"type": "string"}, "unit": {"type": "string"},
            "source": {"type": "string"}, "on_members": _list({"member": index, **force}),
            "at_nodes": _list({"node": index, **force}),
        }),
    }  # fmt: skip
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A frame for an engineer: m, kN, kN·m; unit loads are no design loads",
        **_table(parts),
    }


def _table(parts: dict[str, Json]) -> dict[str, Json]:
    return {
        "type": "object", "properties": parts, "required": list(parts),
        "additionalProperties": False,
    }  # fmt: skip


def _list(parts: dict[str, Json]) -> dict[str, Json]:
    return {"type": "array", "items": _table(parts)}
