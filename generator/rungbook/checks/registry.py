"""Finds the checks, runs them, and applies what the library says about their levels."""

from __future__ import annotations

import datetime
import inspect
import pkgutil
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import import_module
from typing import Literal

from rungbook import checks
from rungbook.checks.accepting import judge
from rungbook.checks.explanation import Explanation, explain
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

Run = Callable[[MeasuredLibrary, datetime.date], Iterator[Finding]]


@dataclass(frozen=True)
class Check:
    """A check: its name, its level by default, what its module says of it, and how to run it.

    `run` is None where reading itself reports the finding.
    """

    name: str
    level: Level
    explanation: Explanation
    run: Run | None


@dataclass(frozen=True)
class Verdict:
    """What stands against the library, and what was accepted in place; both sorted."""

    findings: tuple[Finding, ...]
    accepted: tuple[Finding, ...]


def _runner(function: Callable[..., Iterator[Finding]] | None) -> Run | None:
    if function is None:
        return None
    if "today" in inspect.signature(function).parameters:
        return function
    return lambda measured, today: function(measured)


@cache
def all_checks() -> Mapping[str, Check]:
    """Every check of this folder, by name in sorted order."""
    found = []
    for info in pkgutil.iter_modules(checks.__path__):
        module = import_module(f"{checks.__name__}.{info.name}")
        if hasattr(module, "name") and hasattr(module, "level"):
            run = _runner(getattr(module, "check", None))
            found.append(Check(module.name, module.level, explain(module.__doc__ or ""), run))
    return {check.name: check for check in sorted(found, key=lambda check: check.name)}


def _found(
    measured: MeasuredLibrary, today: datetime.date, running: Collection[str]
) -> Iterator[Finding]:
    yield from (finding for finding in measured.library.findings if finding.check in running)
    for check in all_checks().values():
        if check.run is not None and check.name in running:
            yield from check.run(measured, today)


def _at_level(
    findings: Iterable[Finding], levels: Mapping[str, Level | Literal["off"]]
) -> Iterator[Finding]:
    for finding in findings:
        level = levels.get(finding.check, finding.level)
        if level == "off" or level == finding.level:
            yield finding
        else:
            yield replace(finding, level=level)


def examine(
    measured: MeasuredLibrary,
    today: datetime.date,
    only: Collection[str] = (),
    skip: Collection[str] = (),
) -> Verdict:
    """Run the checks, at the levels the library sets, and set aside what it accepts.

    `only` and `skip` are names of checks; an empty `only` means all.
    """
    library = measured.library
    levels = library.settings.checks
    known = {*all_checks(), *(finding.check for finding in library.findings)}
    running = {
        name
        for name in known
        if (not only or name in only) and name not in skip and levels.get(name) != "off"
    }
    found = list(_at_level(_found(measured, today, running), levels))
    standing, accepted, about_accepting = judge(
        library, found, today, running, all_checks().keys(), measured.near_gaps
    )
    standing.extend(_at_level(about_accepting, levels))
    return Verdict(
        tuple(sorted(standing, key=Finding.sort_key)),
        tuple(sorted(accepted, key=Finding.sort_key)),
    )


def run_checks(
    measured: MeasuredLibrary,
    today: datetime.date,
    only: Collection[str] = (),
    skip: Collection[str] = (),
) -> tuple[Finding, ...]:
    """The findings of `examine` that nobody has accepted."""
    return examine(measured, today, only, skip).findings
