"""Findings on a library that builds on another: what the base says of itself is the base's affair.

Left are those on a library's own files, and those on files of the base that the base alone has
not: what no longer fits since something of it is left out, replaced, or held to other limits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Protocol

from rungbook.model.finding import Finding
from rungbook.model.library import BaseLibrary
from rungbook.model.place import base_of

Identity = tuple[object, ...]
NO_LONGER = "no-longer-fits"  # a detail of what is found on files of the base
WAY_OUT = "It is a file of the base: put one of your own in its place, or leave it out"


class Alone(Protocol):
    """What was found on a base by itself."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What stands."""
        ...

    @property
    def accepted(self) -> tuple[Finding, ...]:
        """What was accepted in place."""
        ...


def own_findings(
    found: Iterable[Finding], bases: Mapping[BaseLibrary, Alone]
) -> tuple[Finding, ...]:
    """Of what was found on a library, what is its own to mend; sorted.

    What a former call has left stays as it is.
    """
    known = {identity for base, alone in bases.items() for identity in _known(base, alone)}
    kept = [*_kept(found, known), *_faulty(bases)]
    return tuple(sorted(kept, key=Finding.sort_key))


def _known(base: BaseLibrary, alone: Alone) -> Iterator[Identity]:
    for one in (*alone.findings, *alone.accepted):
        if not base_of(one.place.file):
            yield _identity(one, f"{base.way}/{one.place.file}")


def _identity(one: Finding, file: str) -> Identity:
    message = "" if one.exercises or one.ladder else one.message
    return one.check, file, one.exercises, one.ladder, one.edge, message


def _kept(found: Iterable[Finding], known: set[Identity]) -> Iterator[Finding]:
    for one in found:
        if not base_of(one.place.file) or NO_LONGER in one.details:
            yield one
        elif _identity(one, one.place.file) not in known:
            message = f"{one.message.rstrip('.')}. {WAY_OUT}"
            yield replace(one, message=message, details={**one.details, NO_LONGER: True})


def _faulty(bases: Mapping[BaseLibrary, Alone]) -> Iterator[Finding]:
    for base, alone in bases.items():
        errors = sum(one.level == "error" and not base_of(one.place.file) for one in alone.findings)
        if errors:
            message = (
                f"the base {base.way} has {errors} {'error' if errors == 1 else 'errors'} of its "
                f"own: see rungbook check --library {base.way}"
            )
            yield Finding("unusable-base", "error", message, base.place)
