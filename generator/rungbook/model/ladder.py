"""A ladder, as written: from entries to a goal. Its rungs follow from the graph."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from rungbook.model.criterion import Amount, Criteria
from rungbook.model.exercise import Acceptance
from rungbook.model.fields import Actions, OneAction, StepLimit
from rungbook.model.movement import Action
from rungbook.model.place import Place, WholeFile
from rungbook.model.record import KnownPlaces, Record
from rungbook.model.text import Id, Title
from rungbook.model.translated import Translated

Irritability = Literal["high", "moderate", "low"]
IRRITABILITIES: tuple[Irritability, ...] = ("high", "moderate", "low")
# From memory; for the shoulder.
IRRITABILITY_MEANS: dict[Irritability, str] = {
    "high": "pain of 7 of 10 or more, constant, at night, or before the end of range",
    "moderate": "pain of 4 to 6 of 10",
    "low": "pain of 3 of 10 or less",
}
IRRITABILITY_SOURCE = "Kelley 2013 and the STAR classification, for the shoulder, from memory"
NO_INHERITED_PAIN_RULE = frozenset({"nerve", "post-operative", "bone-stress"})


class PainRule(Translated):
    """Thresholds of pain (of 10) and of its settling, with their source."""

    TRANSLATED = frozenset({"text"})

    during: float | None = Field(default=None, ge=0, le=10)  # most pain during, of 10
    settles_within: str | None = None
    text: str | None = None
    source: str | None = None


def _rule_or_word(value: Any) -> str:
    return "word" if isinstance(value, str) else "rule"


PainRuleOrDefault = Annotated[
    Annotated[Literal["default"], Tag("word")] | Annotated[PainRule, Tag("rule")],
    Discriminator(_rule_or_word),
]


class StartAt(Record):
    """Where to start with a test result from `at-least`, or up to `at-most`, on."""

    at_least: Amount | None = None
    at_most: Amount | None = None
    enter: str


class Gate(Record):
    """A test result that is asked before a rung."""

    at_least: Amount | None = None
    at_most: Amount | None = None
    before: str


class LadderTest(Record):
    """A test that bears on where to start: as a norm that is shown, as a gate, or as a start."""

    test: str
    norm: bool = False
    gate: Gate | None = None
    start: tuple[StartAt, ...] = ()
    source: str | None = None


def _id_or_actions(value: Any) -> str:
    return "id" if isinstance(value, str) else "actions"


# One exercise for every action, or one an action.
Standard = Annotated[
    Annotated[str, Tag("id")] | Annotated[dict[OneAction, str], Tag("actions")],
    Discriminator(_id_or_actions),
]


class Ladder(Record):
    """One ladder file. `standard` is the exercise usually given, on which steps are scaled."""

    NOT_WRITTEN = frozenset({"id", "text", "source"})

    id: str
    title: Title
    works: Actions = ()
    condition: str | None = None
    goal: str
    standard: Standard | None = None
    goal_met: Criteria = ()
    entries: dict[Irritability, str] = Field(default_factory=dict)
    restrictions: tuple[str, ...] = ()
    pain_rule: PainRuleOrDefault | None = None
    rule: Literal["quota"] | None = None
    tests: tuple[LadderTest, ...] = ()
    limits: dict[str, StepLimit] = Field(default_factory=dict)
    accepts: tuple[Acceptance, ...] = ()
    formerly: tuple[Id, ...] = ()  # ids it had: their pages lead here
    text: str = ""
    source: KnownPlaces = Field(default_factory=WholeFile, exclude=True, repr=False)

    def place(self, *path: str | int) -> Place:
        """Where the value at `path` was written."""
        return self.source.place(path)

    def standard_of(self, action: Action) -> str | None:
        """The standard exercise of an action: the goal where none is written."""
        if isinstance(self.standard, dict):
            return self.standard.get(action)
        return self.standard or self.goal
