"""The files of a filling's drafts: valid exercises that say they were computed and not reviewed."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.filling.result import Filling, Proposal
from rungbook.filling.written import after_in_words, changed_fields, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise, Progression

DRAFT = "computed, not reviewed"
TO_REVIEW = "computed rung; the criteria are those of the progression it replaces, to be reviewed"
# Common practice, no source: what stands where the replaced progression has no criteria.
USUAL_CRITERIA = ("all sets and repetitions of this rung on two sessions in a row",)


@dataclass(frozen=True, slots=True)
class DraftFile:
    """One file to write: its path in the library, and its text."""

    id: str
    path: str
    text: str


def drafts_of(measured: MeasuredLibrary, filling: Filling) -> tuple[DraftFile, ...]:
    """The files of all proposals of a filling, in order."""
    following = dict(zip(filling.rungs, filling.rungs[1:], strict=False))
    edge = replaced_edge(measured, filling)
    return tuple(
        draft_file(measured, filling, proposal, following[proposal.candidate.exercise.id], edge)
        for proposal in filling.proposals
    )


def replaced_edge(measured: MeasuredLibrary, filling: Filling) -> Progression | None:
    """The direct progression between the two exercises, if there is one."""
    easier = measured.library.exercises[filling.from_id]
    return next((one for one in easier.progressions if one.to == filling.to_id), None)


def draft_file(
    measured: MeasuredLibrary,
    filling: Filling,
    proposal: Proposal,
    to: str,
    edge: Progression | None,
) -> DraftFile:
    """The file of one proposal, with a progression to the next rung."""
    candidate = proposal.candidate
    base = candidate.base
    ends = [measured.library.exercises[id] for id in (filling.from_id, filling.to_id)]
    exercise = candidate.exercise.model_copy(update={"cautions": cautions_of(base, *ends)})
    keys: dict[str, Any] = {
        "title": exercise.title,
        "variation-of": base.id,
        "draft": DRAFT,
        **changed_fields(exercise, base),
        "progressions": [progression_to(to, edge, TO_REVIEW)],
    }
    if not base.back_off:
        back_off = next((one.back_off for one in ends if one.back_off), ())
        keys |= {"back-off": list(back_off)} if back_off else {}
    front = "".join(line(key, value) for key, value in keys.items())
    changes = "\n".join(f"- {setting.words}" for setting in candidate.settings)
    body = (
        "## What changes\n"
        f"Computed, not reviewed. As “{base.title}”, but:\n\n{changes}\n\n"
        "Try it, correct set-up, criteria and patient words, then add `reviewed` and take out "
        "`draft`.\n"
    )
    path = f"{folder_of(base)}/{exercise.id}.md"
    return DraftFile(exercise.id, path, f"---\n{front}---\n{body}")


def folder_of(exercise: Exercise) -> str:
    """The folder of an exercise's file."""
    file = exercise.place().file
    if file.endswith(".md"):
        return str(pathlib.PurePosixPath(file).parent)
    return f"exercises/{exercise.area}" if exercise.area else "exercises"


def cautions_of(base: Exercise, *ends: Exercise) -> tuple[str, ...]:
    """The cautions of both neighbours: those of the varied exercise first."""
    return tuple(dict.fromkeys(key for one in (base, *ends) for key in one.cautions))


def progression_to(to: str, edge: Progression | None, because: str) -> Mapping[str, Any]:
    """A progression as written, with the criteria of the one it stands in for."""
    found: dict[str, Any] = {"to": to, "when": list((edge and edge.when) or USUAL_CRITERIA)}
    if edge is not None and edge.after is not None:
        found["after"] = after_in_words(edge.after)
    return {**found, "because": because}


def changes_of(proposal: Proposal) -> dict[str, Any]:
    """What a proposal restates, as its file has it."""
    return changed_fields(proposal.candidate.exercise, proposal.candidate.base)
