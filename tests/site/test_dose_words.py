"""A dose as pages for clinicians say it."""

from __future__ import annotations

from rungbook.model.exercise import Dose
from rungbook.site.data.dose_record import dose_record
from rungbook.site.pages.dose_words import dose_address, dose_line, dose_rows

RANGED = Dose.model_validate({"sets": "2-3", "hold": "10-30 s", "sessions": "2-3 per week"})


def test_a_line_and_rows_say_both_ends_of_a_range() -> None:
    line = dose_line(RANGED).replace("\u202f", " ")
    assert line == "2 to 3 × 10 to 30 s hold · 2 to 3 per week"
    assert dict(dose_rows(RANGED))["Sets"] == "2 to 3"
    daily = Dose.model_validate({"sets": "1-2", "sessions": "1-2 per day"})
    assert dose_line(daily) == "1 to 2 sets · 1 to 2 per day"


def test_scripts_get_a_pair_for_a_range_and_a_number_for_a_number() -> None:
    assert dose_record(RANGED) == {"sets": [2, 3], "hold": [10, 30], "sessions": [2, 3]}
    assert dose_record(Dose.model_validate({"sets": 3})) == {"sets": 3}


def test_less_of_a_range_goes_along_in_the_address_of_a_sheet() -> None:
    less = RANGED.model_copy(update={"sets": 1})
    assert dose_address(RANGED, less) == "sets:1"
    assert dose_address(less, RANGED) == "sets:2-3"
