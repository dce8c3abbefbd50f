"""Kinds of work as publications sort exercises of the shoulder."""

from __future__ import annotations

import pathlib

import pytest

from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.reading.read import read_library


@pytest.fixture(scope="module")
def loads() -> dict[str, ExerciseLoad]:
    library = read_library(pathlib.Path("library"))
    shoulder = [one for one in library.exercises.values() if one.area in ("shoulder", "arm-push")]
    return compute_loads(shoulder, library)


# Uhl T, Muir T, Lawson L. Electromyographical assessment of passive, active assistive, and active
# shoulder rehabilitation exercises. PM&R 2010;2:132-141: passive and helped exercises (moved by
# the other hand or a therapist, pulley, table and wall slides, stick) against active ones (raising
# upright by oneself). From memory, as the demo library's sources tell it. A therapist who carries
# three quarters of an arm leaves it a quarter: helped, not passive.
@pytest.mark.parametrize(
    ("exercise", "kind"),
    [
        ("supine-raise-therapist", "assisted"),
        ("supine-raise-helped", "assisted"),
        ("supine-raise-stick", "assisted"),
        ("pulley-raise", "assisted"),
        ("table-slide", "assisted"),
        ("side-lying-slide", "assisted"),
        ("supine-raise-active", "active"),
        ("standing-raise", "active"),
        ("standing-raise-one-kilo", "resisted"),
        ("standing-raise-band", "resisted"),
        ("shoulder-push-hold", "held"),
    ],
)
def test_shoulder_exercises_are_of_the_kind_that_publications_call_them(
    loads: dict[str, ExerciseLoad], exercise: str, kind: str
) -> None:
    found = loads[exercise].kind("shoulder flexion")
    assert found is not None and found.word == kind


def test_no_press_up_leaves_the_shoulder_anything_but_resisted(
    loads: dict[str, ExerciseLoad],
) -> None:
    """Common practice, no source: body weight through the hands is resisted shoulder work."""
    presses = [load for id, load in loads.items() if id.startswith("press-")]
    assert len(presses) > 10
    for load in presses:
        kinds = {k.kind for name, k in (load.kinds or {}).items() if name.startswith("shoulder")}
        assert kinds == {"resisted"}, load.id
