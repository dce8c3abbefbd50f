"""A figure in words: position, what moves from what to what angle, what carries, what loads."""

from __future__ import annotations

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
        ) | dict.fromkeys(
            f"{share_words(one.share)} ({_plain(one.at)})"
            for one in exercise.contacts
            if one.share is not None
        )
        if rests:
            sentences.append(say("Rests on: {rests}.").format(rests=", ".join(rests)))
    for phrase, items in (
        ("Carried: {items}.", _helps(exercise)),
        ("Loaded: {items}.", _loads(exercise, load)),
    ):
        if items:
            sentences.append(say(phrase).format(items=", ".join(items)))
    return " ".join(sentences)


def _joint_words(joint: str, movement: str, say: Say) -> str:
    name, other = split_side(joint)
    words = f"{_plain(name)} {_plain(movement)}"
    return say("{movement} of the other side").format(movement=words) if other else words


def _plain(key: str) -> str:
    return key.replace("-", " ")


def _helps(exercise: Exercise) -> list[str]:
    return [
        " ".join(
            part
            for part in (
                share_words(item.share) if item.share is not None else "",
                f"{item.weight:g} kg" if item.weight is not None else "",
                f"({_plain(item.at)}{', ' + _plain(item.by) if item.by else ''})",
            )
            if part
        )
        for item in exercise.assist
    ]


def _loads(exercise: Exercise, load: ExerciseLoad) -> list[str]:
    skeleton = load.skeleton
    known = [] if skeleton is None else [i for i in skeleton.applied if i.kind != "assistance"]
    efforts = [item for item in exercise.resistance if item.effort is not None and item.at]
    if "box" in exercise.equipment and len(known) == 2:
        mass = sum(abs(float(item.force_n[0][2])) for item in known) / 9.81
        return [f"{mass:.3g} kg (box)"]
    return [
        *(f"{item.label} ({_plain(item.at)})" for item in known),
        *(f"{share_words(item.effort or 0.0)} ({_plain(item.at or '')})" for item in efforts),
    ]


def share_words(share: float) -> str:
    """`50 %`, the sign after a thin space that does not break."""
    return f"{100 * share:.0f}\N{NARROW NO-BREAK SPACE}%"
