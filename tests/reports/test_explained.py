from __future__ import annotations

from rungbook.checks.explanation import Explanation, explain, files_of
from rungbook.checks.registry import Check
from rungbook.reports.explained import explained, listed

DOCSTRING = """A thing that is wrong.

It matters
for a reason.

Mend it by mending.

Fails:

    [exercises/a.md]
    title: A
    ---
    ## Do
    Rise.
    [vocabulary/areas.yml]
    arm: {title: Arm}

Passes:

    [exercises/a.md]
    title: B
"""


def test_a_docstring_comes_apart_into_its_parts() -> None:
    assert explain(DOCSTRING) == Explanation(
        "A thing that is wrong.",
        "It matters for a reason.",
        "Mend it by mending.",
        "[exercises/a.md]\ntitle: A\n---\n## Do\nRise.\n[vocabulary/areas.yml]\narm: {title: Arm}",
        "[exercises/a.md]\ntitle: B",
    )


def test_an_example_is_files() -> None:
    assert files_of(explain(DOCSTRING).fails) == {
        "exercises/a.md": "---\ntitle: A\n---\n## Do\nRise.\n",
        "vocabulary/areas.yml": "arm: {title: Arm}\n",
    }


def test_a_check_is_told_in_full_and_in_a_line() -> None:
    check = Check("a-thing", "warning", explain(DOCSTRING), None)
    assert explained(check) == (
        "a-thing (warning)\n\nA thing that is wrong.\n\nIt matters for a reason.\n\n"
        "Mend it by mending.\n\nFails:\n    [exercises/a.md]\n    title: A\n    ---\n    ## Do\n"
        "    Rise.\n    [vocabulary/areas.yml]\n    arm: {title: Arm}\n\n"
        "Passes:\n    [exercises/a.md]\n    title: B\n"
    )
    assert listed([check]) == "a-thing  warning  A thing that is wrong.\n"
