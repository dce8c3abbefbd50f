"""What a change does to a library, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from rungbook.model.exercise import Standing
from rungbook.model.finding import LEVELS, Finding, Level
from rungbook.model.kind_of_work import KindWord


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A field of an exercise that was written anew; values as JSON-ready data."""

    field: str
    old: Any
    new: Any


@dataclass(frozen=True, slots=True)
class LoadChange:
    """A demand, in N·m, that changed by more than 1 %."""

    exercise: str
    works: str
    old_nm: float
    new_nm: float

    @property
    def ratio(self) -> float | None:
        """New over old; None where there was no load before."""
        return self.new_nm / self.old_nm if self.old_nm > 0 else None


@dataclass(frozen=True, slots=True)
class KindChange:
    """The kind of work of an action that an exercise names, before and after."""

    exercise: str
    works: str
    old: KindWord
    new: KindWord


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that crossed its limit; sizes are None where the progression is not there."""

    from_id: str
    to_id: str
    old_size: float | None
    new_size: float | None
    worst: str
    missing: int
    command: str = ""  # what would fill it, where something can be tried


@dataclass(frozen=True, slots=True)
class RouteChange:
    """The shortest way from an entry to the goal of a ladder.

    Counts of rungs, those that too large a step is missing counted in, so that filling a step makes
    no way longer; None where there is no way.
    """

    ladder: str
    entry: str
    old_rungs: int | None
    new_rungs: int | None


@dataclass(frozen=True, slots=True)
class LostCaution:
    """A caution or restriction that an exercise carried and no longer carries."""

    exercise: str
    kind: Literal["caution", "restriction"]
    key: str


@dataclass(frozen=True, slots=True)
class ReviewChange:
    """Review dates, as ISO dates; None where there was no review; and what the review is worth."""

    exercise: str
    old: str | None
    new: str | None
    old_standing: Standing
    new_standing: Standing


def _no_longer(change: ReviewChange) -> bool:
    """Whether a review was given up, or is of something else now."""
    return change.old is not None and change.new_standing in (
        "never reviewed",
        "changed since review",
    )


@dataclass(frozen=True, slots=True)
class DraftChange:
    """A progression that is a draft now, or was one and is a way now, or is gone."""

    from_id: str
    to_id: str
    change: Literal["added", "taken up", "removed"]


@dataclass(frozen=True)
class Comparison:
    """Everything that changed, each part in a stable order."""

    old_name: str
    new_name: str
    added: Mapping[str, str]  # id -> title
    removed: Mapping[str, str]
    changed: Mapping[str, tuple[FieldChange, ...]]
    loads: tuple[LoadChange, ...]
    steps_too_large: tuple[StepChange, ...]
    steps_repaired: tuple[StepChange, ...]
    routes_longer: tuple[RouteChange, ...]
    routes_shorter: tuple[RouteChange, ...]
    cautions_lost: tuple[LostCaution, ...]
    reviews: tuple[ReviewChange, ...]
    findings_new: tuple[Finding, ...]
    findings_gone: tuple[Finding, ...]
    ladders_added: tuple[str, ...] = field(default=())
    ladders_removed: tuple[str, ...] = field(default=())
    renamed: Mapping[str, str] = field(default_factory=dict)  # old id -> new id
    # Findings that stood or were not there, and are accepted now; reasons are in their details.
    newly_accepted: tuple[Finding, ...] = field(default=())
    kinds: tuple[KindChange, ...] = field(default=())
    drafts: tuple[DraftChange, ...] = field(default=())
    # Of what the library builds on: exercises and ladders that changed there, and those files of
    # its own that stand in place of one that changed there.
    of_base: frozenset[str] = frozenset()
    replaced_changed: tuple[str, ...] = ()

    @property
    def levels(self) -> frozenset[Level]:
        """How grave the changes are: steps and routes that broke are errors, a caution lost or a
        way that grew is a warning, and so is a review that no longer holds, or an error that is
        accepted now; new findings keep their level, anything else is no fault."""
        found: set[Level] = {finding.level for finding in self.findings_new}
        if self.steps_too_large or any(one.new_rungs is None for one in self.routes_longer):
            found.add("error")
        if self.cautions_lost or self.routes_longer or any(map(_no_longer, self.reviews)):
            found.add("warning")
        if any(finding.level == "error" for finding in self.newly_accepted):
            found.add("warning")
        return frozenset(found)

    def worst_at_least(self, level: Level) -> bool:
        """Whether any change is as grave as `level`."""
        return bool(self.levels & set(LEVELS[: LEVELS.index(level) + 1]))
