"""What acts on the body: what it rests on, what helps it, and what resists it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from rungbook.model.body_point import POINT_WORDS
from rungbook.model.fields import Force, Length, Mass, Share
from rungbook.model.record import Record
from rungbook.model.unit import fault

During = Literal["start", "up", "down", "end"]


class Contact(Record):
    """What a part of the body rests on."""

    at: str
    surface: str | None = None
    height: Length | None = None
    distance: Length | None = None
    share: Share | None = None
    friction: float | None = Field(default=None, ge=0, le=2)
    slides: bool = False
    during: During | None = None
    touch: bool = False
    grip: bool = False
    thickness: Length | None = None

    @property
    def on_a_limb(self) -> bool:
        """Whether what it rests on is a part of the body."""
        return self.surface in POINT_WORDS


DIRECTIONS = ("up", "down", "forward", "backward", "inward", "outward")
HELPERS = ("other-arm", "other-leg", "therapist")  # who may assist, beside equipment
BUILT_IN_SURFACES = ("floor", "wall")


def _pull(value: Any) -> Any:
    if isinstance(value, dict) and value.keys() == {"toward"} and isinstance(value["toward"], str):
        return f"toward {value['toward']}"
    if isinstance(value, str):
        return value
    raise fault("wrong_value", value, "a direction such as up, or {toward: shoulder}")


# A direction word, or "toward <body point>", which a file writes as {toward: <body point>}.
Pull = Annotated[str, BeforeValidator(_pull)]


class Pulling(Record):
    """Something that pulls: `toward: hip` beside the other keys is short for `pulls`."""

    @model_validator(mode="before")
    @classmethod
    def _toward(cls, values: Any) -> Any:
        if isinstance(values, dict) and "toward" in values and "pulls" not in values:
            rest = {key: value for key, value in values.items() if key != "toward"}
            return {**rest, "pulls": {"toward": values["toward"]}}
        return values


class Assistance(Pulling):
    """What carries part of a free limb: a share of it, a counterweight or a force."""

    at: str
    by: str | None = None
    share: Share | None = None
    weight: Mass | None = None
    force: Force | None = None
    pulls: Pull | None = None
    during: During | None = None


class Band(Record):
    """Measured tension of a band at the start and at the end of the movement."""

    start: Force
    end: Force


class Machine(Record):
    """A plate or lever that pushes back; what pushes it bears weight."""

    push: Force
    at: str


class Anchor(Record):
    """Where a cable comes from: over the floor, and away from the body at the start."""

    height: Length
    distance: Length


class Cable(Record):
    """A weight on a cable: its line follows the movement."""

    weight: Mass
    at: str
    from_: Anchor


class Resistance(Pulling):
    """A weight, a band, a push, a machine, a cable, or a share of a measured maximum."""

    weight: Mass | None = None
    off_axis: Length | None = None  # of a weight held by its handle, toward the thumb
    band: Band | None = None
    push: Force | None = None
    machine: Machine | None = None
    cable: Cable | None = None
    effort: Share | None = None
    at: str | None = None
    pulls: Pull | None = None
    during: During | None = None
