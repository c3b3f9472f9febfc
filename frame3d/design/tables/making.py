"""Tables of the design for work: how its parts are made, and by whom it is put up."""

import enum

from frame3d.design.tables.fields import Date, DesignTable, LengthMm, Number, Text, Whole, field

BY_FABRICATOR = "by the fabricator"
"""What stands on the sheets for whatever the design does not know."""


class ZincWhen(enum.Enum):
    """When steel gets its zinc."""

    BEFORE = "before making"
    AFTER = "after making"
    NONE = "none"
    UNKNOWN = BY_FABRICATOR


class HolesWhen(enum.Enum):
    """When the holes of bent tubes are drilled."""

    AFTER = "after bending"
    BEFORE = "before bending"
    UNKNOWN = BY_FABRICATOR


class Make(DesignTable):
    """What a shop asks before it makes a part.

    The sheets' general notes of make say it. Nothing here changes the frame itself.
    """

    tube_grade: Text = field(
        "Standard and grade of steel tube",
        default=BY_FABRICATOR,
        min_length=1,
        max_length=60,
        why="size and wall do not tell it; your supplier's certificate does",
    )
    plate_grade: Text = field(
        "Standard and grade of steel plate and flat bar",
        default=BY_FABRICATOR,
        min_length=1,
        max_length=60,
        why="your supplier's certificate tells it",
    )
    zinc: ZincWhen = field(
        "When tube and plate are galvanized",
        default="before making",
        why="tunnel tube is bought galvanized (common practice)",
    )
    zinc_repair: Text = field(
        "How zinc is repaired where it is drilled, cut or welded",
        imperial="zinc-rich paint by ASTM A780",
        metric="zinc-rich paint by ISO 1461, 6.3",
        min_length=1,
        max_length=60,
        why="both standards allow it (from memory)",
    )
    holes: HolesWhen = field(
        "When the holes of bent tubes are drilled",
        default="after bending",
        why="bending stretches holes and moves them along the tube (common practice)",
    )
    edges: LengthMm = field(
        "Largest break of the edges of steel parts",
        imperial="0.02 in",
        metric="0.5 mm",
        ge=0.05,
        le=3,
        why="0.5 mm is one of the sizes that ISO 13715 recommends (from memory)",
    )
    timber_grade: Text = field(
        "Grade of lumber", default=BY_FABRICATOR, min_length=1, max_length=60,
        why="the grade stamp on the lumber tells it",
    )  # fmt: skip
    timber_species: Text = field(
        "Species or species group of lumber", default=BY_FABRICATOR, min_length=1, max_length=60,
        why="what local yards sell differs",
    )  # fmt: skip
    timber_treatment: Text = field(
        "Preservative treatment of lumber",
        imperial="AWPA U1, UC4A (ground contact)",
        metric="for EN 335 use class 4 (ground contact)",
        min_length=1,
        max_length=60,
        why="sill boards touch the ground (use classes from memory)",
    )
    k_factor: Number = field(
        "K-factor of plates that are bent: how far the neutral line lies from the inside, "
        "as a share of the thickness",
        default=0.4,
        ge=0.2,
        le=0.5,
        why="0.33 to 0.5 for steel; a trial bend tells it (common practice)",
    )
    inside_radius: LengthMm = field(
        "Inside bend radius of plates",
        imperial="3/16 in",
        metric="5 mm",
        ge=0.5,
        le=50,
        why="about the thickness of the plate (common practice)",
    )


class Weekday(enum.Enum):
    """A day of the week, from Monday."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


class Pace(enum.Enum):
    """Which of the hours of the guide a day is filled by."""

    SLOW = "slow"
    MIDDLE = "middle"
    QUICK = "quick"


class Crew(DesignTable):
    """Who puts the frame up, and when: the guide is then split into days."""

    people: Whole = field(
        "People who work, every day the same",
        default=4,
        ge=1,
        le=60,
        why="what drawing the film over takes at least (common practice)",
    )
    hours: Number = field(
        "Hours of work in a day, without breaks", default=8.0, ge=2, le=14, why="a working day"
    )
    start: Date = field(
        "First day of work, year-month-day",
        default="-",
        why="without it days are numbered and have no date",
    )
    rest_days: tuple[Weekday, ...] = field(
        "Days of the week without work",
        default=[],
        max_length=6,
        why="nothing is known of your week; name the days, such as saturday and sunday",
    )
    pace: Pace = field(
        "Which of the guide's hours a day is filled by: the high ones (slow), the mean, or the low",
        default="slow",
        why="so that a day is more likely to be done than not",
    )
