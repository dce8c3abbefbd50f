"""A progression that is a draft is shown as one, and leads nowhere: not on a ladder, not on a sheet."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import html5lib
import pytest

from builders.sites import analysis, pages, raise_arm
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.answers_data import edges_record, onward_record
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.sheet.messages import messages
from rungbook.site.sheet.sheet import sheet_part

PULLEY: dict[str, Any] = {"at": "wrist", "by": "pulley"}
LADDER = {"title": "Raising", "works": "shoulder flexion", "condition": "joint", "goal": "raise",
          "entries": {"high": "half"}, "pain-rule": "default"}  # fmt: skip


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Analysis:
    half = raise_arm("Arm raise, half carried", "raise", assist=[PULLEY | {"share": "50 %"}])
    half["progressions"].insert(0, {"to": "quarter", "draft": True, "because": "computed"})
    quarter = raise_arm("Arm raise, a quarter carried", assist=[PULLEY | {"share": "25 %"}])
    quarter |= {"draft": "computed, not reviewed",
                "progressions": [{"to": "raise", "draft": True}]}  # fmt: skip
    del quarter["reviewed"]
    return analysis(
        tmp_path_factory.mktemp("drafts"),
        exercises={"arm/half": half, "arm/quarter": quarter, "arm/raise": raise_arm("Arm raise")},
        ladders={"raising": LADDER},
        vocabulary={"equipment": "pulley: {title: Pulley, assists: set}\n"},
    )


@pytest.fixture(scope="module")
def site(found: Analysis) -> dict[str, str]:
    return pages(found)


def section(page: str, id: str) -> str:
    match = re.search(rf'aria-labelledby="{id}".*?</section>', page, re.DOTALL)
    assert match is not None
    return match[0]


def test_the_exercise_page_names_the_draft_as_one(site: dict[str, str]) -> None:
    harder = section(site["exercises/half.html"], "harder")
    listed, _, drafts = harder.partition('<span class="tag">draft</span>')
    assert "raise.html" in listed and "quarter.html" not in listed
    assert "no way to go yet" in drafts and "quarter.html" in drafts


def test_a_draft_exercise_says_between_what_it_stands(site: dict[str, str]) -> None:
    harder = section(site["exercises/quarter.html"], "harder")
    assert "easier, <a" in harder and "harder, <a" in harder


def test_no_criteria_lead_to_a_draft(site: dict[str, str]) -> None:
    page = site["exercises/half.html"]
    assert "Go on when" in page
    going_on = page[page.index("Go on when") :][:1500]
    assert "raise.html" in going_on and "quarter.html" not in going_on


def test_the_ladder_shows_it_as_a_proposal_and_not_as_a_rung(site: dict[str, str]) -> None:
    page = site["ladders/raising.html"]
    assert "not reviewed" in page and "quarter.html" in page
    assert page.count("quarter.html") == 1  # in the proposal, in no row of its own


def test_finder_and_route_do_not_use_it(found: Analysis) -> None:
    catalogue = Catalogue(found)
    assert len(edges_record(catalogue)["from"]) == 1
    half = found.measured.library.exercises["half"]
    assert [one["to"] for one in onward_record(catalogue, half)] == ["raise"]


def test_a_sheet_leads_on_to_what_is_reviewed(found: Analysis) -> None:
    half = found.measured.library.exercises["half"]
    part = sheet_part(found.measured, half, messages("en"), "x")
    assert "quarter carried" not in repr(part)


def test_the_pages_are_valid(site: dict[str, str]) -> None:
    for path in ("exercises/half.html", "exercises/quarter.html", "ladders/raising.html"):
        html5lib.HTMLParser(strict=True).parse(site[path])


def test_exports_mark_it(found: Analysis, tmp_path: pathlib.Path) -> None:
    from rungbook.exporting.dot import dot
    from rungbook.exporting.library_json import progressions

    edges = {
        (one["from"], one["to"]): one.get("draft", False) for one in progressions(found.measured)
    }
    assert edges == {
        ("half", "raise"): False,
        ("half", "quarter"): True,
        ("quarter", "raise"): True,
    }
    assert '"half" -> "quarter" [style="dashed", draft="true"]' in dot(found.measured)
