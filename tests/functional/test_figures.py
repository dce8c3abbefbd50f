"""`rungbook figures`: every figure on one page, its title beside it or folded away."""

from __future__ import annotations

import pathlib
import re

import html5lib
from click.testing import CliRunner

from builders.library import library_folder
from builders.sites import raise_arm
from rungbook.cli import main


def test_every_exercise_stands_on_it_with_its_figure(tmp_path: pathlib.Path) -> None:
    both = raise_arm("Arm raise, both") | {"sides": "both"}
    library = library_folder(tmp_path, {"low": raise_arm("Arm forward"), "two": both})
    made = tmp_path / "figures.html"
    result = CliRunner().invoke(main, ["figures", "--library", str(library), "--output", str(made)])
    assert result.exit_code == 0, result.output
    text = made.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)  # the WHATWG's algorithm, in strict mode
    assert re.findall(r'id="figure-([a-z]+)"', text) == ["low", "two"]
    assert text.count("<svg") == 2
    assert "exercises/low.md" in text and "Arm raise, both" in text
    assert "<details" not in text


def test_titles_are_folded_away_for_who_wants_to_guess(tmp_path: pathlib.Path) -> None:
    library = library_folder(tmp_path, {"low": raise_arm("Arm forward")})
    command = ["figures", "--without-titles", "--library", str(library), "--output", "-"]
    text = CliRunner().invoke(main, command).stdout
    folded = re.search(r"<details>.*?</details>", text, re.DOTALL)
    assert folded and "Arm forward" in folded[0]
    # its description is for who cannot see the figure, and does not name the exercise either
    assert "Arm forward" not in text.replace(folded[0], "").split("<main", 1)[1]
