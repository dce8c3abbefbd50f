"""Answers that several ask for one after the other, made once."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from rungbook.model.watched import Look, note, watching

P = ParamSpec("P")
T = TypeVar("T")


def latest(make: Callable[P, T]) -> Callable[P, T]:
    """`make`, which remembers its latest answer; arguments are the same if they are one object.

    For arguments that never change and are costly to compare. The answer is shared: whoever gets
    it must not change it. What was looked up for it counts as looked up by all who get it.
    """
    known: tuple[tuple[object, ...], T, set[Look]] | None = None

    @wraps(make)
    def asked(*about: P.args, **named: P.kwargs) -> T:
        nonlocal known
        answer = known
        key = (*about, *named.values())
        if answer is None or len(answer[0]) != len(key) or any(map(_differ, answer[0], key)):
            with watching() as looks:
                answer = known = key, make(*about, **named), looks
        else:
            note(answer[2])
        return answer[1]

    return asked


def _differ(one: object, other: object) -> bool:
    return one is not other
