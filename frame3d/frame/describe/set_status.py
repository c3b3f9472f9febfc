"""What a set of files is worth: whether it may be built from, and what it was made without.

One record says it to cover, sheets, guide, lists, page and command line, so that none of them
can keep still about what another tells. Nothing here says that a frame is safe.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.frame.describe.unmade import Unmade, told_together

NOT_CHECKED = "not checked"
_MOST_TOLD = 6


class MissingList(Struct, frozen=True, kw_only=True):
    """A list that the design names and that was not given.

    Parameters
    ----------
    what : str
        In a word, for the number of the set: ``prices``.
    name : str
        The file as the design names it.
    without : str
        What the set lacks for it, in a sentence without its full stop.
    """

    what: str
    name: str
    without: str

    @property
    def line(self) -> str:
        """What is missing, in a sentence."""
        return f"The {self.what} list ({self.name}) was not given: {self.without}."


def _count(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


class SetStatus(Struct, frozen=True, kw_only=True):
    """What is to be known of a set before anything is built from it.

    Parameters
    ----------
    checked : bool
        Whether the checks have been made; without them nothing is known of errors.
    error_count : int
        Errors that the checks found and the design does not accept.
    errors : tuple of str
        These in sentences, those that are alike in one.
    missing : tuple of MissingList
    unmade : tuple of Unmade
        What the model files lack; drawings and lists are whole all the same.
    """

    checked: bool = True
    error_count: int = 0
    errors: tuple[str, ...] = ()
    missing: tuple[MissingList, ...] = ()
    unmade: tuple[Unmade, ...] = ()

    @property
    def is_stopped(self) -> bool:
        """Whether the set is not to be built from."""
        return bool(self.error_count)

    @property
    def is_whole(self) -> bool:
        """Whether nothing was found and no part is missing from the model."""
        return not (self.is_stopped or self.unmade)

    @property
    def headline(self) -> str:
        """That it is not to be built from, and why in short; empty where nothing was found."""
        if not self.is_stopped:
            return ""
        return f"Do not build from this set: {_count(self.error_count, 'error')} found."

    @property
    def field(self) -> str:
        """For the field of a title block; a dash where there is nothing to tell."""
        if self.is_stopped:
            return f"DO NOT BUILD: {_count(self.error_count, 'error')}"
        if self.unmade:
            return f"MODEL INCOMPLETE: {_count(len(self.unmade), 'part')}; drawings complete"
        return "-" if self.checked else NOT_CHECKED

    def number(self, number: str) -> str:
        """The number of the set: that of the project, marked with what the set is without.

        Sets that differ must not go by one number.
        """
        if not self.missing:
            return number
        given = "" if number == "-" else number
        return f"{given} without {', '.join(one.what for one in self.missing)}".strip()

    def short_list(self, most: int = _MOST_TOLD) -> tuple[str, ...]:
        """The first errors, how many kinds of them more there are, and what is missing."""
        told = self.errors[:most]
        if more := len(self.errors) - len(told):
            told = (*told, f"And {more} more; findings.json lists them all.")
        return (*told, *told_together(self.unmade), *(one.line for one in self.missing))

    @property
    def told(self) -> tuple[str, ...]:
        """Headline and short list, for where there is one list of findings."""
        return (*filter(None, [self.headline]), *self.short_list())


UNCHECKED = SetStatus(checked=False)
"""Of sheets and lists that are made without the checks."""
