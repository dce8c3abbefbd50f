"""An exercise, as written, with every quantity in SI units (angles stay in degrees)."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    Discriminator,
    Field,
    Tag,
)

from rungbook.model.acting import Assistance, Contact, Resistance
from rungbook.model.criterion import Criteria
from rungbook.model.fields import (
    Actions,
    Angle,
    Date,
    Duration,
    Effort,
    FromTo,
    LeastTime,
    Length,
    Moment,
    OneAction,
    Pause,
    RangedTime,
    Reps,
    SessionsPerWeek,
    SetCount,
)
from rungbook.model.kind_of_work import KindWord
from rungbook.model.place import Place, WholeFile
from rungbook.model.record import KnownPlaces, Record
from rungbook.model.text import Id, Seal, Title
from rungbook.model.translated import Translated

T = TypeVar("T")
# The work of the engine grows with the square of these and more; no body has room for more.
Few = Annotated[tuple[T, ...], Field(max_length=8)]
Angles = dict[str, Angle]  # movement -> degrees
ArmsWord = Literal["crossed", "on-thighs", "by-the-side", "held-out"]


class Dose(Record):
    """How much and how often. Times in seconds, sessions per week; ranges are `Span`s."""

    sets: SetCount | None = None
    reps: Reps | None = None
    hold: RangedTime | None = None
    duration: RangedTime | None = None
    up: Duration | None = None
    pause: Pause | None = None
    down: Duration | None = None
    rest: Pause | None = None
    sessions: SessionsPerWeek | None = None
    effort: Effort | None = None


class WrittenKind(Record):
    """The kind of work of one action, where it is another than the computed one."""

    action: OneAction
    kind: KindWord
    because: Title


class Measured(Record):
    """A published figure for the load of an exercise."""

    works: Actions
    value: Moment
    source: str


def _word_or_figures(value: Any) -> str:
    return "word" if isinstance(value, str) else "figures"


FiguresOrNone = Annotated[
    Annotated[Literal["none"], Tag("word")] | Annotated[tuple[Measured, ...], Tag("figures")],
    Discriminator(_word_or_figures),
]


class Picture(Record):
    """A photograph, a drawing or a short silent video of the clinic's own."""

    file: str
    alt: str = ""
    still: str | None = None  # of a video: the picture for paper


class Review(Record):
    """When and by whom an exercise was last reviewed, and the seal of what was reviewed."""

    date: Date
    by: str
    seal: Seal | None = None


Standing = Literal["never reviewed", "changed since review", "reviewed, not sealed", "reviewed"]


class Progression(Record):
    """The edge to the next harder exercise; a draft is shown as one and is no way to go yet."""

    to: str
    draft: bool = False
    when: Criteria = ()
    after: LeastTime | None = None
    because: str | None = None
    sources: tuple[str, ...] = ()


class Acceptance(Record):
    """A finding accepted in place, with a reason, until a date.

    What is found about a progression is accepted for that one alone: `to` the exercise it leads to,
    or `from` the one it comes from.
    """

    check: str
    to: str | None = None
    from_: str | None = None
    because: str
    until: Date


class Exercise(Translated):
    """One exercise file, `variation-of` already resolved."""

    NOT_WRITTEN = frozenset({"id", "text", "altered", "borrowed", "source", "in_languages"})
    TRANSLATED = frozenset({"title"})

    id: str
    title: Title
    area: str | None = None
    also_called: tuple[str, ...] = ()
    purpose: tuple[str, ...] = ()
    sides: Literal["both", "one"] = "both"
    position: str = "standing"
    incline: float = Field(default=0.0, ge=-90, le=90)
    posture: dict[str, Angles] = Field(default_factory=dict)
    works: Actions = ()
    movement: Few[dict[str, dict[str, FromTo]]] = ()
    contacts: Few[Contact] = ()
    assist: Few[Assistance] = ()
    resistance: Few[Resistance] = ()
    dose: Dose | None = None
    passive: bool = False
    kind_of_work: tuple[WrittenKind, ...] = ()
    ballistic: bool = False
    impact: Literal["none", "both feet", "one foot"] = "none"
    stride: Length | None = None
    stands_on: Literal["working", "other"] | None = None
    front: Literal["working", "other"] | None = None
    arms: ArmsWord | None = None
    balance: tuple[str, ...] = ()
    follows: Actions = ()
    equipment: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    restrictions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    measured: FiguresOrNone = ()  # none: no number is claimed for it, nor computed
    pictures: Few[Picture] = ()
    words_checked: bool = False  # the words and pictures it takes over fit it all the same
    reviewed: Review | None = None
    back_off: Criteria = ()
    progressions: tuple[Progression, ...] = ()
    accepts: tuple[Acceptance, ...] = ()
    draft: str | None = None  # why it is a draft: `computed, not reviewed`, `intake`
    variation_of: str | None = None
    replaced_by: str | None = None  # the exercise to use instead
    formerly: tuple[Id, ...] = ()  # ids it had: their pages lead here
    text: dict[str, str] = Field(default_factory=dict)  # section heading -> Markdown
    altered: bool = False  # whether it says something else than what its review's seal is of
    borrowed: tuple[str, ...] = ()  # words and pictures of an exercise that moves otherwise
    source: KnownPlaces = Field(default_factory=WholeFile, exclude=True, repr=False)

    @property
    def figures(self) -> tuple[Measured, ...]:
        """Published figures of its load."""
        return () if self.measured == "none" else self.measured

    @property
    def numberless(self) -> bool:
        """Whether it has no load to compute: breathing, a nerve glide, balance by itself."""
        return self.measured == "none"

    def place(self, *path: str | int) -> Place:
        """Where the value at `path` was written."""
        return self.source.place(path)

    @property
    def file(self) -> str:
        """The file it was written in."""
        return self.source.file

    @property
    def ways(self) -> tuple[Progression, ...]:
        """The progressions that count: drafts do not."""
        return tuple(one for one in self.progressions if not one.draft)

    @property
    def standing(self) -> Standing:
        """What its review is worth."""
        if self.reviewed is None:
            return "never reviewed"
        if self.altered:
            return "changed since review"
        return "reviewed" if self.reviewed.seal else "reviewed, not sealed"

    @property
    def is_reviewed(self) -> bool:
        """Whether somebody reviewed what it says now, as far as anybody can tell."""
        return self.standing in ("reviewed", "reviewed, not sealed")

    @property
    def kept_off_sheets(self) -> str | None:
        """Why it goes on no patient's sheet, as a clause that begins with "it"; None where it may.

        A draft needs a review first, and one of what it says now; words need to be its own.
        """
        if self.draft is not None and not self.is_reviewed:
            return f"it is a draft ({self.draft}), {self.standing}"
        if self.borrowed:
            of = f" of {self.variation_of}" if self.variation_of else ""
            return f"it is done otherwise than the words{of} that it takes over say"
        return f"it is replaced by {self.replaced_by}" if self.replaced_by else None

    @property
    def needs_a_therapist(self) -> bool:
        """Whether somebody carries a limb: nothing to do at home alone."""
        return any(item.by == "therapist" for item in self.assist)

    @property
    def may_go_on_a_sheet(self) -> bool:
        """Whether it may be handed to a patient."""
        return self.kept_off_sheets is None
