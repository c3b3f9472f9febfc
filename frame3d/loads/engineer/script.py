"""The model as a script for PyNiteFEA, which reads the record that lies beside it."""

from __future__ import annotations

from frame3d.loads.cautions import CAUTIONS, UNIT_ONLY

_SCRIPT = '''\
"""{caution}

Every load here but own weight is a {label}. Run it where engineer-model.json lies:

    pip install PyNiteFEA
    python engineer-pynite.py

It writes pynite-reactions.csv: of each load the reaction of each socket, kN.
"""

import csv
import json
from pathlib import Path

from Pynite import FEModel3D

HERE = Path(__file__).parent
DATA = json.loads((HERE / "engineer-model.json").read_text(encoding="utf-8"))


def model_of(data):
    """The frame in metres and kilonewtons, each load a case and a combination of its own."""
    model = FEModel3D()
    steel = data["material"]
    model.add_material("steel", steel["E_kN_per_m2"], steel["G_kN_per_m2"], 0.3, 0.0)
    for number, (x, y, z) in enumerate(data["nodes"]):
        model.add_node(f"N{{number}}", x, y, z)
    for number, own in enumerate(data["sections"]):
        model.add_section(f"S{{number}}", own["A"], own["Iy"], own["Iz"], own["J"])
    for number, bar in enumerate(data["members"]):
        ends = f"N{{bar['from']}}", f"N{{bar['to']}}"
        model.add_member(f"M{{number}}", *ends, "steel", f"S{{bar['section']}}")
    for spring in data["springs"]:
        for way in ("DX", "DY", "DZ", "RZ"):
            if spring[way]:
                model.def_support_spring(f"N{{spring['node']}}", way, spring[way])
    for load in data["loads"]:
        model.add_load_combo(load["name"], {{load["name"]: 1.0}})
        for one in load["on_members"]:
            for way in ("FX", "FY", "FZ"):
                if one[way]:
                    model.add_member_dist_load(
                        f"M{{one['member']}}", way, one[way], one[way], case=load["name"]
                    )
        for one in load["at_nodes"]:
            for way in ("FX", "FY", "FZ"):
                if one[way]:
                    model.add_node_load(f"N{{one['node']}}", way, one[way], case=load["name"])
    return model


def main():
    model = model_of(DATA)
    model.analyze_linear()
    stiff = {{spring["node"]: spring for spring in DATA["springs"]}}
    with (HERE / "pynite-reactions.csv").open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(["label", "load", "hoop", "side", "Fx, kN", "Fy, kN", "Fz, kN"])
        for load in DATA["loads"]:
            for socket in DATA["sockets"]:
                given = [
                    -sum(
                        stiff[n][way] * getattr(model.nodes[f"N{{n}}"], way)[load["name"]]
                        for n in socket["nodes"]
                        if n in stiff
                    )
                    for way in ("DX", "DY", "DZ")
                ]
                row = [load["label"], load["name"], socket["hoop"], socket["side"], *given]
                out.writerow(row)


if __name__ == "__main__":
    main()
'''


def script_text() -> str:
    """The text of ``engineer-pynite.py``."""
    return _SCRIPT.format(caution="\n".join(CAUTIONS), label=UNIT_ONLY)
