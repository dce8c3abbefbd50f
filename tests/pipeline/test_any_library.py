"""Whatever reading accepts is analysed: an odd exercise gives findings, never an exception."""

import datetime
import pathlib
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders.mutations import EXERCISES
from builders.reading import sound_library
from rungbook.pipeline.analyse import analyse


@settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(exercises=st.lists(EXERCISES, min_size=6, max_size=6))
def test_any_sound_library_is_analysed(
    tmp_path: pathlib.Path, exercises: list[dict[str, Any]]
) -> None:
    files = {f"calf/x{number}": exercise for number, exercise in enumerate(exercises)}
    library = sound_library(tmp_path, files)
    assert library.findings == ()
    analysis = analyse(library.root, datetime.date(2026, 6, 1))
    assert set(analysis.measured.loads) == set(library.exercises)
