"""Every path of a site leads to a place inside it, whatever the library calls its things."""

from __future__ import annotations

import pathlib

import pytest

from builders.sites import analysis, raise_arm
from rungbook.site.publishing.folder import SiteFolder
from rungbook.site.publishing.inside import LeavesTheSite, inside, unsafe
from rungbook.site.publishing.publish import NotPublished, publish

# After the list of the Common Weakness Enumeration, CWE-22 to CWE-40 (path traversal), and
# Microsoft's "Naming Files, Paths, and Namespaces" (both from memory).
OUT = [
    "../x", "a/../../x", "/etc/x", "a//x", "", "a/", "./x", "a/./x", "..", "a/..", "..\\x",
    "a\\..\\x", "C:x", "C:/x", "a:stream", "\\\\server\\x", "//server/x", "a\0b", "a\nb", "a\x7fb",
    "nul", "a/con.html", "COM1", "x.", "x ", "a./b", "…/" + "x" * 256, "é" * 128,
]  # fmt: skip


@pytest.mark.parametrize("path", OUT)
def test_what_leads_elsewhere_is_no_path(path: str) -> None:
    with pytest.raises(LeavesTheSite):
        inside(path)
    assert unsafe(["index.html", path]) == [path]


@pytest.mark.parametrize(
    "path",
    ["index.html", "exercises/heel-raise.html", "pictures/a b/c'é%.jpg", "..a/b..c", "con-x"],
)
def test_what_lies_inside_is_taken_as_it_is(path: str) -> None:
    assert inside(path) == path


@pytest.mark.parametrize("path", OUT)
def test_nothing_is_written_there(tmp_path: pathlib.Path, path: str) -> None:
    folder = SiteFolder(str(tmp_path / "deep" / "site"))
    with pytest.raises(LeavesTheSite):
        folder.write(path, b"x")
    assert list(tmp_path.iterdir()) == []


AREAS = ["../../../x", "/tmp/x", "a/../../x", "C:\\x", "a\\b", "x" * 300, "nul"]


@pytest.mark.parametrize("area", AREAS)
@pytest.mark.parametrize("listed", [False, True])
def test_an_area_that_leads_out_of_the_site_has_no_page(
    tmp_path: pathlib.Path, area: str, listed: bool
) -> None:
    """In a draft: without one, the library has errors or the site is refused."""
    site = tmp_path / "deep" / "site"
    vocabulary = {"areas": {area: {"title": "Area"}, "arm": {"title": "Arm"}}} if listed else {}
    exercises = {
        "arm/low": raise_arm("Arm raise, low", "high", 60, area=area),
        "arm/high": raise_arm("Arm raise", None, 70),
        "arm/bad": raise_arm("Arm raise", "nowhere", 50),
    }
    found = analysis(tmp_path / "library", exercises=exercises, vocabulary=vocabulary)
    publish(found, site, draft=True)
    assert {path.name for path in tmp_path.iterdir()} == {"library", "deep"}
    assert {path.name for path in site.parent.iterdir()} == {"site"}
    assert {path.name for path in (site / "areas").iterdir()} <= {"arm.html", "other.html"}
    assert "areas/" not in (site / "exercises" / "low.html").read_text().replace("areas/other", "")


@pytest.mark.parametrize("letters", [251, 252])
def test_an_id_too_long_for_a_page_is_told_or_left_out_of_a_draft(
    tmp_path: pathlib.Path, letters: int
) -> None:
    exercises = {f"arm/{'a' * letters}": raise_arm("Long"), "arm/low": raise_arm("Low")}
    found = analysis(tmp_path, exercises=exercises)
    assert "100 letters at most" in " ".join(one.message for one in found.findings)
    with pytest.raises(NotPublished):
        publish(found, tmp_path / "site")
    assert not (tmp_path / "site").exists()
    publish(found, tmp_path / "site", draft=True)
    assert [path.name for path in (tmp_path / "site" / "exercises").iterdir()] == ["low.html"]
