"""Ladder files as checked records."""

from __future__ import annotations

from collections.abc import Mapping

from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.ladder import Ladder
from rungbook.reading.contradictions import ladder_contradictions, ladder_standards
from rungbook.reading.folder import Found
from rungbook.reading.names import ladder_names
from rungbook.reading.raw import RawFile, read_front_matter
from rungbook.reading.references import Known, ladder_references
from rungbook.reading.shape import findings_of, validate
from rungbook.reading.yaml_values import Read, read_yaml


def read_ladders(
    files: Mapping[str, Found],
    exercises: Mapping[str, Exercise],
    known: Known,
    findings: list[Finding],
    read: Read = read_yaml,
) -> dict[str, Ladder]:
    """Reads and checks ladder files, given by id; returns the sound ones.

    A ladder without `works` is about what its goal works.
    """
    ladders: dict[str, Ladder] = {}
    for id in sorted(files):
        raw = read_front_matter(files[id], findings, ladder=id, read=read)
        ladder = _ladder(raw, known, findings) if raw is not None else None
        if ladder is not None:
            goal = exercises.get(ladder.goal)
            if not ladder.works and goal is not None:
                ladder = ladder.model_copy(update={"works": goal.works})
            ladders[id] = ladder
            findings.extend(findings_of(ladder_standards(ladder), ladder.source, ladder=id))
    return ladders


def _ladder(raw: RawFile, known: Known, findings: list[Finding]) -> Ladder | None:
    given = {"id": raw.id, "text": raw.body, "source": raw.places}
    ladder, part, problems = validate(Ladder, raw.values, given)
    references = []
    if part is not None:
        problems.extend(ladder_names(part))
        problems.extend(ladder_contradictions(part, raw.values))
        references = list(ladder_references(part, known))
    findings.extend(findings_of([*problems, *references], raw.places, ladder=raw.id))
    return ladder if raw.sound and not problems else None
