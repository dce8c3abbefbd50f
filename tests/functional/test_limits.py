"""No single file makes a command take long or much memory: each is refused with its limit's number.

The sizes are those of files that took minutes, gigabytes or for ever before they were refused.
"""

from __future__ import annotations

import io
import os
import pathlib
import socket
import zipfile

import pytest

from builders.library import library_folder
from builders.sound import sound_files
from builders.tables import workbook
from fuzz.judging import command
from rungbook.intake.table import MOST_CELLS
from rungbook.reading import limits

EXERCISE = "exercises/arm/arm-low.md"
LOW = sound_files()[EXERCISE]


def with_files(root: pathlib.Path, **changed: str) -> pathlib.Path:
    files: dict[str, str | bytes] = {**sound_files(), **changed}
    return library_folder(root, settings=str(files.pop("library.yml")), files=files)


def checked(root: pathlib.Path) -> str:
    """What `check` says; it stayed within 20 s of the processor and 500 MB."""
    status, said, faults = command(["check", "--library", "library", "--format", "github"], root)
    assert faults == [] and status in (0, 1)
    return said


SECTIONS = "".join(f"## Part {n}\n{'<a <a ' * 7900}\n" for n in range(20))
LARGE = {
    "a text of brackets that never close": (
        LOW.replace("## Do\n", f"## Do\n{'<a ' * 15_000}\n"),
        f"letters below the keys, more than {limits.MOST_LETTERS:,}",
    ),
    "twenty such sections": (
        LOW.replace("\n---\n", f"\n---\n{SECTIONS}", 1),
        f"letters below the keys, more than {limits.MOST_LETTERS:,}",
    ),
    "three thousand contacts": (
        LOW.replace("works:", f"contacts: [{'{at: hand, surface: wall}, ' * 3000}]\nworks:"),
        f"a list of 3000, more than {limits.MOST_ITEMS}",
    ),
    "a hand on one wall eight times": (
        LOW.replace("works:", f"contacts: [{'{at: hand, surface: wall}, ' * 8}]\nworks:"),
        "'hand' is on something already",
    ),
    "nine contacts": (
        LOW.replace("works:", f"contacts: [{'{at: hand, surface: wall}, ' * 9}]\nworks:"),
        "not 8 at most",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", LARGE)
def test_a_large_exercise_is_refused_with_the_number(tmp_path: pathlib.Path, name: str) -> None:
    text, expected = LARGE[name]
    with_files(tmp_path, **{EXERCISE: text})
    assert expected in checked(tmp_path)


def test_an_id_that_no_page_could_have_is_found_by_check(tmp_path: pathlib.Path) -> None:
    """Most file systems take 255 bytes; a page and what lies beside it need more than the id."""
    with_files(tmp_path, **{
        f"exercises/arm/{'a' * 251}.md": LOW, "vocabulary/areas.yml": f"arm: Arm\n{'b' * 251}: B\n",
    })  # fmt: skip
    said = checked(tmp_path)
    assert "a file's name is its id, 100 letters at most: rename it" in said
    assert "hyphens, 100 letters at most, such as" in said


def test_what_is_refused_costs_a_draft_no_more(tmp_path: pathlib.Path) -> None:
    with_files(tmp_path, **{EXERCISE: LARGE["twenty such sections"][0]})
    arguments = ["build", "--draft", "--library", "library", "--site", "site"]
    assert command(arguments, tmp_path)[2] == []
    assert (tmp_path / "site/index.html").exists()


@pytest.mark.parametrize(
    ("kind", "file"),
    [
        ("pipe", "library.yml"),
        ("pipe", EXERCISE),
        ("pipe", "vocabulary/areas.yml"),
        ("pipe", "pictures/x.jpg"),
        ("socket", "library.yml"),
        ("device", "library.yml"),
        ("device", "ladders/arm.md"),
    ],
)
def test_what_is_no_plain_file_is_told_and_not_waited_for(
    tmp_path: pathlib.Path, file: str, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_files(tmp_path) / file
    path.unlink(missing_ok=True)
    path.parent.mkdir(exist_ok=True)
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "socket":
        monkeypatch.chdir(path.parent)  # the name of a socket may not be long
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(path.name)
    else:
        path.symlink_to("/dev/zero")
    said = checked(tmp_path)
    assert f"file={file}" in said.replace("library/", "")
    assert ("not a plain file" in said) or ("leads out of the library" in said)


SHEET = "xl/worksheets/sheet1.xml"


def book_with(part: str, before: bytes, more: bytes) -> bytes:
    """A workbook with bytes put into a part, before some others."""
    whole, out = workbook(["Title"], ["Squat"]), io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for name in old.namelist():
            content = old.read(name)
            new.writestr(
                name, content.replace(before, more + before, 1) if name == part else content
            )
    return out.getvalue()


BOOKS = {
    "a comment of 140 MB": (
        lambda: book_with(SHEET, b"<sheetData>", b"<!--" + b"x" * 140_000_000 + b"-->"),
        "unpacks to 140.0 MB, more than is read (40 MB)",
    ),
    "a comment of 30 MB": (
        lambda: book_with(SHEET, b"<sheetData>", b"<!--" + b"x" * 30_000_000 + b"-->"),
        "a single piece of more than 1 MB",
    ),
    "two million cells in a row": (
        lambda: book_with(
            SHEET, b"</sheetData>", b'<row r="9">' + b"<c><v>1</v></c>" * 2_000_000 + b"</row>"
        ),
        f"more than {MOST_CELLS:,} cells",
    ),
    "a million merges": (
        lambda: book_with(
            SHEET, b"</worksheet>", b'<mergeCell ref="A1:B20000"/>' * 1_000_000
        ),
        f"more than {MOST_CELLS:,} cells",
    ),
    "five million styles": (
        lambda: book_with("xl/styles.xml", b"</cellXfs>", b"<xf/>" * 5_000_000),
        "xl/styles.xml unpacks to 25.0 MB, more than is read (2 MB)",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BOOKS)
def test_a_large_workbook_is_refused_with_the_number(tmp_path: pathlib.Path, name: str) -> None:
    make, expected = BOOKS[name]
    with_files(tmp_path)
    (tmp_path / "t.xlsx").write_bytes(make())
    assert (tmp_path / "t.xlsx").stat().st_size < 200_000  # small on the disk
    status, said, faults = command(["intake", "t.xlsx", "--library", "library"], tmp_path)
    assert (status, faults) == (2, [])
    assert expected in " ".join(said.split())


TEXTS = {
    "a line of ten million cells": (b"a," * 10_000_000, "row 1: more than 300 columns"),
    "too many cells": ((b"a," * 290 + b"a\n") * 900, f"more than {MOST_CELLS:,} cells"),
    "lines and no end": (b"a\n" * 900_000, "more than 10,000 rows"),
}


@pytest.mark.parametrize("name", TEXTS)
def test_a_large_text_is_refused_with_the_number(tmp_path: pathlib.Path, name: str) -> None:
    content, expected = TEXTS[name]
    with_files(tmp_path)
    (tmp_path / "t.csv").write_bytes(content)
    status, said, faults = command(["intake", "t.csv", "--library", "library"], tmp_path)
    assert (status, faults) == (2, [])
    assert expected in " ".join(said.split())
