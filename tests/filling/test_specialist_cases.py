"""What a specialist would put between two exercises: ten answers, written before the first run.

Common practice, no source: each case is one exercise given too early and the one that is tolerated,
and what is given in between by hand in a treatment room: the same exercise, one thing turned up by
degrees. The helpers, seats and weights are those of the demo library.
"""

from __future__ import annotations

import dataclasses
import pathlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
import yaml

from builders.exercises import exercise
from rungbook.filling.result import Filling
from rungbook.filling.search import fill
from rungbook.ladder.measure import measure
from rungbook.load.compute import compute_loads
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"
Between = tuple[float, float]


@dataclass(frozen=True)
class Case:
    """Two exercises, and what is turned by degrees between them: from what to what, rung by rung.

    `only` are the fields that may differ from the harder exercise.
    """

    name: str
    exercise: str  # what both have in common, as in a file
    easier: str
    harder: str
    turned: Callable[[Exercise], Any]
    rungs: tuple[Between, ...]
    only: tuple[str, ...]

    def ends(self) -> tuple[Exercise, Exercise]:
        both = {"dose": {"sets": 3, "reps": 10, "up": "2 s", "down": "3 s",
                         "sessions": "3 per week"}, **yaml.safe_load(self.exercise)}  # fmt: skip
        made = []
        for id, own in (("easier", self.easier), ("harder", self.harder)):
            made.append(exercise(**{"id": id, **both, **yaml.safe_load(own)}))
        return made[0], made[1]


def help_of(by: str) -> Callable[[Exercise], float | None]:
    return lambda one: next((item.share for item in one.assist if item.by == by), None)


def height_under(*points: str) -> Callable[[Exercise], float | None]:
    return lambda one: next((item.height for item in one.contacts if item.at in points), None)


def carried_by(*points: str) -> Callable[[Exercise], float | None]:
    return lambda one: next((item.share for item in one.contacts if item.at in points), None)


def weight(one: Exercise) -> float | None:
    return one.resistance[0].weight if one.resistance else None


def hold(one: Exercise) -> float | None:
    return one.dose.hold if one.dose else None


QUARTERS = ((0.75, 0.75), (0.5, 0.5), (0.25, 0.25))

CASES = (
    Case(
        "an arm raise carried by a pulley is given back by quarters",
        """
        {sides: one, position: standing, works: shoulder flexion,
         posture: {elbow: {flexion: 0}}, movement: [{shoulder: {flexion: [0, 140]}}]}
        """,
        """
        {title: Arm raise standing and carried by a pulley, equipment: [pulley],
         assist: [{at: wrist, by: pulley, share: 100 %}]}
        """,
        "{title: Arm raise standing}",
        help_of("pulley"), QUARTERS, ("assist", "equipment"),
    ),
    Case(
        "a straight leg raise helped by a strap is given back by what can be felt",
        """
        {sides: one, position: supine, works: hip flexion,
         posture: {knee: {flexion: 0}}, movement: [{hip: {flexion: [0, 45]}}]}
        """,
        """
        {title: Straight leg raise with most of it carried by a strap, equipment: [strap],
         assist: [{at: ankle, by: strap, share: 75 %}]}
        """,
        "{title: Straight leg raise}",
        help_of("strap"), QUARTERS[1:], ("assist", "equipment"),
    ),
    Case(
        "an arm lift lying on the side in a sling is given back by quarters",
        """
        {sides: one, position: side-lying, works: shoulder abduction,
         posture: {elbow: {flexion: 0}}, movement: [{shoulder: {abduction: [0, 80]}}]}
        """,
        """
        {title: Arm lift lying on the side in a sling, equipment: [sling],
         assist: [{at: wrist, by: sling, share: 100 %}]}
        """,
        "{title: Arm lift lying on the side}",
        help_of("sling"), QUARTERS, ("assist", "equipment"),
    ),
    Case(
        "from both legs to one in the heel raise: one leg, leaning on the hands",
        """
        {works: ankle plantarflexion, posture: {knee: {flexion: 0}},
         movement: [{ankle: {plantarflexion: [0, 30]}}]}
        """,
        """
        {title: "Heel raise, both legs", sides: both, position: standing,
         contacts: [{at: forefeet, surface: floor}]}
        """,
        """
        {title: "Heel raise, one leg", sides: one, position: single-leg-standing,
         contacts: [{at: forefoot, surface: floor}]}
        """,
        carried_by("hand", "hands"), ((0.15, 0.35),), ("contacts", "equipment"),
    ),
    Case(
        "a squat to a seat comes down with the seat",
        """
        {sides: both, position: standing, works: knee extension, equipment: [plinth]}
        """,
        """
        {title: Squat to a high seat,
         movement: [{knee: {flexion: [72, 0]}, hip: {flexion: [72, 0]}}],
         contacts: [{at: feet, surface: floor},
                    {at: seat, surface: plinth, height: 0.55 m, during: start}]}
        """,
        """
        {title: Squat to a low seat,
         movement: [{knee: {flexion: [95, 0]}, hip: {flexion: [95, 0]}}],
         contacts: [{at: feet, surface: floor},
                    {at: seat, surface: plinth, height: 0.43 m, during: start}]}
        """,
        height_under("seat"), ((0.48, 0.62),), ("contacts", "movement"),
    ),
    Case(
        "a press-up goes down with the hands",
        """
        {sides: both, position: plank, works: elbow extension, posture: {knee: {flexion: 0}},
         movement: [{elbow: {flexion: [0, 60]}, shoulder: {flexion: [75, 50]}}]}
        """,
        """
        {title: Press-up at a counter, equipment: [counter],
         contacts: [{at: forefeet, surface: floor}, {at: hands, surface: counter, height: 0.9 m}]}
        """,
        """
        {title: Press-up on the floor,
         contacts: [{at: forefeet, surface: floor}, {at: hands, surface: floor}]}
        """,
        height_under("hands"), ((0.3, 0.6),), ("contacts", "equipment"),
    ),
    Case(
        "from both legs to one in the bridge: the other foot still helps",
        """
        {works: hip extension, position: hook-lying, equipment: [mat],
         movement: [{hip: {extension: [-55, -5]}, knee: {flexion: [125, 115]}}]}
        """,
        """
        {title: "Bridge, both legs", sides: both,
         contacts: [{at: upper-back, surface: mat}, {at: heels, surface: mat}]}
        """,
        """
        {title: "Bridge, one leg", sides: one,
         posture: {other-hip: {flexion: 70}, other-knee: {flexion: 90}},
         contacts: [{at: upper-back, surface: mat}, {at: heel, surface: mat}]}
        """,
        carried_by("other-heel"), ((0.05, 0.2),), ("contacts", "posture"),
    ),
    Case(
        "a trunk hold grows by seconds",
        """
        {sides: both, position: plank, works: lumbar flexion,
         contacts: [{at: forefeet, surface: floor}, {at: forearms, surface: floor}]}
        """,
        "{title: 'Trunk hold, 10 s', dose: {sets: 3, hold: 10 s, sessions: 3 per week}}",
        "{title: 'Trunk hold, 60 s', dose: {sets: 3, hold: 60 s, sessions: 3 per week}}",
        hold, ((12, 15), (20, 25), (25, 35), (35, 50)), ("dose",),
    ),
    Case(
        "a knee straightened in sitting gets heavier by what the cuff can be packed with",
        """
        {sides: one, position: sitting, works: knee extension,
         movement: [{knee: {flexion: [90, 0]}}], equipment: [plinth],
         contacts: [{at: seat, surface: plinth, height: 0.50 m},
                    {at: knee, surface: plinth, height: 0.50 m},
                    {at: other-foot, surface: floor}]}
        """,
        "{title: Knee straightening}",
        """
        {title: Knee straightening with 5 kg, equipment: [plinth, cuff-weight],
         resistance: [{weight: 5 kg, at: ankle}]}
        """,
        weight, ((1.0, 2.0), (2.5, 3.5)), ("resistance",),
    ),
    Case(
        "a step-up grows by the height of the step",
        """
        {sides: one, position: single-leg-standing, works: knee extension,
         equipment: [step, handrail]}
        """,
        """
        {title: "Step-up, 10 cm", movement: [{knee: {flexion: [0, 48]}, hip: {flexion: [0, 40]}}],
         contacts: [{at: foot, surface: step, height: 0.10 m},
                    {at: hand, surface: handrail, touch: true},
                    {at: other-foot, surface: floor, during: end}]}
        """,
        """
        {title: "Step-up, 30 cm", movement: [{knee: {flexion: [0, 95]}, hip: {flexion: [0, 80]}}],
         contacts: [{at: foot, surface: step, height: 0.30 m},
                    {at: hand, surface: handrail, touch: true},
                    {at: other-foot, surface: floor, during: end}]}
        """,
        height_under("foot"), ((0.15, 0.25),), ("contacts", "movement"),
    ),
)  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> Library:
    return read_library(DEMO)


def filled(case: Case, demo: Library) -> Filling:
    ends = {one.id: one for one in case.ends()}
    library = dataclasses.replace(demo, exercises=ends, ladders={}, findings=())
    return fill(measure(library, compute_loads(ends.values(), library)), "easier", "harder")


def what_is_amiss(case: Case, found: Filling) -> list[str]:
    """How the answer differs from the one written; nothing where it is as written."""
    harder = case.ends()[1]
    drafts = [one.candidate.exercise for one in found.proposals]
    told = [(one.title, case.turned(one)) for one in drafts]
    amiss = []
    if found.blocked_by is not None:
        amiss.append(found.blocked_by.message)
    if len(drafts) != len(case.rungs):
        amiss.append(f"{len(case.rungs)} rungs are usual, not {told}")
    for (least, most), draft in zip(case.rungs, drafts, strict=False):
        value = case.turned(draft)
        if value is None or not least - 1e-9 <= value <= most + 1e-9:
            amiss.append(f"{least:g} to {most:g} is usual, not {told}")
        others = set(Exercise.model_fields) - {
            "id", "title", "variation_of", "draft", "source", "text", "back_off", "cautions",
            *case.only,
        }  # fmt: skip
        changed = [
            field for field in sorted(others) if getattr(draft, field) != getattr(harder, field)
        ]
        if changed:
            amiss.append(f"{draft.title} changes {', '.join(changed)} too")
    return amiss


def test_at_least_nine_of_ten_come_out_as_written(demo: Library) -> None:
    amiss = {case.name: what_is_amiss(case, filled(case, demo)) for case in CASES}
    wrong = {name: reasons for name, reasons in amiss.items() if reasons}
    assert len(CASES) == 10
    assert len(wrong) <= 1, "\n".join(f"{name}: {reasons}" for name, reasons in wrong.items())
