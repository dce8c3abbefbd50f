"""Where to start: restrictions first, then the lightest of irritability, tests and strength."""

from __future__ import annotations

import pytest

from builders.loads import exercise, measured_of
from rungbook.ladder.filters import Filters
from rungbook.ladder.start import Start, Told, start
from rungbook.model.ladder import Ladder
from rungbook.model.library import Restriction, Vocabulary
from rungbook.model.movement import Action
from rungbook.model.quantity import AngleLimit

FLEXION = Action("shoulder", "flexion")
TESTS = (
    {"test": "chair-stand-30s", "source": "common practice", "start": (
        {"at_most": 4, "enter": "a"}, {"at_least": 5, "enter": "b"}, {"at_least": 12, "enter": "c"},
    )},
    {"test": "one-leg-stance", "source": "common practice",
     "gate": {"at_least": "5 s", "before": "c"}},
)  # fmt: skip


def carried(share: str, id: str, *to: str):
    return exercise(id, *to, assist=({"at": "wrist", "by": "pulley", "share": share},))


def asked(told: Told, filters: Filters | None = None, **ladder) -> Start:
    """On a ladder of 2.5, 5 and 10 N·m."""
    low = Restriction(title="Low", never=({"shoulder": {"flexion": AngleLimit("over", 70)}},))
    values = {"entries": {"high": "a", "low": "c"}, "works": ("shoulder flexion",), **ladder}
    one = Ladder.model_validate({"id": "l", "title": "L", "goal": "c", "tests": TESTS, **values})
    measured = measured_of(
        carried("75 %", "a", "b"), carried("50 %", "b", "c"), exercise("c"), ladders=[one],
        vocabulary=Vocabulary(restrictions={"low": low}),
    )  # fmt: skip
    return start(measured, "l", told, filters or Filters())


@pytest.mark.parametrize(
    ("told", "rung"),
    [
        (Told("high"), "a"),
        (Told("low"), "c"),
        (Told("moderate"), "a"),  # none is named: the next higher irritability's
        (Told(tests={"chair-stand-30s": 3}), "a"),
        (Told(tests={"chair-stand-30s": 11}), "b"),
        (Told(tests={"chair-stand-30s": 12}), "c"),
        (Told(maxima={FLEXION: 12.0}), "b"),  # half of it, as the library usually says: 6 N·m
        (Told(maxima={FLEXION: 2.0}), None),
        (Told("low", {"chair-stand-30s": 11}, {FLEXION: 6.0}), "a"),
        (Told(), None),
    ],
)
def test_the_lightest_of_what_is_told_decides(told, rung):
    assert asked(told).rung == rung


def test_all_that_was_given_is_shown():
    found = asked(Told("low", {"chair-stand-30s": 11}, {FLEXION: 12.0}, age=72))
    assert [(one.by, one.rung) for one in found.suggestions] == [
        ("irritability", "c"), ("test", "b"), ("strength", "b"),
    ]  # fmt: skip
    # CDC STEADI, 30-second chair stand: women of 70 to 74, below average under 10.
    assert (
        found.norms[0].says == "Chair stands in 30 s: 11: not below average for this age (under 10)"
    )


def test_a_gate_that_is_not_passed_closes_the_rung_and_all_above():
    found = asked(Told("low", {"one-leg-stance": 3.0}))
    assert found.rung == "b" and found.left_out == {"c": "One-leg stance: at least 5 s"}
    assert asked(Told("low")).gates[0].met is None and asked(Told("low")).rung == "c"


def test_restrictions_come_first():
    found = asked(Told("low"), restrictions=("low",))
    assert found.rung is None and set(found.left_out) == {"a", "b", "c"}


def test_far_below_a_measured_strength_may_be_too_little():
    assert asked(Told("high", maxima={FLEXION: 100.0})).may_be_too_little
    assert not asked(Told("high", maxima={FLEXION: 6.0})).may_be_too_little
