"""An answer to what to give instead, and all of them in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rungbook.ladder.measured import MeasuredLadder
from rungbook.ladder.reasons import Eased
from rungbook.ladder.shortening import Shortened
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindWord
from rungbook.model.ladder import Irritability
from rungbook.model.movement import Action

Kind = Literal["same", "neighbour", "library", "solved"]
Slot = Literal["a little less", "about half", "gentlest"]
Nothing = Literal["none", "left out", "not known", "about the same", "too little"]


@dataclass(frozen=True, slots=True)
class Option:
    """Something to give instead. `ratio` is its demand over the exercise's; None is not known.

    `eased` says of each reason how much is left, `share` the most of these, else of the load;
    `may_lead` whether it may stand among the three first, `not_loaded` how many of the actions
    that provoke it leaves out, `back_up` how many rungs lead back up, None
    where none do. `kind_of_work` is of what it names,
    the hardest of several. `instead`: the opposite muscles and their N·m, where those provoked
    have nothing to do.
    """

    exercise: Exercise
    kind: Kind
    demand_nm: float | None
    ratio: float | None
    step_size: float
    changes: Mapping[str, str]
    rises: tuple[str, ...]
    instead: tuple[Action, float] | None = None
    eased: Mapping[str, Eased] = field(default_factory=dict)
    share: float | None = None
    may_lead: bool = True
    not_loaded: int = 0
    asked_for: bool = False
    shortened: Shortened | None = None
    kind_of_work: KindWord | None = None
    back_up: int | None = None
    slot: Slot | None = None


@dataclass(frozen=True, slots=True)
class Easier:
    """The options in order, and what was left out, each with why.

    `ladder` is the one that steps are measured by, if one is; `nothing` says why none of the three
    first answers is there.
    """

    exercise: str
    because: tuple[str, ...]
    options: tuple[Option, ...]
    left_out: Mapping[str, str]
    ladder: MeasuredLadder | None = None
    nothing: Nothing | None = None
    irritability: Irritability = "moderate"
