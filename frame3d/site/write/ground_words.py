"""What every output says of the ground: level, and for how much of a rise; or as it was measured.

Guide, sheets, lists, summary and page take their words from here, so that none of them can say
something else.
"""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of, limit_text
from frame3d.frame.model.members import Frame
from frame3d.site.driving.driving_plan import level_rise_mm
from frame3d.site.survey import Site, site_of
from frame3d.units.data_tables import Json


def ground_statement(site: Site) -> str:
    """What the figures hold for, in one or two sentences."""
    if site.driving is None:
        return f"On level ground: {_good_for(site.frame)}."
    count = len(site.survey.levels)
    return (
        f"On the ground of {_levels_name(site)} ({count} points): {string_words(site)}. "
        "Each socket has its own driving mark."
    )


def ground_figure(frame: Frame) -> tuple[str, str]:
    """The ground as a key figure: its name and its text."""
    site = site_of(frame)
    if site.driving is None:
        return "Ground", _level_for(frame)
    return "Ground", f"as in {_levels_name(site)}; {string_words(site)}"


def string_words(site: Site) -> str:
    """How the string over the tops runs: its height at the corner, and its slope from there."""
    corner, form = site.setting_out.axes.name, lengths_of(site.frame)
    if site.driving is None:
        top = form.text(site.sockets[0].top_mm, unit=True)
        return f"the string is level, {top} above the ground"
    string = site.driving.string
    height = form.text(abs(string.start_mm), unit=True)
    over = "above" if form.rounded_mm(string.start_mm) >= 0 else "below"
    run = (
        "is level"
        if not string.rise
        else f"{'rises' if string.rise > 0 else 'falls'} "
        f"{abs(site.driving.slope_percent):.2f} % from there"
    )
    return f"the string at {corner} is {height} {over} the levels' zero and {run}"


def heights_note(frame: Frame) -> str:
    """What heights on a drawing are above."""
    site, form = site_of(frame), lengths_of(frame)
    if site.driving is None:
        return f"Heights are above {_level_for(frame)}."
    under = form.text(frame.design.socket.exposed * site.sockets[0].place.plumb_share, unit=True)
    return (
        f"Heights are above a line {under} under the string over the socket tops. The ground is "
        f"that of {_levels_name(site)}."
    )


def marks_text(frame: Frame) -> str:
    """From the top of a socket to its driving mark: one length, or the least and the most."""
    form = lengths_of(frame)
    marks = [driven.mark_mm for driven in site_of(frame).sockets]
    ends = dict.fromkeys(form.text(one, unit=True) for one in (min(marks), max(marks)))
    return " to ".join(ends)


def ground_record(site: Site) -> dict[str, Json]:
    """What JSON files say of the ground; lengths in millimetres."""
    driving = site.driving
    return {
        "is": "level" if driving is None else "surveyed",
        "text": ground_statement(site),
        "lists": {what: name for what, name in site.survey.names},
        "greatest_rise_mm": round(level_rise_mm(site.frame), 3) if driving is None else None,
        "string_start_mm": None if driving is None else round(driving.string.start_mm, 3),
        "string_slope_percent": None if driving is None else round(driving.slope_percent, 4),
    }


def _level_for(frame: Frame) -> str:
    """Level ground, in a few words, with the greatest rise that it is good for."""
    form, rise = lengths_of(frame), level_rise_mm(frame)
    if form.floor_mm(rise) <= 0:
        return "level ground, which may rise nowhere"
    return f"level ground, good where it rises no more than {limit_text(form, rise)}"


def _good_for(frame: Frame) -> str:
    """How much the ground may rise for the figures of level ground."""
    form, socket = lengths_of(frame), frame.design.socket
    clear = min(frame.design.staking.hole_clear, socket.exposed - socket.lower_hole)
    stays = f"the lower holes stay {form.text(clear, unit=True)} above it"
    rise = level_rise_mm(frame)
    if form.floor_mm(rise) <= 0:
        return f"{stays} only where it rises nowhere above the place that the string is set from"
    return (
        f"good where it rises no more than {limit_text(form, rise)} above the place that the "
        f"string is set from, so that {stays}"
    )


def _levels_name(site: Site) -> str:
    return site.survey.name_of("levels") or "the levels"
