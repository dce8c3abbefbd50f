"""Findings that the library accepts in place, with a reason, until a date.

What is found about a progression is accepted for that progression alone: an acceptance that names
none covers no later one of the same exercise.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches

from rungbook.model.exercise import Acceptance
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.model.place import Place

ABOUT_ACCEPTING = "unknown-reference"
LAPSING = "acceptance-lapsing"
ANNOUNCED = datetime.timedelta(days=30)  # before an acceptance lapses it is said
GRACE = datetime.timedelta(days=60)  # after it lapsed its error is a warning


@dataclass(frozen=True)
class Written:
    """An acceptance with the record it was written in: an exercise or a ladder."""

    acceptance: Acceptance
    owner: str
    of_ladder: bool
    place: Place

    @property
    def edge(self) -> tuple[str, str] | None:
        """The progression it was written for, if it names one."""
        own = None if self.of_ladder else self.owner
        easier = self.acceptance.from_ or (own if self.acceptance.to else None)
        harder = self.acceptance.to or (own if self.acceptance.from_ else None)
        return (easier, harder) if easier and harder else None

    def covers(self, finding: Finding) -> bool:
        """A finding about its progression; of others those that are about no progression."""
        return self.concerns(finding) and self.edge == finding.edge

    def concerns(self, finding: Finding) -> bool:
        """A finding of that name about its progression, or in its file, or about its record."""
        if finding.check != self.acceptance.check:
            return False
        if self.edge is not None and self.edge == finding.edge:
            return True
        first = finding.ladder if self.of_ladder else next(iter(finding.exercises), None)
        return finding.place.file == self.place.file or first == self.owner


def _acceptances(library: Library) -> Iterator[Written]:
    for exercise in library.exercises.values():
        for index, acceptance in enumerate(exercise.accepts):
            yield Written(acceptance, exercise.id, False, exercise.place("accepts", index, "check"))
    for ladder in library.ladders.values():
        for index, acceptance in enumerate(ladder.accepts):
            yield Written(acceptance, ladder.id, True, ladder.place("accepts", index, "check"))


def _unknown(name: str, known: Collection[str], place: Place, where: str) -> Finding:
    near = get_close_matches(name, sorted(known), n=1)
    hint = f"did you mean '{near[0]}'?" if near else "see `rungbook check --explain all`."
    return Finding(
        ABOUT_ACCEPTING,
        "error",
        f"{where} names the check '{name}', which does not exist: {hint}",
        place,
        details={"value": name},
    )


def _unknown_names(
    library: Library, written: Iterable[Written], known: Collection[str]
) -> Iterator[Finding]:
    for name in library.settings.checks:
        if name not in known:
            place = library.settings.source.key_place(("checks", name))
            yield _unknown(name, known, place, "checks")
    for one in written:
        if one.acceptance.check not in known:
            yield _unknown(one.acceptance.check, known, one.place, "accepts")


_NOTE = re.compile(r" \(It was accepted until [^()]*\)\Z")


def without_lapse(message: str) -> str:
    """A finding's message without what it gained when its acceptance lapsed."""
    return _NOTE.sub("", message)


def _with_reason(finding: Finding, acceptance: Acceptance) -> Finding:
    reason = {"because": acceptance.because, "accepted_until": acceptance.until.isoformat()}
    return replace(finding, details={**finding.details, **reason})


def _lapsed(finding: Finding, acceptance: Acceptance, today: datetime.date) -> Finding:
    level, then = finding.level, ""
    if level == "error" and today - acceptance.until <= GRACE:
        level, then = "warning", f" and is an error again after {acceptance.until + GRACE}"
    note = f" (It was accepted until {acceptance.until}; that has lapsed{then}.)"
    told = _with_reason(finding, acceptance)
    return replace(told, message=finding.message + note, level=level)


def _lapsing(one: Written, finding: Finding) -> Finding:
    until, then = one.acceptance.until, "it stands again"
    if finding.level == "error":
        then = f"it stands again, as a warning, and after {until + GRACE} as an error"
    return Finding(
        LAPSING,
        "note",
        f"accepts {finding.check} until {until}; then {then}: mend it, or accept it anew.",
        one.place,
        exercises=() if one.of_ladder else (one.owner,),
        ladder=one.owner if one.of_ladder else None,
    )


def _idle(one: Written, findings: Iterable[Finding]) -> Finding:
    name, edge = one.acceptance.check, one.edge
    found = dict.fromkeys(f.edge for f in findings if f.edge is not None and one.concerns(f))
    if edge is None and found:
        ways = " or ".join(_written_as(one, known) for known in found)
        told = f"accepts {name} for no progression in particular, and so for none: write {ways}."
    elif edge is not None:
        told = f"accepts {name} from {edge[0]} to {edge[1]}, where nothing of that name is found: "
        told += "remove the acceptance."
    else:
        told = f"accepts {name}, but nothing of that name is found here: remove the acceptance."
    return Finding(
        ABOUT_ACCEPTING,
        "warning",
        told,
        one.place,
        exercises=() if one.of_ladder else (one.owner,),
        ladder=one.owner if one.of_ladder else None,
        details={"value": name},
    )


def _written_as(one: Written, edge: tuple[str, str]) -> str:
    """The keys that bind an acceptance to a progression, where it is written."""
    easier, harder = edge
    if easier == one.owner and not one.of_ladder:
        return f"'to: {harder}'"
    if harder == one.owner and not one.of_ladder:
        return f"'from: {easier}'"
    return f"'from: {easier}' and 'to: {harder}'"


def judge(
    library: Library,
    findings: Iterable[Finding],
    today: datetime.date,
    running: Collection[str],
    known: Collection[str],
    near_gaps: Collection[str] = (),
) -> tuple[list[Finding], list[Finding], list[Finding]]:
    """What stands, what is accepted, and what is wrong with the acceptances themselves.

    An acceptance holds up to and including its date, and its end is announced. One that lapsed
    gives its finding back, an error as a warning first; one that covers nothing is reported, unless
    its check did not run or something that is left out bears on it (`near_gaps`).
    """
    findings = list(findings)
    written = list(_acceptances(library))
    by_check: Mapping[str, list[Written]] = {
        name: [one for one in written if one.acceptance.check == name]
        for name in {one.acceptance.check for one in written}
    }
    standing, accepted = [], []
    lapsing: dict[Place, Finding] = {}
    used: set[Place] = set()
    for finding in findings:
        covering = [one for one in by_check.get(finding.check, ()) if one.covers(finding)]
        used.update(one.place for one in covering)
        if not covering:
            standing.append(finding)
            continue
        last = max(covering, key=lambda one: one.acceptance.until)
        latest = last.acceptance
        if latest.until < today:
            standing.append(_lapsed(finding, latest, today))
            continue
        accepted.append(_with_reason(finding, latest))
        if latest.until - today <= ANNOUNCED and LAPSING in running:
            lapsing[last.place] = _lapsing(last, finding)
    about = list(_unknown_names(library, written, known)) if ABOUT_ACCEPTING in running else []
    if ABOUT_ACCEPTING in running:
        about += [
            _idle(one, findings)
            for one in written
            if one.place not in used
            and one.acceptance.check in running
            and (f"ladder {one.owner}" if one.of_ladder else one.owner) not in near_gaps
        ]
    return standing, accepted, [*about, *lapsing.values()]
