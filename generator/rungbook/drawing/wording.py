"""A figure in words: position, what moves from what to what angle, what carries, what loads."""

from __future__ import annotations

from rungbook.drawing.applied import applied_things
from rungbook.drawing.svg import Say, as_written, degrees
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.latest import latest
from rungbook.model.movement import split_side

SIDES = {"right": "right side", "left": "left side", "both": "both sides, one after the other"}


def figure_title(exercise: Exercise, side: str, say: Say = as_written) -> str:
    """The title, with the side where the exercise works one side."""
    if exercise.sides == "both":
        return exercise.title
    return f"{exercise.title}, {say(SIDES[side])}"


@latest
def figure_description(exercise: Exercise, load: ExerciseLoad, say: Say = as_written) -> str:
    """A few short sentences that stand in for the drawing."""
    sentences = [say("Position: {position}.").format(position=_plain(exercise.position))]
    moves = [
        say("{movement} from {start} to {end}").format(
            movement=_joint_words(joint, movement, say), start=degrees(start), end=degrees(end)
        )
        for item in exercise.movement
        for joint, angles in item.items()
        for movement, (start, end) in angles.items()
    ]
    sentences.append(
        say("Movement: {moves}.").format(moves=", ".join(moves))
        if moves
        else say("The posture is held still.")
    )
    if exercise.works:
        works = ", ".join(_plain(str(action)) for action in exercise.works)
        sentences.append(say("Works: {works}.").format(works=works))
    if load.skeleton is not None:
        rests = dict.fromkeys(
            f"{_plain(surface.at)} ({_plain(surface.kind)})" for surface in load.skeleton.surfaces
        )
        if rests:
            sentences.append(say("Rests on: {rests}.").format(rests=", ".join(rests)))
        for kind, phrase in (("assistance", "Carried: {items}."), ("", "Loaded: {items}.")):
            items = [
                f"{item.label} ({_plain(item.at)})"
                for item in applied_things(exercise, load.skeleton)
                if (item.kind == "assistance") == (kind == "assistance")
            ]
            if items:
                sentences.append(say(phrase).format(items=", ".join(items)))
    return " ".join(sentences)


def _joint_words(joint: str, movement: str, say: Say) -> str:
    name, other = split_side(joint)
    words = f"{_plain(name)} {_plain(movement)}"
    return say("{movement} of the other side").format(movement=words) if other else words


def _plain(key: str) -> str:
    return key.replace("-", " ")
