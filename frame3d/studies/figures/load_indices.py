"""The index of each shape of load: a design beside the base of its study, loaded alike.

The base is worked out once in each process, not for every design.
"""

from __future__ import annotations

import functools
import json

from msgspec import Struct

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.tables.loads import Loads, LoadShape
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.loads import one_thread
from frame3d.loads.compare.indices import Index, indices
from frame3d.loads.compare.measuring import Measured, measured
from frame3d.side_process import say_nothing

_MOST_KEPT = 4


class Indices(Struct, frozen=True, kw_only=True):
    """The indices of one design.

    Parameters
    ----------
    by_shape : dict
    reason : str
        Why there are none; empty else.
    """

    by_shape: dict[LoadShape, Index] = {}
    reason: str = ""


def indices_of(frame: Frame, base: str | None) -> Indices:
    """The indices of ``frame`` against the design ``base``, a mapping as JSON.

    As :func:`frame3d.loads.comparison.compared` has them: both under the loads that the design of
    ``frame`` names.
    """
    if base is None:
        return Indices(reason="there is no base to compare with")
    one_thread()
    given = frame.design.loads
    try:
        found = indices(measured(frame, given, say_nothing), _base_measured(base, given))
    except (DesignError, DesignFaults) as error:
        return Indices(reason=str(error))
    return Indices(by_shape={index.shape: index for index in found})


@functools.lru_cache(maxsize=_MOST_KEPT)
def _base_measured(base: str, given: Loads) -> Measured:
    return measured(laid_out(design_from_mapping(json.loads(base))), given, say_nothing)
