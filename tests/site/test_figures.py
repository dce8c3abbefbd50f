"""Figures drawn many at a time are those drawn one at a time."""

from __future__ import annotations

import pathlib

from builders.sites import analysis, raise_arm
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.sheet.messages import messages
from rungbook.site.sheet.sheet_figures import figure


def test_figures_drawn_together_and_alone_are_the_same(tmp_path: pathlib.Path) -> None:
    written = {
        "arm/one": raise_arm("One", None, 60),
        "arm/two": raise_arm("Two", None, 90, sides="both"),
        "arm/still": {"title": "Nothing moves", "position": "supine"},
        "arm/three": raise_arm("Three", None, 150, position="supine"),
    }
    found = analysis(tmp_path, exercises=written)
    together, alone = Catalogue(found).figures, Catalogue(found).figures
    together.prepare(found.measured.library.exercises)
    for key, exercise in found.measured.library.exercises.items():
        assert together.on_page(key) == alone.on_page(key)
        assert together.for_sheet(key) == alone.for_sheet(key)
        for side, drawn in together.for_sheet(key).items():
            assert drawn == figure(found.measured, exercise, side, messages("en"))
    assert list(together.for_sheet("one")) == ["right", "left"]
    assert list(together.for_sheet("two")) == ["right"]
    assert "<svg" in together.on_page("three")


def test_what_was_let_go_is_drawn_again(tmp_path: pathlib.Path) -> None:
    figures = Catalogue(analysis(tmp_path, exercises={"arm/one": raise_arm("One")})).figures
    before = figures.on_page("one")
    figures.forget()
    assert figures.on_page("one") == before
