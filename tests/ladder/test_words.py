"""A step's size in words never says that it is within the limit where it is not."""

import pytest

from rungbook.ladder.words import size_text


@pytest.mark.parametrize(
    ("size", "words"),
    [
        (0.72, "0.7"),
        (1.0, "1.0"),
        (1 + 1e-7, "1.0"),  # passes: rounding, no step
        (1.00001, "1.01"),
        (1.017, "1.02"),
        (1.049, "1.05"),
        (1.05, "1.1"),
        (2.14, "2.1"),
    ],
)
def test_a_step_just_over_the_limit_never_reads_as_the_limit(size, words):
    assert size_text(size) == words
