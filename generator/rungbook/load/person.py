"""The person a load is computed for: the library's reference person, or the patient."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.model.library import Settings


@dataclass(frozen=True, slots=True)
class Person:
    """Mass in kg, stature in m, the name of a segment table (`female`, `male`, `winter`).

    `age` in years, where it is known: no load depends on it, a share of strength does.
    """

    mass_kg: float
    stature_m: float
    body: str
    age: float | None = None

    def __post_init__(self) -> None:
        if not 20 <= self.mass_kg <= 350:
            raise ValueError(f"a body mass of {self.mass_kg:g} kg is outside 20 to 350 kg")
        if not 0.9 <= self.stature_m <= 2.5:
            raise ValueError(f"a stature of {self.stature_m:g} m is outside 0.9 to 2.5 m")
        if self.age is not None and not 1 <= self.age <= 120:
            raise ValueError(f"an age of {self.age:g} years is outside 1 to 120 years")


def reference_person(settings: Settings) -> Person:
    """The library's reference person."""
    person = settings.person
    return Person(person.mass, person.stature, person.body)
