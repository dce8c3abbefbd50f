"""Figures show the computed posture, the side, what works, and carry their own words."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from builders.drawings import faults, figure, numbers, tree, with_class, words
from builders.skeletons import SAMPLES, floor, load, sample, skeleton
from rungbook.drawing.body_shapes import CIRCLES
from rungbook.drawing.figure import WIDTH_PX, limited
from rungbook.drawing.outlines import part_paths
from rungbook.drawing.scene import make_scene
from rungbook.drawing.svg import standalone, texts
from rungbook.load.result import PHASES, Applied, Skeleton
from rungbook.model.acting import Assistance
from rungbook.model.exercise import Exercise

HOSTILE = '</title><script>alert(1)</script>" onload="x" & \x07 ]]>'


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("side", ["right", "left", "both"])
def test_a_figure_is_well_formed_and_has_classes_only(name: str, side: str) -> None:
    drawing = figure(*sample(name), side=side)  # type: ignore[arg-type]
    assert faults(drawing) == []
    assert "nan" not in drawing and "inf" not in drawing.replace("infinit", "")


def test_two_figures_of_one_page_share_no_id() -> None:
    exercise, result = sample("squat")
    one, two = (figure(exercise, result, prefix=p) for p in ("page", "sheet"))
    ids = [e.get("id") for d in (one, two) for e in tree(d).iter() if e.get("id")]
    assert len(ids) == len(set(ids))


def test_a_hostile_title_stays_words() -> None:
    exercise, result = sample("squat")
    drawing = figure(exercise.model_copy(update={"title": HOSTILE}), result)
    assert faults(drawing) == []
    title = tree(drawing)[0].text or ""
    assert title == HOSTILE.replace("\x07", "")


def test_a_hostile_label_and_surface_stay_words() -> None:
    exercise, result = sample("arm-raise")
    assert result.skeleton is not None
    evil = dataclasses.replace(result.skeleton.applied[0], label="<b>&", at="x'\"<i>")
    body = Skeleton(result.skeleton.points_m, (floor("hands", 0.9, "</svg><a>"),), (evil,))
    drawing = figure(exercise, dataclasses.replace(result, skeleton=body))
    assert faults(drawing) == []
    assert "<b>&" in words(tree(drawing))


def test_every_limb_follows_the_skeleton() -> None:
    """The outline of a limb lies around its projected circles, within a pixel."""
    scene = make_scene(*sample("straight-leg-raise"))
    centres, radii = scene.view.project(scene.circles[:, -1]) * 100, scene.radii * 100
    drawn = part_paths(centres[None], radii[None])[0]["working thigh"]
    rows = [CIRCLES.index(f"working {c}") for c in ("groin", "thigh", "knee")]
    ends = np.concatenate([numbers(d)[:2] for d in drawn.split("M")[1:]]).reshape(-1, 2)
    gap = np.hypot(*(ends[:, None] - centres[rows]).transpose(2, 0, 1)) - radii[rows]
    assert np.abs(gap).min(1) == pytest.approx(0, abs=1.0)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_left_side_is_the_mirror_image(name: str) -> None:
    right, left = make_scene(*sample(name)).view, make_scene(*sample(name)).view.mirror()
    assert left.matrix[0] == pytest.approx(-right.matrix[0])
    assert left.matrix[1] == pytest.approx(right.matrix[1])
    one, other = (tree(figure(*sample(name), side=side)) for side in ("right", "left"))
    assert numbers(one.get("viewBox", ""))[3] == pytest.approx(
        numbers(other.get("viewBox", ""))[3], abs=14
    )  # words are not mirrored
    assert len(with_class(one, "fig-body")) == len(with_class(other, "fig-body"))


def test_the_working_limb_is_solid_and_the_far_side_greyer() -> None:
    drawing = tree(figure(*sample("straight-leg-raise")))
    assert with_class(drawing, "fig-work") and with_class(drawing, "fig-far")


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


@pytest.mark.parametrize("name", SAMPLES)
def test_no_body_is_seen_along_its_length(name: str) -> None:
    scene = make_scene(*sample(name))
    length = scene.pose.points["head"][0] - scene.pose.points["pelvis"][0]
    assert abs(scene.view.toward @ length) < 0.56 * np.linalg.norm(length)


def test_a_movement_shows_start_hardest_and_end_on_one_ground() -> None:
    drawing = tree(figure(*sample("squat")))
    said = [t.text or "" for t in with_class(drawing, "fig-caption")]
    assert [words[0] for words in said] == ["1", "2", "3"]
    assert "start" in said[0] and "end" in said[2] and sum("hardest" in one for one in said) == 1
    assert len(with_class(drawing, "fig-arrow")) == 1


@pytest.mark.parametrize("name", SAMPLES)
def test_a_figure_is_no_wider_than_a_phone_s_column(name: str) -> None:
    drawing = tree(figure(*sample(name)))
    assert float(drawing.get("width", "0")) <= WIDTH_PX + 1


def test_the_arrow_is_long_enough_to_see() -> None:
    for name in SAMPLES:
        for path in with_class(tree(figure(*sample(name))), "fig-arrow"):
            points = numbers(path.get("d", "")).reshape(-1, 2)
            assert np.hypot(*np.diff(points, axis=0).T).sum() + 8 >= 34


def test_a_hold_is_one_posture_and_says_so() -> None:
    exercise = Exercise(id="hold", title="Hold", works="knee extension")
    result = load(exercise, skeleton({"knee flexion": 60, "hip flexion": 60}), angle=(60, 60))
    drawing = figure(exercise, result)
    assert len(with_class(tree(drawing), "fig-caption")) == 1
    assert with_class(tree(drawing), "fig-arrow") == []
    assert "held still" in drawing


def test_a_hand_that_rests_lies_along_its_surface_and_closes_round_a_rail() -> None:
    exercise, result = sample("squat")
    assert result.skeleton is not None
    height = float(result.skeleton.points_m["working wrist"][0, 2])
    for kind, flat in (("counter", True), ("wall-rail", False)):
        surfaces = tuple(floor(at, height, kind) for at in ("hand", "other-hand"))
        body = Skeleton(result.skeleton.points_m, surfaces, ())
        drawn = make_scene(exercise, dataclasses.replace(result, skeleton=body)).pose
        way = drawn.points["working fingertip"] - drawn.points["working wrist"]
        assert abs(way[0, 2]) < np.sin(np.radians(10)) * np.linalg.norm(way[0])
        assert ("working" in drawn.closed) is not flat


def test_the_words_tell_position_movement_support_and_load() -> None:
    exercise, result = sample("knee-extension")
    desc = tree(figure(exercise, result))[1].text or ""
    for said in ("sitting", "from −90° to −10°", "seat (chair)", "2 kg (ankle)", "knee extension"):
        assert said in desc


def test_the_title_names_the_side_of_a_one_sided_exercise() -> None:
    exercise, result = sample("straight-leg-raise")
    titles = [tree(figure(exercise, result, side=s))[0].text for s in ("left", "right", "both")]  # type: ignore[arg-type]
    assert titles == [
        "Straight leg raise, left side",
        "Straight leg raise, right side",
        "Straight leg raise, both sides, one after the other",
    ]


def test_weights_bands_pushes_and_help_are_drawn() -> None:
    exercise, result = sample("arm-raise")
    assert result.skeleton is not None
    at = result.skeleton.points_m["working wrist"]
    up = np.tile([0.0, 0.0, 20.0], (PHASES, 1))
    sling = Assistance(at="wrist", by="sling", share="50 %")
    helped = exercise.model_copy(update={"assist": (sling,)})
    items = tuple(
        Applied(kind, place, "2 kg", at, up)  # type: ignore[arg-type]
        for kind, place in (("weight", "hand"), ("band", "hand"), ("push", "wrist"))
    )
    body = Skeleton(result.skeleton.points_m, (), items)
    drawing = tree(figure(helped, dataclasses.replace(result, skeleton=body)))
    for css in ("fig-load", "fig-band", "fig-push-head", "fig-strap"):
        assert with_class(drawing, css), css
    assert "2 kg" in words(drawing)


def test_without_a_skeleton_there_is_no_figure() -> None:
    exercise, result = sample("squat")
    assert figure(exercise, dataclasses.replace(result, skeleton=None)) == ""


def test_the_same_input_gives_the_same_bytes() -> None:
    assert figure(*sample("arm-and-leg")) == figure(*sample("arm-and-leg"))


def test_a_drawing_alone_brings_its_own_style() -> None:
    alone = standalone(figure(*sample("squat")))
    root = tree(alone.split("?>", 1)[1])
    style = next(e for e in root if e.tag.endswith("style"))
    assert ".fig-body" in (style.text or "") and "--ink" in (style.text or "")


@pytest.mark.parametrize("name", SAMPLES)
def test_a_figure_does_not_depend_on_what_was_drawn_before_it(name: str) -> None:
    exercise, result = sample(name)
    left = figure(exercise, result, side="left")
    figure(*sample("squat"))
    figure(exercise, result, width_px=120.0)
    assert figure(exercise, result, side="left") == left


@given(arrays(np.float64, st.integers(0, 12), elements=st.floats(-3000, 3000)))
def test_numbers_of_many_and_of_one_are_written_alike(values: np.ndarray) -> None:
    one_by_one = [f"{round(value, 1) + 0.0:g}" for value in np.round(values, 1).tolist()]
    assert texts(values) == one_by_one


def test_ways_that_look_different_take_four_panels_and_those_that_do_not_take_three() -> None:
    """Up on the toes of both feet, down on one."""
    exercise, result = sample("heel-raise")
    assert result.skeleton is not None
    up = dataclasses.replace(result.skeleton, way="up")
    foot = dict(up.points_m)
    foot["other ankle"] = foot["other ankle"] + np.array([-0.2, 0.0, 0.2])
    down = dataclasses.replace(up, points_m=foot, way="down")
    for other, captions in ((down, ["1 up", "2", "3 down", "4"]), (up, None)):
        both = dataclasses.replace(result, skeleton=up, other_skeletons=(other,))
        drawing = tree(figure(exercise, both))
        said = [t.text for t in with_class(drawing, "fig-caption")]
        assert said == captions if captions else len(said) == 3
        assert len(with_class(drawing, "fig-arrow")) == (2 if captions else 1)


def test_bodies_of_one_column_have_one_scale() -> None:
    """A shank is as long in a hold as in a row of three; the paper is a column wide in both."""
    exercise, result = sample("squat")
    drawings = [
        tree(figure(one, result))
        for one in (exercise, exercise.model_copy(update={"movement": ()}))
    ]
    assert {d.get("width") for d in drawings} == {f"{WIDTH_PX:g}"}
    heights = [
        np.ptp(numbers(with_class(d, "fig-hair")[-1].get("d", "")).reshape(-1, 2)[:, 1])
        for d in drawings
    ]
    assert heights[0] == pytest.approx(heights[1], abs=1.5)


def test_what_is_held_in_each_hand_is_labelled_once() -> None:
    exercise, result = sample("knee-extension")
    assert result.skeleton is not None
    one = result.skeleton.applied[0]
    two = dataclasses.replace(one, at="other-ankle", point_m=one.point_m + 0.2)
    body = dataclasses.replace(result.skeleton, applied=(one, two))
    drawing = tree(figure(exercise, dataclasses.replace(result, skeleton=body)))
    assert [t.text for t in with_class(drawing, "fig-label")] == ["2 × 2 kg"]


@pytest.mark.parametrize(("share", "to"), [(100, None), (75, 70), (66, 50), (50, 50), (25, 0)])
def test_who_goes_a_part_of_the_way_sees_no_further_posture(share: int, to: int | None) -> None:
    drawing = limited(figure(*sample("arm-raise"), numbered=True, parts=(5, 7)), share)
    assert faults(drawing) == []
    panels = [
        (group.get("class"), int(group.get("data-to", "")))
        for group in tree(drawing).iter()
        if group.get("data-to")
    ]
    if to is None:
        assert [css for css, _ in panels] == ["fig-panel"] * 3
    else:
        assert panels == [("fig-panel", 0), *([("fig-part", to)] if to else [])]
        assert ("1 kg" in words(tree(drawing))) is (to > 0)


@pytest.mark.parametrize(
    ("task", "css"), [("head-turns", "fig-push-head"), ("catching", "fig-wheel")]
)
def test_a_task_of_balance_is_drawn(task: str, css: str) -> None:
    exercise, result = sample("squat")
    standing = exercise.model_copy(update={"movement": ()})
    assert not with_class(tree(figure(standing, result)), css)
    asked = standing.model_copy(update={"balance": (task,)})
    assert with_class(tree(figure(asked, result)), css)


def test_who_stands_with_eyes_closed_shows_that() -> None:
    standing = Exercise(id="stand", title="Stand")
    body = skeleton({})
    result = load(sample("squat")[0], body)
    plain = make_scene(standing, result)
    blind = make_scene(standing.model_copy(update={"balance": ("eyes-closed",)}), result)
    assert not plain.eyes_closed and blind.eyes_closed
    assert (plain.view.azimuth_deg, blind.view.azimuth_deg) == (-90, 0)
