"""Check the parts of a library that are to be checked, some at a time, in several processes.

A library falls into parts that have nothing to do with each other. Some parts make a portion,
which one process reads, computes and checks, and of which nothing but the findings remains: so all
processors are used, and memory holds a few portions, never the whole library. What a portion
belongs to is known for certain only once it was read. Where parts of two portions turn out to
touch, or one that was changed touches one that was not to be checked, these are checked together.
"""

from __future__ import annotations

import datetime
import pathlib
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rungbook.checks.registry import all_checks
from rungbook.model.finding import Finding
from rungbook.pipeline import snapshot
from rungbook.pipeline.analyse import analyse_library
from rungbook.pipeline.checked import Checked
from rungbook.pipeline.kept import Settled
from rungbook.pipeline.parts import joined, likely_parts, node_of, parts, unsound
from rungbook.pipeline.workers import each, worthwhile
from rungbook.reading.folder import Found, Listing
from rungbook.reading.read import Ground, read_ground, read_records

AT_ONCE = 500  # files: the arrays are long enough then, and memory is not yet felt
WORTH_A_PROCESS = 150  # files; for fewer, a process costs more than it brings
Portion = Sequence[Found]
Label = tuple[int, str]  # the number of a portion, and one of its parts


@dataclass(frozen=True)
class Job:
    """What is to be checked, and how: see `rungbook.pipeline.check.check_library`."""

    root: pathlib.Path
    listing: Listing
    today: datetime.date
    only: Collection[str] = ()
    skip: Collection[str] = ()
    progress: Callable[[str], None] | None = None
    workers: int | None = None
    at_once: int | None = None


def settle(job: Job, before: Settled | None, changed: Collection[str]) -> Settled:
    """The findings on the whole library.

    `before` are those of an earlier run, which hold for all parts in which no file is in
    `changed`; without them, everything is checked.
    """
    ground = read_ground(job.root, job.listing)
    records = snapshot.records(job.listing)
    part_of: Mapping[str, str]
    if before is None:
        part_of = likely_parts(records, ground)
        still: Mapping[str, str] = {}
        concerned = set(part_of.values())
    else:
        part_of = before.parts
        concerned = {part_of[node_of(one)] for one in records if one.file in changed}
        still = {node: part for node, part in part_of.items() if part not in concerned}
    redone = [one for one in records if part_of[node_of(one)] in concerned]
    known = replace(before.checked, root=job.root) if before else Checked(job.root, (), (), ())
    settled = Settled(known, still)
    while True:
        portions = list(_portions(redone, part_of, _files_at_once(job, len(redone)))) or [()]
        fresh = _checked(job, ground, portions)
        touching = _touching(settled.parts, [one.parts for one in fresh])
        part_of = touching.group_of
        redone = [one for one in records if node_of(one) in part_of]
        settled = _with(settled, portions, fresh, records, touching)
        if not redone:
            return settled


def _files_at_once(job: Job, files: int) -> int:
    share = files // (2 * _workers(job, files))
    return job.at_once or max(WORTH_A_PROCESS, min(AT_ONCE, share))


def _workers(job: Job, files: int) -> int:
    return job.workers or worthwhile(files, WORTH_A_PROCESS)


def _portions(
    redone: Iterable[Found], part_of: Mapping[str, str], at_once: int
) -> Iterator[Portion]:
    """The files in portions of whole parts, each of `at_once` files, or of one larger part.

    In the order of the files: exercises of one area are alike, and are computed quicker together.
    """
    by_part: dict[str, list[Found]] = defaultdict(list)
    for one in redone:
        by_part[part_of[node_of(one)]].append(one)
    portion: list[Found] = []
    for files in by_part.values():
        if portion and len(portion) + len(files) > at_once:
            yield portion
            portion = []
        portion.extend(files)
    if portion:
        yield portion


def _checked(job: Job, ground: Ground, portions: Sequence[Portion]) -> list[Settled]:
    """Every portion's findings and parts, in the order of the portions."""
    total = sum(map(len, portions))
    alone = len(portions) == 1
    all_checks()  # known before any process is forked

    def work(portion: Portion) -> tuple[dict[str, Any], dict[str, str]]:
        read = read_records(ground, {one.file for one in portion})
        analysis = analyse_library(
            read.library,
            job.today,
            job.progress if alone else None,
            job.only,
            job.skip,
            numbers_only=True,
        )
        left_out = tuple(one.file for one in unsound(read.library, portion))
        checked = Checked(job.root, analysis.findings, analysis.accepted, (), left_out)
        return checked.as_data(), parts(read.library, portion, read.varied)

    say = job.progress or (lambda phase: None)
    say("reading" if alone else f"checking {total} files")
    outcomes: dict[int, Settled] = {}
    done = 0
    for number, (data, found) in each(work, portions, _workers(job, total)):
        files = [one.file for one in portions[number]]
        outcomes[number] = Settled(Checked.from_data(data, job.root, files), found)
        done += len(files)
        if not alone:
            say(f"checked {done} of {total} files")
    return [outcomes[number] for number in range(len(portions))]


@dataclass(frozen=True)
class _Touching:
    """`parts` of nodes that are settled; the other nodes, by the group of parts that touch."""

    parts: Mapping[str, str]
    group_of: Mapping[str, str]


def _touching(still: Mapping[str, str], fresh: Sequence[Mapping[str, str]]) -> _Touching:
    owner: dict[str, Label] = {}
    pairs: list[tuple[Label, Label]] = []
    for number, found in enumerate([still, *fresh]):
        for node, part in found.items():
            label = (number, part)
            first = owner.setdefault(node, label)
            if first != label:
                pairs.append((first, label))
    groups = joined(pairs, ())
    return _Touching(
        {node: part for node, (_, part) in owner.items() if owner[node] not in groups},
        {node: str(groups[label]) for node, label in owner.items() if label in groups},
    )


def _with(
    settled: Settled,
    portions: Sequence[Portion],
    fresh: Sequence[Settled],
    records: Sequence[Found],
    touching: _Touching,
) -> Settled:
    """What is settled with what is fresh; findings on what is to be checked again are dropped."""
    anew = {one.file for one in records if node_of(one) in touching.group_of}
    just_now = {one.file for portion in portions for one in portion}
    files = tuple(one.file for one in records)
    still = set(files) - just_now - anew
    # Findings on other files are the same in every portion.
    taken = [(settled.checked, still)]
    taken += [(one.checked, set(one.checked.files) - anew) for one in fresh]
    findings = [one for checked, own in taken for one in checked.findings if one.place.file in own]
    accepted = [one for checked, own in taken for one in checked.accepted if one.place.file in own]
    everywhere, known = fresh[0].checked, set(files)
    findings += [one for one in everywhere.findings if one.place.file not in known]
    accepted += [one for one in everywhere.accepted if one.place.file not in known]
    left_out = [file for checked, own in taken for file in checked.unsound if file in own]
    checked = Checked(
        settled.checked.root,
        tuple(sorted(findings, key=Finding.sort_key)),
        tuple(sorted(accepted, key=Finding.sort_key)),
        files,
        tuple(sorted(left_out)),
    )
    return Settled(checked, touching.parts)
