"""Criteria as a sheet says them, those that a patient can judge."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.model.criterion import Criteria, Criterion, NumberBound
from rungbook.site.sheet.messages import Messages


def criteria_words(criteria: Criteria, home: str, say: Messages) -> tuple[str, ...]:
    """In the language of `say`; `home` is the library's own."""
    patients = (one for one in criteria if one.judged_by == "patient")
    return tuple(said for one in patients if (said := _said(one, home, say)))


def _said(one: Criterion, home: str, say: Messages) -> str:
    words = one.said("words", say.language, home)
    if not one.in_figures:
        return words or ""
    said = ", ".join([*_parts(one, say), *([words] if words else [])])
    return said[:1].upper() + said[1:]


def _parts(one: Criterion, say: Messages) -> Iterator[str]:
    if one.sets is not None:
        yield say("criterion.sets", n=one.sets)
    if one.reps is not None:
        yield say("criterion.reps", n=one.reps)
    if one.hold is not None:
        yield say("criterion.hold", seconds=say.number(one.hold))
    for key, bound in (("effort", one.effort), ("pain", one.pain), ("morning", one.next_morning)):
        if bound is not None:
            yield say(f"criterion.{key}", bound=_bound(bound, say))
    if one.settled is not None:
        yield say(f"criterion.settled.{one.settled.replace(' ', '-')}")
    if one.not_settled is not None:
        yield say(f"criterion.not-settled.{one.not_settled.replace(' ', '-')}")
    if one.swelling is not None:
        yield say(f"criterion.swelling.{one.swelling.replace(' ', '-')}")


def _bound(bound: NumberBound, say: Messages) -> str:
    """`up to 4 of 10`."""
    return say(f"bound.{bound.relation.replace(' ', '-')}", number=say.number(bound.value))
