"""The files of a filling: drafts that say they were computed, and draft progressions to them.

A draft carries the cautions of both ends. Criteria are never taken over from another exercise: they
are left to be written, and a progression stays a draft until they are.
"""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from rungbook.filling.front import Front, with_progression
from rungbook.filling.result import Filling, Proposal
from rungbook.filling.written import changed_fields, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.place import inside
from rungbook.model.variation import COMPUTED
from rungbook.model.written import written

BECAUSE = "computed; criteria to be written"


@dataclass(frozen=True, slots=True)
class Files:
    """New contents by path in the library: files that are added, and files that are edited."""

    added: Mapping[str, bytes]
    changed: Mapping[str, bytes]


def files_of(measured: MeasuredLibrary, filling: Filling, read: Callable[[str], bytes]) -> Files:
    """What a filling adds to its library and changes in it; `read` gives a file's bytes.

    Raises:
        rungbook.filling.front.CannotEdit: a file cannot be edited as text.
    """
    exercises = measured.library.exercises
    following = dict(pairwise(filling.rungs))
    ends = [exercises[id] for id in (filling.from_id, filling.to_id)]
    added = dict(
        draft_file(one, ends, following[one.candidate.exercise.id]) for one in filling.proposals
    )
    changed: dict[str, bytes] = {}
    for easier, harder in pairwise(filling.rungs):
        known = exercises.get(easier)
        if known is not None and all(one.to != harder for one in known.progressions):
            path = known.place().file
            front = Front.of(changed.get(path) or read(path), path)
            changed[path] = with_progression(front, progression_to(harder)).content()
    return Files(added, changed)


def draft_file(proposal: Proposal, ends: list[Exercise], to: str) -> tuple[str, bytes]:
    """Path and content of one proposal, with a draft progression to the next rung."""
    candidate = proposal.candidate
    base = candidate.base
    exercise = candidate.exercise.model_copy(update={"cautions": cautions_of(base, *ends)})
    keys: dict[str, Any] = {
        "title": exercise.title,
        "variation-of": base.id,
        "draft": COMPUTED,
        **changed_fields(exercise, base),
        "progressions": [progression_to(to)],
    }
    if not base.back_off:
        from_end = next((one for one in ends if one.back_off), None)
        keys |= {"back-off": written(from_end)["back-off"]} if from_end else {}
    front = "".join(line(key, value) for key, value in keys.items())
    return f"{folder_of(base)}/{exercise.id}.md", f"---\n{front}---\n{_body(proposal)}".encode()


def _body(proposal: Proposal) -> str:
    candidate = proposal.candidate
    changes = "\n".join(f"- {setting.words}" for setting in candidate.settings)
    turned = ""
    if proposal.opposite is not None:
        muscles, moment = proposal.opposite
        turned = (
            f"Gravity also pulls the other way here: the {muscles} work with up to "
            f"{moment:.1f} N·m.\n\n"
        )
    return (
        "## What changes\n"
        f"Computed, not reviewed. As “{candidate.base.title}”, but:\n\n{changes}\n\n{turned}"
        "Try it, write set-up, patient words and what to see before going on (`when`), then add "
        "`reviewed` and take out `draft`, here and at the progressions.\n"
    )


def folder_of(exercise: Exercise) -> str:
    """The folder of an exercise's file."""
    file = inside(exercise.place().file)
    if file.endswith(".md"):
        return str(pathlib.PurePosixPath(file).parent)
    return f"exercises/{exercise.area}" if exercise.area else "exercises"


def cautions_of(base: Exercise, *ends: Exercise) -> tuple[str, ...]:
    """The cautions of both ends: those of the varied exercise first."""
    return tuple(dict.fromkeys(key for one in (base, *ends) for key in one.cautions))


def progression_to(to: str) -> Mapping[str, Any]:
    """A draft progression as a file has it."""
    return {"to": to, "draft": True, "because": BECAUSE}
