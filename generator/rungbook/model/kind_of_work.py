"""What the muscles of an action have to do in an exercise, in five kinds, and held beside them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Kind = Literal["none", "passive", "assisted", "active", "resisted"]
KindWord = Literal["none", "passive", "assisted", "active", "resisted", "held"]
KINDS: tuple[Kind, ...] = get_args(Kind)
KIND_WORDS: tuple[KindWord, ...] = get_args(KindWord)


@dataclass(frozen=True, slots=True)
class KindOfWork:
    """The kind of one action's work.

    `held`: the joint stays still while its muscles act. `carried` is the share of the limb's own
    moment that something else carries; None where nothing does. `because` is the reason of a kind
    that was written instead of the computed one.
    """

    kind: Kind
    held: bool = False
    carried: float | None = None
    because: str | None = None

    @property
    def word(self) -> KindWord:
        """The one word for it: an order that does not name isometrics does not allow them."""
        return "held" if self.held else self.kind

    @property
    def in_words(self) -> str:
        """`assisted, 75 % of the limb carried`; `resisted, held`."""
        held = ", held" if self.held else ""
        share = f", {100 * self.carried:.0f} % of the limb carried" if self.carried else ""
        return f"{self.kind}{held}{share}"

    @property
    def rank(self) -> tuple[int, bool]:
        """From nothing to resisted: an order of effort, not of safety."""
        return KINDS.index(self.kind), self.held


NO_WORK = KindOfWork("none")
