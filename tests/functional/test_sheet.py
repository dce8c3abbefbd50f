"""`rungbook sheet`: what it writes, and what it refuses with exit status 2 and a clear message."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builders.library import library_folder
from builders.sites import raise_arm
from rungbook.cli import main


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    draft = {k: v for k, v in raise_arm("Draft", draft="computed, not reviewed").items()}
    del draft["reviewed"]
    words = {
        "For the patient": "Lift your arm. Stay for {{pause}}. Hold {{weight}}.",
        "For the patient (de)": "Heben Sie den Arm. Bleiben Sie {{pause}}. Halten Sie {{weight}}.",
    }
    german: dict[str, Any] = {
        "title (de)": "Arm heben",
        "back-off": [{"words": "pain above 5", "words (de)": "Schmerz über 5"}],
        "resistance": [{"weight": "1 kg", "at": "hand"}],
    }
    return library_folder(
        tmp_path_factory.mktemp("clinic"),
        exercises={
            "arm/raise": raise_arm("Arm raise", text=words, **german),
            "arm/raise-both": raise_arm("Arm raise, both", sides="both", text=words),
            "arm/carried": raise_arm(
                "Arm carried", assist=[{"at": "wrist", "by": "therapist", "share": "50 %"}]
            ),
            "arm/draft": draft,
        },
        settings={
            "name": "A clinic",
            "contact": "The front desk",
            "contact (de)": "Der Empfang",
            "site": {"url": "https://a.example"},
        },
    )


def _run(folder: pathlib.Path, *arguments: str) -> Result:
    call = ["sheet", *arguments, "--library", str(folder), "--today", "2026-11-25"]
    return CliRunner().invoke(main, [*call, "--output", "-"] if "--output" not in call else call)


def test_a_sheet_is_one_file_that_needs_nothing_else(
    folder: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    out = tmp_path / "sheet.html"
    result = _run(folder, "raise:left", "raise-both", "--weeks", "3", "--output", str(out))
    assert result.exit_code == 0, result.output
    html = out.read_text(encoding="utf-8")
    assert html.count('scope="colgroup"') == 3  # a diary of three weeks
    assert "LEFT side" in html and "The front desk" in html
    assert not re.search(r"<(script|link|img)\b", html)
    assert "default-src 'none'" in html
    assert list(tmp_path.iterdir()) == [out], "nothing is left beside it"


def test_the_same_call_writes_the_same_bytes(folder: pathlib.Path) -> None:
    one, two = (_run(folder, "raise:right").output for _ in range(2))
    assert one == two


def test_in_the_patients_language(folder: pathlib.Path) -> None:
    html = _run(folder, "raise", "--side", "both", "--language", "de").output
    assert "Heben Sie den Arm." in html and "BEIDE Seiten" in html
    assert '<html lang="de">' in html


def test_paper_and_large_print(folder: pathlib.Path) -> None:
    html = _run(folder, "raise:left", "--paper", "letter", "--large-print").output
    assert "size: letter" in html and "data-large" in html


def test_a_dose_for_one_exercise_or_for_all(folder: pathlib.Path) -> None:
    html = _run(folder, "raise:left", "raise-both", "--dose", "raise: sets=1, reps=5").output
    assert "1 set of 5 repetitions." in html and "3 sets of 10 repetitions each." in html
    html = _run(folder, "raise:left", "raise-both", "--dose", "sets=2").output
    assert html.count("2 sets of 10 repetitions each.") == 2


def test_what_is_set_for_the_patient_changes_every_place_that_says_it(folder: pathlib.Path) -> None:
    html = _run(folder, "raise:left").output
    assert html.count("1 kg") >= 3 and "another dose" not in html
    change = "raise: weight=2 kg, pause=3 s, arc=half"
    html = _run(folder, "raise:left", "--dose", change, "--line", "Mirror <b>in front</b>.").output
    assert "1 kg" not in html and html.count("2 kg") >= 3
    assert "Stay for 3 seconds." in html and "Go only about half of the way, even where" in html
    assert "Mirror &lt;b&gt;in front&lt;/b&gt;." in html
    assert "another dose than the reviewed one: Arm raise" in html


def test_a_number_that_is_not_there_leaves_its_sentence_out(folder: pathlib.Path) -> None:
    html = _run(folder, "raise:left", "--dose", "pause=0 s").output
    assert "Stay for" not in html and "Lift your arm. Hold 1 kg." in html


def test_what_is_carried_is_left_off_for_home_and_the_rest_is_kept(folder: pathlib.Path) -> None:
    result = _run(folder, "raise:left", "carried:left")
    assert "Left off: carried" in result.stderr
    assert "Arm raise" in result.stdout and "Arm carried" not in result.stdout
    clinic = _run(folder, "raise:left", "carried:left", "--place", "clinic").stdout
    assert "Arm carried" in clinic and "in the clinic" in clinic


def test_a_pdf_is_printed_where_there_is_a_browser(
    folder: pathlib.Path, tmp_path: pathlib.Path, chromium: str
) -> None:
    out = tmp_path / "sheet.pdf"
    result = _run(folder, "raise:left", "--output", str(out))
    assert result.exit_code == 0, result.output
    assert out.read_bytes().startswith(b"%PDF-") and list(tmp_path.iterdir()) == [out]


def test_no_pdf_without_a_browser_and_a_word_why(
    folder: pathlib.Path, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    result = _run(folder, "raise:left", "--output", str(tmp_path / "sheet.pdf"))
    assert result.exit_code == 2 and "write the HTML and print that" in result.output
    assert not (tmp_path / "sheet.pdf").exists()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["raise"], "raise is done on one side: say which, raise:left"),
        (["raise:up"], "'raise:up': the side is left, right or both"),
        (["raise-both:left"], "raise-both is done with both sides together"),
        (["rise:left"], "no exercise is called 'rise'; perhaps raise is meant"),
        (
            ["draft:left"],
            "draft goes to no patient: it is a draft (computed, not reviewed), never reviewed",
        ),
        (["raise:left", "--dose", "sets=none"], "--dose: sets"),
        (["raise:left", "--dose", "speed=3"], "'speed=3' is none of sets, reps"),
        (["raise:left", "--dose", "other: sets=3"], "'other' is not among the exercises"),
        (["raise:left", "--weeks", "40"], "--weeks"),
        (["raise-both", "--dose", "weight=2 kg"], "--dose: raise-both has no weight to change"),
        (["raise:left", "--dose", "weight=900 kg"], "--dose: weight: '900 kg' is out of bounds"),
        (["raise:left", "--dose", "weight=2"], "--dose: weight: "),
        (["raise:left", "--dose", "arc=most"], "'most' is none of three-quarters"),
        (
            ["raise-both", "--language", "de"],
            "no sheet in German: these words are missing. raise-both: title (de)",
        ),
        (["carried:left"], "carried: somebody carries a limb"),
        (["raise:left", "--line", "other: slowly"], "'other' is not among the exercises"),
        (["raise:left", "--language", "xx"], "choose one of de, en"),
        (["raise:left", "--output", "/nowhere/at/all.html"], "cannot write /nowhere/at/all.html"),
        ([], "Missing argument"),
    ],
)
def test_what_it_refuses(folder: pathlib.Path, arguments: list[str], message: str) -> None:
    result = _run(folder, *arguments)
    assert result.exit_code == 2
    assert message in result.output
    assert "Traceback" not in result.output
