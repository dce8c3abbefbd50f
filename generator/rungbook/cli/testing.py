"""Results of tests on the command line."""

from __future__ import annotations

from collections.abc import Iterable

import click


def test_results(given: Iterable[str]) -> dict[str, float]:
    """`chair-stand-30s=12` by test, in the test's own unit, which may be written or not.

    Raises:
        click.UsageError: an unknown test, no number, or another unit.
    """
    from pydantic_core import PydanticCustomError

    from rungbook.cli.known import known
    from rungbook.model.criterion import amount
    from rungbook.reading.functional_tests import functional_tests

    tests = functional_tests()
    found = {}
    for text in given:
        name, _, written = (part.strip() for part in text.partition("="))
        unit = tests[known(name, tests, "test")].unit
        try:
            bare = float(written)
            value = bare if unit == "repetitions" else amount(f"{bare:g} {unit}", unit)
        except ValueError:
            try:
                value = amount(written.removesuffix("repetitions").strip(), unit)
            except PydanticCustomError:
                counted = f"{tests[name].title} counts in {unit}"
                message = f"--test '{text}' is not a result: {counted}, such as '{name}=12'"
                raise click.UsageError(message) from None
        if not 0 <= value <= 10000:
            raise click.UsageError(f"--test '{text}' is not a result between 0 and 10000")
        found[name] = value
    return found
