"""A written angle beyond the usual range of a healthy joint.

Most often a slip of the pen or the wrong name of a movement; where it is meant, few patients can
follow. Judged on written angles only, by the ranges of clinical goniometry (American Academy of
Orthopaedic Surgeons); hip flexion with a straight knee stops at 90°, where the hamstrings do.

Mend it by correcting the angle or the movement's name, or accept it with the reason.

Fails:

    [exercises/leg/raise.md]
    title: Leg raise
    sides: one
    position: supine
    works: hip flexion
    posture: {knee: {flexion: 0}}
    movement: [{hip: {flexion: [0, 110]}}]

Passes:

    [exercises/leg/raise.md]
    title: Leg raise
    sides: one
    position: supine
    works: hip flexion
    posture: {knee: {flexion: 0}}
    movement: [{hip: {flexion: [0, 70]}}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.body.ranges import knee_straight_limit, usual_range
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level
from rungbook.model.movement import MOVEMENTS, split_side
from rungbook.model.place import Path

name = "beyond-usual-range"
level: Level = "warning"
Written = tuple[str, str, float, Path]  # joint, movement, degrees, place


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each written angle past its range, and for each hip past a straight knee."""
    for id, exercise in measured.library.exercises.items():
        for joint, movement, degrees, path in _written(exercise):
            turned, toward = _toward(joint, movement, degrees)
            limit = usual_range(split_side(joint)[0], toward)
            if limit is not None and turned > limit:
                yield _finding(exercise, id, f"{joint} {toward}", turned, limit, path)
        yield from _straight_knees(exercise, id)


def _written(exercise: Exercise) -> Iterator[Written]:
    for joint, movements in exercise.posture.items():
        for movement, degrees in movements.items():
            yield joint, movement, degrees, ("posture", joint, movement)
    for number, item in enumerate(exercise.movement):
        for joint, pairs in item.items():
            for movement, pair in pairs.items():
                farthest = max(pair, key=abs)
                yield joint, movement, farthest, ("movement", number, joint, movement)
                if min(pair) < 0 < max(pair):
                    nearest = min(pair, key=abs)
                    yield joint, movement, nearest, ("movement", number, joint, movement)


def _toward(joint: str, movement: str, degrees: float) -> tuple[float, str]:
    """A negative angle is the opposite movement, where that has a name."""
    known = MOVEMENTS.get(split_side(joint)[0], {})
    if degrees >= 0 or movement not in known:
        return degrees, movement
    axis, sign = known[movement]
    opposite = [
        name for name, (other, turned) in known.items() if other == axis and turned == -sign
    ]
    return -degrees, opposite[0] if opposite else movement


def _straight_knees(exercise: Exercise, id: str) -> Iterator[Finding]:
    for prefix in ("", "other-"):
        hip, knee = f"{prefix}hip", f"{prefix}knee"
        hips, knees = _both_ends(exercise, hip, "flexion"), _both_ends(exercise, knee, "flexion")
        if hips is None or knees is None:
            continue
        limit, straight = knee_straight_limit()
        for end in (0, 1):
            if hips[0][end] > limit and knees[0][end] < straight:
                what = f"{hip} flexion with the knee straight"
                yield _finding(exercise, id, what, hips[0][end], limit, hips[1])
                break


def _both_ends(
    exercise: Exercise, joint: str, movement: str
) -> tuple[tuple[float, float], Path] | None:
    for number, item in enumerate(exercise.movement):
        if movement in item.get(joint, {}):
            return item[joint][movement], ("movement", number, joint, movement)
    if movement in exercise.posture.get(joint, {}):
        degrees = exercise.posture[joint][movement]
        return (degrees, degrees), ("posture", joint, movement)
    return None


def _finding(
    exercise: Exercise, id: str, what: str, degrees: float, limit: float, path: Path
) -> Finding:
    return Finding(
        name,
        level,
        f"{exercise.title}: {what} of {degrees:g}° is beyond the usual {limit:g}°. "
        "Correct the angle or the movement, or accept it with the reason.",
        exercise.place(*path),
        exercises=(id,),
        details={"degrees": degrees, "usual": limit},
    )
