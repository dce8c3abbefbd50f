"""Thumbnails: small, whole, of one size, in both colour schemes, without words or references."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from builders.drawings import numbers, tree
from builders.skeletons import SAMPLES, sample
from rungbook.drawing.thumbnail import HIGH, WIDE, thumbnails


@pytest.mark.parametrize("name", SAMPLES)
def test_a_thumbnail_is_one_small_picture_of_a_body_that_lies_inside(name: str) -> None:
    (drawn,) = thumbnails([sample(name)])
    root = tree(drawn)
    assert len(drawn) < 7000
    assert "prefers-color-scheme:dark" in drawn and "<text" not in drawn and "href" not in drawn
    bodies = [e for e in root.iter() if "fig-body" in e.get("class", "")]
    ends = [numbers(part)[:2] for e in bodies for part in e.get("d", "").split("M")[1:]]
    assert np.min(ends) >= 0 and np.max(ends, axis=0) == pytest.approx([WIDE, HIGH], abs=112)
    assert np.max(ends, axis=0)[0] <= WIDE and np.max(ends, axis=0)[1] <= HIGH


def test_exercises_without_a_posture_have_none_and_keep_their_place() -> None:
    exercise, result = sample("squat")
    found = thumbnails([(exercise, dataclasses.replace(result, skeleton=None)), sample("squat")])
    assert found[0] == "" and found[1].startswith("<svg")
