"""Every figure of the demo, and of random postures in every position, is one that can be."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import numpy as np
import pytest

from builders.drawings import numbers, tree, with_class
from builders.drawn_bodies import off_surface, through
from builders.random_postures import random_postures
from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.drawing.scene import Scene, scenes_of
from rungbook.drawing.svg import standalone
from rungbook.load.compute import BESIDE_THE_POSTURE
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

Drawn = list[tuple[Exercise, ExerciseLoad]]
PHONE_PX, LEAST_PX = 358, 11  # a page's column on a phone 390 px wide, and the smallest letters
ASSISTED = {"therapist": "fig-helper", "sling": "fig-strap", "strap": "fig-strap",
            "pulley": "fig-wheel", "stick": "fig-stick"}  # fmt: skip


@pytest.fixture(scope="module")
def random_exercises() -> Drawn:
    drawn: Drawn = random_postures(200, seed=7)
    return drawn


@pytest.fixture(scope="module")
def drawings(demo_exercises: Drawn) -> dict[str, str]:
    figures = exercise_figures([Wanted(*one) for one in demo_exercises])
    return {one.id: figure for (one, _), figure in zip(demo_exercises, figures, strict=True)}


def scenes(exercise: Exercise, load: ExerciseLoad) -> Iterable[Scene]:
    return {id(scene): scene for scene, _ in scenes_of(exercise, load)}.values()


def found(exercises: Drawn, look: Callable[[Scene], Iterator[str]]) -> dict[str, list[str]]:
    everything = {
        f"{exercise.id} ({exercise.position})": [
            fault for scene in scenes(exercise, load) for fault in look(scene)
        ]
        for exercise, load in exercises
    }
    return {name: faults for name, faults in everything.items() if faults}


def test_hands_feet_knees_and_seats_lie_on_what_carries_them(
    demo_exercises: Drawn, random_exercises: Drawn
) -> None:
    """At most 1 cm off and 10 degrees turned."""
    assert found(demo_exercises, off_surface) == {}
    assert found(random_exercises, off_surface) == {}


def test_no_part_is_in_the_floor_a_wall_or_furniture(
    demo_exercises: Drawn, random_exercises: Drawn
) -> None:
    """At most 1 cm, as a cushion gives way."""
    assert found(demo_exercises, through) == {}
    assert found(random_exercises, through) == {}


def test_every_position_is_among_the_random_ones(random_exercises: Drawn) -> None:
    assert len({exercise.position for exercise, _ in random_exercises}) == 18


def test_all_that_is_written_is_drawn(demo_exercises: Drawn, drawings: dict[str, str]) -> None:
    """Surfaces stand in the room; weights, bands, straps and helpers are in the drawing."""
    missing = []
    for exercise, load in demo_exercises:
        stands = {one.kind for scene in scenes(exercise, load) for one in scene.furniture}
        surfaces = {c.surface for c in exercise.contacts if c.surface and not c.on_a_limb}
        missing += [f"{exercise.id}: {kind}" for kind in surfaces - stands - {"floor"}]
        wanted = set()
        for item in exercise.resistance:
            wanted |= {"fig-load"} if item.weight is not None else set()
            wanted |= {"fig-band"} if item.band is not None else set()
            wanted |= {"fig-strap"} if item.effort is not None else set()
        for help in exercise.assist:
            wanted |= {css for word, css in ASSISTED.items() if word in (help.by or "").split("-")}
        drawing = tree(drawings[exercise.id])
        missing += [f"{exercise.id}: {css}" for css in wanted if not with_class(drawing, css)]
    assert missing == []


def test_every_figure_has_words_that_say_the_same(
    demo_exercises: Drawn, drawings: dict[str, str]
) -> None:
    for exercise, load in demo_exercises:
        assert load.skeleton is not None
        title, told, *_ = (element.text or "" for element in tree(drawings[exercise.id]))
        assert title.startswith(exercise.title)
        wanted = {surface.kind.replace("-", " ") for surface in load.skeleton.surfaces}
        wanted |= {str(action).replace("-", " ") for action in exercise.works}
        wanted |= {one.by.replace("-", " ") for one in exercise.assist if one.by}
        wanted |= {exercise.position.replace("-", " ")}
        wanted |= {t.text or "" for t in with_class(tree(drawings[exercise.id]), "fig-label")}
        unsaid = {said for said in wanted if said.removeprefix("2 × ") not in told}
        assert not unsaid, exercise.id


def test_figures_of_exercises_that_are_done_otherwise_differ(
    demo_exercises: Drawn, drawings: dict[str, str]
) -> None:
    """One picture for two exercises would teach the wrong one; a dose alone has no picture."""
    alike: dict[str, list[Exercise]] = defaultdict(list)
    for exercise, _ in demo_exercises:
        body = re.sub(r"<(title|desc).*?</\1>|(id|aria-\w+)=\"[^\"]*\"", "", drawings[exercise.id])
        alike[body].append(exercise)
    for same in alike.values():
        done = {
            repr(
                [(name, value) for name, value in one if name not in {*BESIDE_THE_POSTURE, *_SAID}]
            )
            for one in same
        }
        assert len(done) == 1, [one.id for one in same]


def test_nine_figures_of_ten_stand_at_the_scale_of_their_position(
    demo_exercises: Drawn, drawings: dict[str, str]
) -> None:
    """The head's hair is as large: what is too wide for a phone is a little smaller."""
    sizes: dict[bool, list[float]] = {True: [], False: []}
    for exercise, _ in demo_exercises:
        hair = with_class(tree(drawings[exercise.id]), "fig-hair")[-1].get("d", "").split("M")[1]
        points = numbers(hair).reshape(-1, 2)
        sizes[exercise.position == "plank"].append(float(np.ptp(points, axis=0).max()))
    for same in sizes.values():
        usual = np.median(same)
        assert np.mean(np.abs(np.array(same) / usual - 1) < 0.2) > 0.9
        assert min(same) > 0.6 * usual


# What is said of an exercise, not done in it.
_SAID = {"text", "in_languages", "area", "purpose", "cautions", "sources", "restrictions", "back_off", "accepts",
         "source", "formerly", "variation_of", "words_checked", "borrowed", "altered", "equipment",
         "kind_of_work", "pictures", "follows", "replaced_by"}  # fmt: skip


@pytest.fixture(scope="module")
def on_a_phone(browser: Any, drawings: dict[str, str]) -> dict[str, list[dict[str, Any]]]:
    """The words of every figure as a phone draws them, by exercise."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    body = "".join(
        f"<div id={key!r} style='width:{PHONE_PX}px'>{drawing}</div>"
        for key, drawing in drawings.items()
    )
    style = re.search("<style>.*</style>", standalone("<svg></svg>"), re.DOTALL)
    assert style
    page.set_content(f"{style[0]}<style>svg{{width:100%}}</style>{body}")
    told: dict[str, list[dict[str, Any]]] = page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('div')].map(div => {
          const svg = div.querySelector('svg'), edge = svg.getBoundingClientRect();
          const scale = edge.width / svg.viewBox.baseVal.width;
          return [div.id, [...svg.querySelectorAll('text')].map(text => {
            const { left, right, top, bottom } = text.getBoundingClientRect();
            return { words: text.textContent, left, right, top, bottom,
              size: parseFloat(getComputedStyle(text).fontSize) * scale,
              inside: left >= edge.left - 1 && right <= edge.right + 1 && top >= edge.top - 1
                && bottom <= edge.bottom + 1 };
          })];
        }))"""
    )
    page.close()
    return told


def test_no_letters_are_small_or_cut_off_on_a_phone(
    on_a_phone: dict[str, list[dict[str, Any]]],
) -> None:
    every = [(key, text) for key, texts in on_a_phone.items() for text in texts]
    assert len(every) > 200
    assert [(key, text["words"]) for key, text in every if text["size"] < LEAST_PX] == []
    assert [(key, text["words"]) for key, text in every if not text["inside"]] == []


def test_no_two_words_lie_on_each_other(on_a_phone: dict[str, list[dict[str, Any]]]) -> None:
    over = [
        (key, one["words"], other["words"])
        for key, texts in on_a_phone.items()
        for n, one in enumerate(texts)
        for other in texts[n + 1 :]
        if min(one["right"], other["right"]) - max(one["left"], other["left"]) > 1
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 2
    ]
    assert over == []
