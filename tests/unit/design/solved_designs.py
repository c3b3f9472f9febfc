"""The arch of a design, for the tests that hold a design against its shape."""

from __future__ import annotations

from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch


def arch_of(design):
    profile = design.profile
    return solve_arch(
        ArchGiven(
            style=profile.style,
            width_mm=profile.width,
            ridge_height_mm=profile.ridge_height,
            leg_height_mm=profile.leg_height,
            leg_lean_rad=profile.leg_lean,
            eave_radius_mm=profile.eave_radius,
            top_radius_mm=profile.crown_radius or profile.rafter_radius,
            ridge_slope_rad=profile.ridge_slope,
            measured=profile.measured,
            tube_od_mm=design.hoop.tube.od_mm,
            min_radius_mm=design.hoop.smallest_bend * design.hoop.tube.od_mm,
        )
    )
