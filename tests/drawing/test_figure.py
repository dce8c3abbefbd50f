"""Figures show the computed posture, the side, what works, and carry their own words."""

from __future__ import annotations

import dataclasses
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from builders.drawings import faults, numbers, tree, with_class, words
from builders.skeletons import SAMPLES, floor, load, sample, skeleton
from rungbook.drawing.figure import exercise_figure
from rungbook.drawing.limbs import CIRCLES
from rungbook.drawing.paper import Paper
from rungbook.drawing.scene import make_scene
from rungbook.drawing.svg import standalone, texts
from rungbook.load.result import PHASES, Applied, Skeleton
from rungbook.model.exercise import Exercise

HOSTILE = '</title><script>alert(1)</script>" onload="x" & \x07 ]]>'


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("side", ["right", "left", "both"])
def test_a_figure_is_well_formed_and_has_classes_only(name: str, side: str) -> None:
    drawing = exercise_figure(*sample(name), side=side)  # type: ignore[arg-type]
    assert faults(drawing) == []
    assert "nan" not in drawing and "inf" not in drawing.replace("infinit", "")


def test_two_figures_of_one_page_share_no_id() -> None:
    exercise, result = sample("squat")
    one, two = (exercise_figure(exercise, result, prefix=p) for p in ("page", "sheet"))
    ids = [e.get("id") for d in (one, two) for e in tree(d).iter() if e.get("id")]
    assert len(ids) == len(set(ids))


def test_a_hostile_title_stays_words() -> None:
    exercise, result = sample("squat")
    drawing = exercise_figure(exercise.model_copy(update={"title": HOSTILE}), result)
    assert faults(drawing) == []
    title = tree(drawing)[0].text or ""
    assert title == HOSTILE.replace("\x07", "")


def test_a_hostile_label_and_surface_stay_words() -> None:
    exercise, result = sample("arm-raise")
    assert result.skeleton is not None
    evil = dataclasses.replace(result.skeleton.applied[0], label="<b>&", at="x'\"<i>")
    body = Skeleton(result.skeleton.points_m, (floor("hands", 0.9, "</svg><a>"),), (evil,))
    drawing = exercise_figure(exercise, dataclasses.replace(result, skeleton=body))
    assert faults(drawing) == []
    assert "<b>&" in words(tree(drawing))


@pytest.mark.parametrize("name", ["straight-leg-raise", "arm-raise", "side-lying-abduction"])
def test_the_end_posture_is_the_projected_skeleton(name: str) -> None:
    """The circle around the head lies where the view puts the skeleton's head at the end."""
    exercise, result = sample(name)
    assert result.skeleton is not None
    drawing = tree(exercise_figure(exercise, result, px_per_m=200))
    view = make_scene(exercise, result).view
    x, y = view.matrix @ result.skeleton.points_m["head"][-1] * 200
    end = [path for group in with_class(drawing, "fig-end") for path in group]
    trunk = next(p for p in end if "fig-trunk" in p.get("class", "") and "a" in p.get("d", ""))
    arc = trunk.get("d", "").split("a")
    start = numbers("M" + arc[0].rsplit("M", 1)[1])
    radius = numbers(arc[1])[0]
    assert (start[0] + radius, start[1]) == pytest.approx((x, y), abs=0.15)


def test_every_limb_of_the_end_posture_follows_the_skeleton() -> None:
    """The box around the drawn working leg is the box around its projected circles."""
    exercise, result = sample("straight-leg-raise")
    scene = make_scene(exercise, result)
    names = [f"working {c}" for c in ("groin", "knee", "calf", "ankle", "heel", "ball", "toe")]
    index = [CIRCLES.index(name) for name in names]
    centres = Paper(scene.view, 150).at(scene.circles[index, -1])
    radii = scene.radii[index, None] * 150
    drawing = tree(exercise_figure(exercise, result))
    leg = next(
        p
        for group in with_class(drawing, "fig-end")
        for p in group
        if p.get("class") == "fig-limb fig-near fig-working"
    )
    polygons = [part for part in leg.get("d", "").split("M") if part and "A" not in part]
    drawn = np.concatenate([numbers(part).reshape(-1, 2) for part in polygons])
    assert drawn.min(0) == pytest.approx((centres - radii)[1:].min(0), abs=1.5)
    assert drawn.max(0) == pytest.approx((centres + radii)[1:].max(0), abs=1.5)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_left_side_is_the_mirror_image(name: str) -> None:
    exercise, result = sample(name)
    right, left = (tree(exercise_figure(exercise, result, side)) for side in ("right", "left"))
    box_r, box_l = (numbers(d.get("viewBox", "")) for d in (right, left))
    assert box_r[1:] == pytest.approx(box_l[1:], abs=12)  # words are not mirrored
    for css in ("fig-start", "fig-end"):
        one, other = (_outlines(with_class(drawing, css)) for drawing in (right, left))
        axis = one[0][:, 0].max() + other[0][:, 0].min()  # twice the mirror's place
        for a, b in zip(one, other, strict=True):
            assert a[:, 0].max() + b[:, 0].min() == pytest.approx(axis, abs=2.5)
            assert a[:, 0].min() + b[:, 0].max() == pytest.approx(axis, abs=2.5)
            assert sorted(a[:, 1]) == pytest.approx(sorted(b[:, 1]), abs=2.5)


def _outlines(groups: list[ET.Element]) -> list[np.ndarray]:
    """The polygons (n, 2) among a posture's outlines: trunk, hands, feet, shanks."""
    paths = [path for group in groups for path in group]
    parts = [part for path in paths for part in path.get("d", "").split("M")[1:]]
    return [numbers(part).reshape(-1, 2) for part in parts if not set("Aa") & set(part)]


def test_the_working_limb_is_marked_and_thicker_not_only_coloured() -> None:
    exercise, result = sample("straight-leg-raise")
    scene = make_scene(exercise, result)
    assert scene.working == {"working thigh", "working shank", "working foot"}
    knee = scene.radii[CIRCLES.index("working knee")]
    other = scene.radii[CIRCLES.index("other knee")]
    assert knee > 1.15 * other
    drawing = tree(exercise_figure(exercise, result))
    assert (
        len(with_class(drawing, "fig-working")) == 2
    )  # its outline at the start, its ink at the end


def test_an_exercise_of_both_sides_marks_both_legs() -> None:
    scene = make_scene(*sample("squat"))
    assert {"working thigh", "other thigh"} <= scene.working


@pytest.mark.parametrize(
    ("name", "azimuth"),
    [("squat", -90), ("heel-raise", -90), ("knee-extension", -90), ("straight-leg-raise", -90)],
)
def test_sagittal_movements_are_seen_from_the_working_side(name: str, azimuth: float) -> None:
    view = make_scene(*sample(name)).view
    assert (view.azimuth_deg, view.elevation_deg) == (azimuth, 0)


@pytest.mark.parametrize("name", ["arm-raise", "side-lying-abduction"])
def test_abduction_is_seen_from_the_front(name: str) -> None:
    view = make_scene(*sample(name)).view
    assert (view.azimuth_deg, view.elevation_deg) == (0, 0)


def test_start_and_end_that_cover_each_other_get_two_panels() -> None:
    assert make_scene(*sample("squat")).plan == "panels"
    assert make_scene(*sample("heel-raise")).plan == "panels"
    assert make_scene(*sample("straight-leg-raise")).plan == "overlay"
    drawing = tree(exercise_figure(*sample("squat")))
    assert [t.text for t in with_class(drawing, "fig-caption")] == ["start", "end"]


def test_a_hold_is_one_posture_and_says_so() -> None:
    exercise = Exercise(id="hold", title="Hold", works="knee extension")
    result = load(exercise, skeleton({"knee flexion": 60, "hip flexion": 60}), angle=(60, 60))
    drawing = exercise_figure(exercise, result)
    assert with_class(tree(drawing), "fig-start") == []
    assert "held still" in drawing


def test_the_words_tell_position_movement_support_and_load() -> None:
    exercise, result = sample("knee-extension")
    desc = tree(exercise_figure(exercise, result))[1].text or ""
    for said in ("sitting", "from −90° to −10°", "seat (chair)", "2 kg (ankle)", "knee extension"):
        assert said in desc


def test_the_title_names_the_side_of_a_one_sided_exercise() -> None:
    exercise, result = sample("straight-leg-raise")
    titles = [tree(exercise_figure(exercise, result, s))[0].text for s in ("left", "right", "both")]  # type: ignore[arg-type]
    assert titles == [
        "Straight leg raise, left side",
        "Straight leg raise, right side",
        "Straight leg raise, both sides, one after the other",
    ]


def test_the_same_scale_makes_bodies_the_same_size() -> None:
    """Twice the pixels a metre draw a head twice as wide."""
    exercise, result = sample("arm-raise")
    radii = []
    for scale in (100, 200):
        drawing = tree(exercise_figure(exercise, result, px_per_m=scale))
        d = next(p.get("d", "") for p in with_class(drawing, "fig-trunk") if "a" in p.get("d", ""))
        radii.append(numbers(d.split("a")[1])[0])
    assert radii[1] == pytest.approx(2 * radii[0], abs=0.2)


def test_weights_bands_pushes_and_help_are_drawn_with_their_labels() -> None:
    exercise, result = sample("arm-raise")
    assert result.skeleton is not None
    at = result.skeleton.points_m["working wrist"]
    up = np.tile([0.0, 0.0, 20.0], (PHASES, 1))
    items = tuple(
        Applied(kind, "hand", f"{kind} label", at, up)  # type: ignore[arg-type]
        for kind in ("weight", "band", "push", "assistance")
    )
    body = Skeleton(result.skeleton.points_m, (), items)
    drawing = tree(exercise_figure(exercise, dataclasses.replace(result, skeleton=body)))
    for css in ("fig-weight", "fig-band", "fig-push-head", "fig-assist-head"):
        assert len(with_class(drawing, css)) == 1
    assert all(
        f"{kind} label" in words(drawing) for kind in ("weight", "band", "push", "assistance")
    )


def test_without_a_skeleton_there_is_no_figure() -> None:
    exercise, result = sample("squat")
    assert exercise_figure(exercise, dataclasses.replace(result, skeleton=None)) == ""


def test_the_same_input_gives_the_same_bytes() -> None:
    assert exercise_figure(*sample("arm-and-leg")) == exercise_figure(*sample("arm-and-leg"))


def test_a_drawing_alone_brings_its_own_style() -> None:
    alone = standalone(exercise_figure(*sample("squat")))
    root = tree(alone.split("?>", 1)[1])
    style = next(e for e in root if e.tag.endswith("style"))
    assert ".fig-limb" in (style.text or "") and "--ink" in (style.text or "")


def test_a_turn_about_a_limbs_own_axis_is_a_ring_with_both_angles() -> None:
    exercise = Exercise(
        id="turn", title="Turn the forearm", works="forearm pronation", sides="one",
        movement=({"forearm": {"pronation": (-60, 70)}},),
    )  # fmt: skip
    drawing = tree(exercise_figure(exercise, load(exercise, skeleton({"elbow flexion": 90}))))
    assert len(with_class(drawing, "fig-arc")) == 1
    assert "−60° → 70°" in words(drawing)


def test_the_arc_ends_at_the_limb_and_names_the_angle() -> None:
    drawing = tree(exercise_figure(*sample("straight-leg-raise")))
    angles = [t.text for t in with_class(drawing, "fig-angle")]
    assert angles[0] == "60°"
    assert len(with_class(drawing, "fig-arc-head")) == 1


@pytest.mark.parametrize("name", SAMPLES)
def test_a_figure_does_not_depend_on_what_was_drawn_before_it(name: str) -> None:
    exercise, result = sample(name)
    left = exercise_figure(exercise, result, "left")
    exercise_figure(*sample("squat"))
    exercise_figure(exercise, result, within=(120.0, 120.0))
    assert exercise_figure(exercise, result, "left") == left


@given(arrays(np.float64, st.integers(0, 12), elements=st.floats(-3000, 3000)))
def test_numbers_of_many_and_of_one_are_written_alike(values: np.ndarray) -> None:
    one_by_one = [f"{round(value, 1) + 0.0:g}" for value in np.round(values, 1).tolist()]
    assert texts(values) == one_by_one
