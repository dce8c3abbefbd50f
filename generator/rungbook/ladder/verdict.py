"""What limits say of an exercise: that it does not fit, or how far its movement may go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungbook.ladder.crossing import END, NOWHERE


@dataclass(frozen=True, slots=True)
class Verdict:
    """`words` say which limit is passed, "" where none is.

    `until` is how far the movement may go to keep it, in phases from the start: `END` all of it,
    `NOWHERE` where no shorter movement would keep it.
    """

    words: str = ""
    until: float = END

    @property
    def fits(self) -> bool:
        return not self.words


FITS = Verdict()


def against(words: str) -> Verdict:
    """A limit that no shorter movement would keep."""
    return Verdict(words, NOWHERE)


def strictest(verdicts: Iterable[Verdict]) -> Verdict:
    """All limits together: the one that leaves least of the movement; the first of equal ones."""
    return min(verdicts, key=lambda one: (one.until, one.fits), default=FITS)


def mildest(verdicts: Iterable[Verdict]) -> Verdict:
    """Limits of which one is enough: the one that leaves most of the movement."""
    return max(verdicts, key=lambda one: (one.fits, one.until), default=FITS)
