"""Every pair of members that comes near each other: meant contacts, and gaps of the others."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from msgspec import Struct

from frame3d.checks.measured.contacts import Contact, ContactKind, Fittings
from frame3d.checks.measured.measuring import PairToMeasure, gaps
from frame3d.checks.measured.neighbours import PairClass, PlacedMembers, near_pairs, scene_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Screw, ScrewKind


class Meeting(Struct, frozen=True, kw_only=True):
    """Pairs of members that stand to each other in one way, and how.

    Parameters
    ----------
    pairs : PairClass
    contacts : tuple of Contact
        The meant ones; the first and second member are those of ``pairs``.
    gap_mm : float
        Of what should not touch; below 0 it overlaps. At least the survey's reach for
        what is far enough or all meant.
    """

    pairs: PairClass
    contacts: tuple[Contact, ...]
    gap_mm: float

    def sides(self, contact: Contact) -> tuple[np.ndarray, np.ndarray]:
        """Numbers of the members of a contact: the bolt, nut, clamp, screw or inner tube first."""
        first, second = self.pairs.first, self.pairs.second
        return (second, first) if contact.swapped else (first, second)


class Links(Struct, frozen=True, kw_only=True):
    """Which members have meant contacts with which.

    Parameters
    ----------
    by_member : dict of int to list of (int, int, int)
        For each member: number of the meeting, number of the contact in it, the other member.
    """

    by_member: dict[int, list[tuple[int, int, int]]]

    def of(self, member: int) -> list[tuple[int, int, int]]:
        """The contacts of a member: meeting, contact, other member."""
        return self.by_member.get(member, [])


class Survey(Struct, frozen=True, kw_only=True):
    """A frame with all its meetings.

    Parameters
    ----------
    frame : Frame
    scene : PlacedMembers
    fittings : Fittings
        Knows the holes of the parts.
    meetings : tuple of Meeting
    links : Links
    reach_mm : float
        Up to which gaps were looked for.
    """

    frame: Frame
    scene: PlacedMembers
    fittings: Fittings
    meetings: tuple[Meeting, ...]
    links: Links
    reach_mm: float


def survey(frame: Frame, reach_mm: float = 3.0) -> Survey:
    """Find what meets in ``frame``, with gaps up to ``reach_mm``."""
    scene, fittings = scene_of(frame), Fittings()
    classes = near_pairs(scene, reach_mm)
    contacts, jobs, measured = [], [], []
    for number, pairs in enumerate(classes):
        first, second = int(pairs.first[0]), int(pairs.second[0])
        meant = fittings.contacts(scene.members[first], scene.members[second])
        contacts.append(meant)
        left = _unexplained(scene, pairs, meant)
        if left:
            jobs.append(PairToMeasure(first=first, second=second, primitives=left))
            measured.append(number)
    gap = np.full(len(classes), reach_mm)
    gap[measured] = gaps(scene, jobs, reach_mm)
    meetings = tuple(
        Meeting(pairs=pairs, contacts=meant, gap_mm=float(space))
        for pairs, meant, space in zip(classes, contacts, gap, strict=True)
    )
    return Survey(
        frame=frame, scene=scene, fittings=fittings, meetings=meetings,
        links=_links(meetings), reach_mm=reach_mm,
    )  # fmt: skip


def _links(meetings: tuple[Meeting, ...]) -> Links:
    found: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    for number, meeting in enumerate(meetings):
        if not meeting.contacts:
            continue
        pairs = zip(meeting.pairs.first.tolist(), meeting.pairs.second.tolist(), strict=True)
        for one, two in pairs:
            for order in range(len(meeting.contacts)):
                found[one].append((number, order, two))
                found[two].append((number, order, one))
    return Links(by_member=found)


def _unexplained(
    scene: PlacedMembers, pairs: PairClass, contacts: tuple[Contact, ...]
) -> tuple[tuple[int, int], ...]:
    """The primitives that no meant contact accounts for."""
    if not contacts:
        return tuple(sorted(pairs.primitives))
    shank = 1 if contacts[0].swapped else 0
    inserted = scene.shape(int((pairs.first, pairs.second)[shank][0])).inserted
    if any(contact.kind is not ContactKind.THROUGH for contact in contacts):
        # The head of a driven screw must lie on top; that of a lag screw sinks into timber.
        if contacts[0].kind is ContactKind.DRIVEN:
            screw, other = (
                scene.members[int(side[0])].part for side in (pairs.first, pairs.second)
            )
            if shank:
                screw, other = other, screw
            lag = isinstance(screw, Screw) and screw.kind is ScrewKind.LAG
            if lag and isinstance(other, Board):
                return ()
            return tuple(sorted(p for p in pairs.primitives if p[shank] not in inserted))
        return ()
    return tuple(sorted(p for p in pairs.primitives if p[shank] not in inserted))
