"""Rows of profiles that several files share are those that each file would make."""

from __future__ import annotations

from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.profile_data import ProfileRows, actions_of, profile_files
from rungbook.site.pages.catalogue import Catalogue


def test_shared_rows_are_those_made_for_each_file_alone(demo: Analysis) -> None:
    catalogue = Catalogue(demo)
    files = [value for _, value in profile_files(catalogue)]
    assert [file["action"] for file in files] == list(actions_of(catalogue))
    for file in files:
        alone = ProfileRows()
        rows = [
            alone.row(catalogue.library.exercises[row["id"]], catalogue.profile(row["id"]))
            for row in file["rows"]
        ]
        assert file["rows"] == rows
        assert file["axes"] == list(alone.axes)
    assert sum(len(file["rows"]) for file in files) > len(catalogue.library.exercises) / 2
