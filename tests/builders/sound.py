"""A small library in which no check finds anything: a ladder that branches twice."""

from __future__ import annotations

from rungbook.reading.front_matter import Parts, sections, split
from rungbook.reading.seals import seal
from rungbook.reading.yaml_values import read_yaml

# id: (far end of the movement in degrees, weight in kg, harder exercises)
RUNGS: dict[str, tuple[int, float, tuple[str, ...]]] = {
    "arm-low": (60, 0, ("arm-low-weight", "arm-middle")),
    "arm-low-weight": (60, 0.25, ("arm-middle-weight", "arm-high")),
    "arm-middle": (75, 0, ("arm-middle-weight", "arm-high")),
    "arm-middle-weight": (75, 0.25, ("arm-high-weight",)),
    "arm-high": (90, 0, ("arm-high-weight",)),
    "arm-high-weight": (90, 0.35, ()),
}
EDGES = [(id, to) for id, (_, _, tos) in RUNGS.items() for to in tos]
GOAL = "arm-high-weight"


def sound_files() -> dict[str, str]:
    """The files of the library: path -> text."""
    return {
        "library.yml": (
            "name: Sound\n"
            "pain-rule: {during: 5, settles-within: next morning, source: practice}\n"
            "review: {every: 24 months}\n"
        ),
        "vocabulary/areas.yml": "arm: {title: Arm}\n",
        "vocabulary/cautions.yml": "sore-arm: {title: Sore arm}\n",
        "vocabulary/equipment.yml": "dumbbell: {title: Dumbbell}\n",
        "vocabulary/restrictions.yml": (
            "arm-90: {title: Arm no higher than the shoulder, "
            "never: [{shoulder: {flexion: over 90}}]}\n"
        ),
        "vocabulary/sources.yml": "practice: {title: Common practice, kind: common-practice}\n",
        **{f"exercises/arm/{id}.md": _exercise(id) for id in RUNGS},
        "ladders/arm.md": (
            "---\n"
            "title: Raising the arm\n"
            "works: shoulder flexion\n"
            "condition: joint\n"
            f"goal: {GOAL}\n"
            "goal-met: [3 sets of 12]\n"
            "entries: {high: arm-low}\n"
            "restrictions: [arm-90]\n"
            "pain-rule: default\n"
            "---\n"
            "For those whose shoulder is stiff.\n"
        ),
    }


def sealed(text: str) -> str:
    """An exercise's file with the seal of what it says in its review."""
    parts = split(text, "")
    assert isinstance(parts, Parts)
    sum_of_it = seal(read_yaml(parts.yaml)[0], sections(parts.body, 1)[0], {})
    return text.replace("physiotherapist}", f"physiotherapist, seal: '{sum_of_it}'}}")


def _exercise(id: str) -> str:
    end, weight, tos = RUNGS[id]
    loaded = f"resistance: [{{weight: {weight} kg, at: hand}}]\nequipment: [dumbbell]\n"
    progressions = "".join(f"  - to: {to}\n    when: [3 sets of 12]\n" for to in tos)
    return sealed(
        "---\n"
        f"title: Raise the arm ({id})\n"
        "sides: one\n"
        "position: standing\n"
        "works: shoulder flexion\n"
        f"movement: [{{shoulder: {{flexion: [0, {end}]}}}}]\n"
        f"{loaded if weight else ''}"
        "dose: {sets: 3, reps: 10, up: 3 s, pause: 1 s, down: 3 s, rest: 60 s,"
        " sessions: 3 per week}\n"
        "cautions: [sore-arm]\n"
        "sources: [practice]\n"
        "reviewed: {date: 2026-05-01, by: Senior physiotherapist}\n"
        "back-off: [pain above 5 of 10]\n"
        f"{'progressions:' if tos else ''}\n{progressions}"
        "---\n"
        "## Set up\nStand tall, the arm by your side.\n"
        "## Do\nRaise the straight arm in front of you over 3 s, hold 1 s, lower it over 3 s.\n"
        "## For the patient\n"
        "Stand tall with your arm by your side. Lift your arm in front of you. Keep your elbow\n"
        "straight. Hold it there for {{pause}}. Then lower it slowly. Stop if it hurts more than\n"
        "five of ten.\n"
    )
