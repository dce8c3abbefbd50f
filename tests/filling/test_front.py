"""A progression is added to a file, and nothing else in it changes."""

import pytest
import yaml

from rungbook.filling.front import CannotEdit, Front, with_progression


def edited(content: bytes) -> bytes:
    return with_progression(Front.of(content, "a.md"), EDGE).content()


EDGE = {"to": "new", "draft": True, "because": "computed; criteria to be written"}
FLOW = "{to: new, draft: true, because: computed; criteria to be written}"


def file(progressions: str) -> str:
    return f"---\ntitle: Half carried  # mine\n{progressions}---\n## Do\nRaise it.\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", f"progressions:\n  - {FLOW}\n"),
        ("progressions: []\n", f"progressions: [{FLOW}]\n"),
        ("progressions:\n", f"progressions:\n  - {FLOW}\n"),
        ("progressions: [{to: b, when: [x]}]\n", f"progressions: [{{to: b, when: [x]}}, {FLOW}]\n"),
        ("progressions:\n- to: b\n", f"progressions:\n- to: b\n- {FLOW}\n"),
        (
            "progressions:\n  # next\n  - to: b  # on\n    when: [x]\n  # done\nsides: one\n",
            f"progressions:\n  # next\n  - to: b  # on\n    when: [x]\n  - {FLOW}\n"
            "  # done\nsides: one\n",
        ),
        (
            "progressions:\n  - to: b\n    when:\n      - x\n\nsides: one\n",
            f"progressions:\n  - to: b\n    when:\n      - x\n  - {FLOW}\n\nsides: one\n",
        ),
    ],
)
def test_it_comes_after_those_there_are(before: str, after: str) -> None:
    added = edited(file(before).encode()).decode()
    assert added == file(after)
    front = yaml.safe_load(added.split("---\n")[1])
    assert front["progressions"][-1] == EDGE


def test_line_ends_and_the_mark_at_the_start_stay() -> None:
    before = b"\xef\xbb\xbf" + file("progressions:\n  - to: b\n").replace("\n", "\r\n").encode()
    after = edited(before)
    added = f"  - {FLOW}\r\n".encode()
    assert after.replace(added, b"") == before and added in after


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("no front matter", "a.md has no front matter any more"),
        ("---\n[1, 2\n---\n", "the front matter cannot be read"),
        ("---\n- one\n---\n", "the front matter is no mapping"),
        ("---\nprogressions: b\n---\n", "'progressions' is no list that can be added to"),
    ],
)
def test_what_is_no_exercise_any_more_is_left_alone(text: str, message: str) -> None:
    with pytest.raises(CannotEdit, match=message):
        edited(text.encode())


def test_bytes_that_are_no_text_are_left_alone() -> None:
    with pytest.raises(CannotEdit, match=r"a\.md cannot be read"):
        edited(b"---\ntitle: \xff\n---\n")
