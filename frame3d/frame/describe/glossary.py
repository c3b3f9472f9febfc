"""The words that every output uses, once: with what else they are called, and what they mean."""

from __future__ import annotations

from msgspec import Struct


class Term(Struct, frozen=True):
    """A word of the trade.

    Parameters
    ----------
    word : str
    others : str
        What else it is called; may be empty.
    meaning : str
    """

    word: str
    others: str
    meaning: str

    @property
    def called(self) -> str:
        """The word with its other names: ``rail (purlin)``."""
        return f"{self.word} ({self.others})" if self.others else self.word


# Common practice in North America and Britain, no source.
GLOSSARY = tuple(
    Term(*row)
    for row in (
        ("socket", "ground post", "tube in the ground that a hoop leg slides into"),
        (
            "driving mark",
            "",
            "line marked around a socket that is level with the ground when the "
            "socket is driven far enough; on uneven ground each socket has its own",
        ),
        (
            "cut and fill",
            "",
            "earth dug away and filled up to make the ground a plane, which is called a pad",
        ),
        ("setback", "", "least distance of a building from the boundary of its plot"),
        ("service", "utility", "pipe, cable or line that crosses a plot, buried or overhead"),
        (
            "skirt board",
            "",
            "board under a sill on low ground, its lower edge ripped to the ground",
        ),
        ("sill anchor", "", "stake, post or ground anchor beside an end wall's sill"),
        ("hoop", "bow", "arch of bent tube from one side of the tunnel to the other"),
        ("bay", "", "space from one hoop to the next"),
        ("eave", "shoulder", "bend between the straight leg and the roof"),
        ("springing", "", "height where the straight leg ends and the bend starts"),
        ("ridge", "peak, crown", "top of a hoop: pointed (gothic) or round (quonset)"),
        ("rail", "purlin", "tube along the tunnel that keeps the hoops at their spacing"),
        ("sill board", "baseboard", "board on edge along the foot of a side"),
        ("hip board", "hip rail if a tube", "line along a side where the roll-up curtain starts"),
        ("film channel", "", "metal strip with two lips that film is held in by a wire"),
        ("roll tube", "curtain tube", "tube that a curtain is wound on from below"),
        ("end pocket", "", "film at the end of a side opening that the curtain tucks behind"),
        ("joint block", "", "short board behind the joint of two boards"),
        ("tie", "collar tie", "level tube across a hoop"),
        ("king post", "", "upright from the middle of a tie to the ridge"),
        ("web", "", "sloping tube from a tie up to the hoop"),
        ("brace", "wind brace", "sloping tube along a side, or from an end wall to the next hoop"),
        ("end wall", "gable wall", "wall at the front or the back"),
        ("stud", "", "upright of an end wall"),
        ("girt", "", "level piece between studs"),
        ("jamb", "door post", "upright at the side of a door"),
        ("header", "lintel", "beam over a door"),
        ("clamp", "swivel coupler", "two hinged rings back to back, one on each of two tubes"),
        ("splice", "", "joint of two tubes in line"),
        ("swage", "reduced end", "tube end made narrower to slip into the next tube"),
        ("play", "", "inside diameter of a tube less the outside diameter of the tube in it"),
        ("pull-in allowance", "", "how far a hoop may be pulled along to line up a hole"),
        ("developed length", "", "length of a bent tube along its centreline"),
        ("grip length", "", "straight length a bender needs at each end of a tube"),
        ("blank", "", "straight tube that a piece is bent from, with what is trimmed off after"),
        (
            "intersection point",
            "",
            "where the straights before and after a bend would meet if they went on",
        ),
        ("gauge", "straightedge", "straight bar laid into a bend; the rise is under its middle"),
        ("flat bar", "strap", "steel bar of rectangular section, sold in lengths"),
        ("flat pattern", "", "outline of a plate before it is bent"),
        (
            "K-factor",
            "",
            "how far the neutral line of a bent plate lies from its inside, as a share of the "
            "thickness",
        ),
        ("chord", "", "straight line between the ends of a bent tube"),
        ("sagitta", "ordinate, rise", "distance from the chord to the arc"),
        ("rotation", "", "angle round a tube, clockwise as seen from its start"),
    )
)
"""Every term, in the order in which a frame is built."""
