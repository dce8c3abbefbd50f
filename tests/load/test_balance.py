"""Classes of balance: what is stood on, and what makes standing on it harder."""

from __future__ import annotations

from typing import Any

import pytest

from builders.findings import write_library
from builders.poses import load_of
from rungbook.model.finding import Finding
from rungbook.reading.read import read_library


def faults(root: Any, written: str) -> list[Finding]:
    return list(read_library(write_library(root, written)).findings)


def stability(**written: Any) -> int:
    return load_of(sides="one", measured="none", **written).stability


def test_standing_grows_harder_in_the_order_of_the_published_batteries() -> None:
    # Guralnik et al. 1994: feet side by side, in line; then one leg. Shumway-Cook and Horak 1986:
    # eyes closed is harder than open. From memory.
    together = stability(position="standing", balance=["feet-together"])
    in_line = stability(position="split-stance", stride="0.27 m")
    one_leg = stability(position="single-leg-standing")
    closed = stability(position="single-leg-standing", balance=["eyes-closed"])
    assert stability(position="standing") < together <= in_line < one_leg < closed


def test_what_makes_it_harder_adds_up() -> None:
    both = stability(position="single-leg-standing", balance=["eyes-closed", "head-turns"])
    assert both == stability(position="single-leg-standing") + 2


def test_what_nobody_knows_is_told_with_its_line(tmp_path: Any) -> None:
    told = faults(tmp_path, """
[exercises/x/stand.md]
title: Stand
measured: none
balance: [eye-closed]
""")  # fmt: skip
    messages = [one.message for one in told if one.check == "unknown-reference"]
    assert messages == ["nothing of this name makes standing harder: did you mean 'eyes-closed'?"]


def test_a_library_adds_its_own(tmp_path: Any) -> None:
    told = faults(tmp_path, """
[library.yml]
balance: {tray: {title: Carrying a tray, adds: 2}}
[exercises/x/stand.md]
title: Stand
measured: none
balance: [tray]
""")  # fmt: skip
    assert not [one for one in told if one.level == "error"]


@pytest.mark.parametrize("adds", [0, 3])
def test_nothing_adds_more_than_two_classes(tmp_path: Any, adds: int) -> None:
    told = faults(tmp_path, f"""
[library.yml]
balance: {{tray: {{title: Carrying a tray, adds: {adds}}}}}
[exercises/x/stand.md]
title: Stand
measured: none
""")  # fmt: skip
    assert [one for one in told if one.check == "wrong-value"]
