"""A seal is of what an exercise says: any change of that breaks it, and nothing else does."""

from __future__ import annotations

import pathlib

import pytest

from builders.findings import write_library
from rungbook.model.exercise import Exercise
from rungbook.reading.folder import list_library
from rungbook.reading.read import read_library
from rungbook.reading.seals import present_seal

BASE = """title: Squat
position: standing
dose: {sets: 3, reps: 12}
back-off: [pain above 3 of 10]
pictures: [{file: squat.jpg, alt: Knees bent}]
progressions: [{to: other, when: [calm]}]
---
## Do
Bend the knees.
## For the patient
Bend your knees.
"""
OWN = """title: Squat, slowly
variation-of: squat
dose: {up: 4 s}
"""
OTHER = "title: Other\n"


def exercises(
    root: pathlib.Path, base: str = BASE, own: str = OWN, picture: str = "photo"
) -> dict[str, Exercise]:
    folder = write_library(
        root,
        f"[exercises/leg/squat.md]\n{base}\n[exercises/leg/slow.md]\n{own}\n"
        f"[exercises/leg/other.md]\n{OTHER}\n[pictures/squat.jpg]\n{picture}\n",
    )
    return dict(read_library(folder).exercises)


def seals(root: pathlib.Path, **written: str) -> tuple[str, str]:
    """Of the squat, and of its variation."""
    found = exercises(root, **written)
    pictures = list_library(root / "library").pictures
    return present_seal(found["squat"], pictures), present_seal(found["slow"], pictures)


@pytest.fixture
def before(tmp_path: pathlib.Path) -> tuple[str, str]:
    return seals(tmp_path / "before")


CHANGES = {
    "a limit": ("above 3", "above 8"),
    "a word for the patient": ("Bend your knees.", "Bend your knees as far as you can."),
    "a dose": ("sets: 3", "sets: 30"),
    "a criterion": ("when: [calm]", "when: [any]"),
    "where it leads": ("progressions: [{to: other", "progressions: [{to: slow"),
    "a word beside a picture": ("alt: Knees bent", "alt: Knees straight"),
    "the posture": ("position: standing", "position: supine"),
    "a heading": ("## Do", "## Set up"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_of_what_it_says_breaks_the_seal(
    tmp_path: pathlib.Path, before: tuple[str, str], change: str
) -> None:
    squat, slow = seals(tmp_path / "after", base=BASE.replace(*CHANGES[change]))
    assert squat != before[0]
    # What a variation takes over is part of it; progressions are everybody's own.
    own_only = change in ("a criterion", "where it leads")
    assert (slow == before[1]) == own_only


def test_another_picture_of_the_same_name_breaks_both_seals(
    tmp_path: pathlib.Path, before: tuple[str, str]
) -> None:
    after = seals(tmp_path / "after", picture="another")
    assert after[0] != before[0] and after[1] != before[1]


SAME = {
    "a comment": ("title: Squat\n", "title: Squat  # the usual one\n"),
    "quotes": ("title: Squat\n", "title: 'Squat'\n"),
    "the order of keys": ("title: Squat\nposition: standing\n", "position: standing\ntitle: Squat\n"),
    "layout": ("{sets: 3, reps: 12}", "\n  sets: 3\n  reps: 12"),
    "blanks at the end of lines": ("Bend the knees.\n", "Bend the knees.  \n\n"),
    "a review": ("title: Squat\n", "title: Squat\nreviewed: {date: 2026-05-01, by: Me}\n"),
    "an acceptance": (
        "title: Squat\n",
        "title: Squat\naccepts: [{check: missing-dose, because: x, until: 2027-01-01}]\n",
    ),
    "a draft progression": ("when: [calm]}]", "when: [calm]}, {to: slow, draft: true}]"),
    "that it is a draft": ("title: Squat\n", "title: Squat\ndraft: intake\n"),
}  # fmt: skip


@pytest.mark.parametrize("change", SAME)
def test_what_says_nothing_else_keeps_the_seal(
    tmp_path: pathlib.Path, before: tuple[str, str], change: str
) -> None:
    assert seals(tmp_path / "after", base=BASE.replace(*SAME[change])) == before


def test_the_first_progression_keeps_the_seal_as_long_as_it_is_a_draft(
    tmp_path: pathlib.Path,
) -> None:
    drafted = f"{OWN}progressions: [{{to: other, draft: true}}]\n"
    taken_up = f"{OWN}progressions: [{{to: other, when: [calm]}}]\n"
    was, now, then = (
        seals(tmp_path / name, own=own)[1]
        for name, own in (("was", OWN), ("now", drafted), ("then", taken_up))
    )
    assert was == now != then


def test_line_ends_keep_the_seal(tmp_path: pathlib.Path, before: tuple[str, str]) -> None:
    exercises(tmp_path)
    for file in (tmp_path / "library/exercises").rglob("*.md"):
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    found = read_library(tmp_path / "library").exercises
    pictures = list_library(tmp_path / "library").pictures
    assert tuple(present_seal(found[id], pictures) for id in ("squat", "slow")) == before


def test_another_id_keeps_the_seal(tmp_path: pathlib.Path, before: tuple[str, str]) -> None:
    folder = write_library(
        tmp_path / "after",
        f"[exercises/hip/bend.md]\n{BASE}\n[exercises/leg/other.md]\n{OTHER}\n[pictures/squat.jpg]\nphoto\n",
    )
    found = read_library(folder).exercises["bend"]
    assert present_seal(found, list_library(folder).pictures) == before[0]


def reviewed(seal: str) -> str:
    return f"reviewed: {{date: 2026-05-01, by: Senior physiotherapist, seal: '{seal}'}}\n"


def test_reading_knows_what_a_review_is_worth(
    tmp_path: pathlib.Path, before: tuple[str, str]
) -> None:
    squat = BASE.replace("title: Squat\n", f"title: Squat\n{reviewed(before[0])}")
    found = exercises(tmp_path / "same", squat, OWN + reviewed(before[1]))
    assert (found["squat"].standing, found["slow"].standing) == ("reviewed", "reviewed")
    assert found["other"].standing == "never reviewed"
    # One word of the base: both were reviewed as something else.
    changed = squat.replace("Bend your knees.", "Jump.")
    found = exercises(tmp_path / "changed", changed, OWN + reviewed(before[1]))
    assert {found[id].standing for id in ("squat", "slow")} == {"changed since review"}
    found = exercises(tmp_path / "bare", own=OWN + "reviewed: {date: 2026-05-01, by: Me}\n")
    assert found["slow"].standing == "reviewed, not sealed"


def test_a_seal_that_is_none_is_told(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, f"[exercises/leg/a.md]\ntitle: A\n{reviewed('mine')}")
    (finding,) = read_library(folder).findings
    assert finding.message == "'seal' is 'mine', not what `rungbook review` writes: correct it"
