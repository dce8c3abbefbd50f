"""Tests that criteria and ladders name, and amounts in the units those tests count in."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic_core import PydanticCustomError

from rungbook.model.criterion import Criteria, amount
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.place import Path
from rungbook.reading.functional_tests import functional_tests
from rungbook.reading.shape import Problem
from rungbook.reading.wording import expectation, one_of, quoted, shown

Ends = tuple[tuple[str, float | str | None], ...]


def exercise_criteria(exercise: Exercise) -> Iterator[Problem]:
    """Faults in the criteria of an exercise."""
    yield from _criteria(exercise.back_off, ("back-off",))
    for number, progression in enumerate(exercise.progressions):
        yield from _criteria(progression.when, ("progressions", number, "when"))


def ladder_criteria(ladder: Ladder) -> Iterator[Problem]:
    """Faults in the criteria of a ladder and in its tests."""
    yield from _criteria(ladder.goal_met, ("goal-met",))
    for number, one in enumerate(ladder.tests):
        path: Path = ("tests", number)
        yield from _test(one.test, (*path, "test"))
        told_as = {"norm": one.norm, "gate": one.gate, "start": one.start}
        kinds = [key for key, told in told_as.items() if told]
        if len(kinds) != 1:
            told = f"it is {' and '.join(kinds)}" if kinds else "it is none of them"
            message = f"a test is a norm, a gate or a start, and {told}: write one of the three"
            yield Problem("wrong-value", path, message)
        if one.source is None and not one.norm:
            message = "'source' is missing: name where the value comes from, or 'common practice'"
            yield Problem("missing-field", path, message)
        if one.gate is not None:
            ends: Ends = (("at-least", one.gate.at_least), ("at-most", one.gate.at_most))
            yield from _amounts(one.test, ends, (*path, "gate"))
        for index, start in enumerate(one.start):
            ends = (("at-least", start.at_least), ("at-most", start.at_most))
            yield from _amounts(one.test, ends, (*path, "start", index))


def _criteria(criteria: Criteria, path: Path) -> Iterator[Problem]:
    for number, one in enumerate(criteria):
        ends: Ends = (("at-least", one.at_least), ("at-most", one.at_most))
        if one.test is not None:
            yield from _test(one.test, (*path, number, "test"))
            yield from _amounts(one.test, ends, (*path, number))
        for key, value in ends:
            if value is not None and one.test is None:
                message = f"'{key}' is of a test: write 'test:' beside it"
                yield Problem("missing-field", (*path, number, key), message, at_key=True)
        if one.reps is not None and one.sets is None:
            message = "'sets' is missing beside 'reps': write how many sets of them"
            yield Problem("missing-field", (*path, number, "reps"), message, at_key=True)


def _test(name: str, path: Path) -> Iterator[Problem]:
    known = tuple(functional_tests())
    if name not in known:
        message = f"'test' is '{shown(name)}', not {one_of(name, known)}"
        yield Problem("wrong-value", path, message)


def _amounts(name: str, ends: Ends, path: Path) -> Iterator[Problem]:
    test = functional_tests().get(name)
    if test is None:
        return
    told = [(key, value) for key, value in ends if value is not None]
    if len(told) != 1:
        message = "write 'at-least' or 'at-most', one of the two"
        yield Problem("missing-field", path, message)
    for key, value in told:
        try:
            amount(value, test.unit)
        except PydanticCustomError as error:
            words = expectation(error.type, value, error.context or {}, error.message())
            check = "wrong-unit" if error.type == "wrong_unit" else "wrong-value"
            yield Problem(check, (*path, key), f"'{key}' is {quoted(value)}, not {words}")
