"""A library that builds on another: what it has of it, and what it never gets at."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterator

import pytest

from builders.based import CLINIC, NATIONAL, side_by_side, write
from rungbook.reading.bases import list_whole, name_bases
from rungbook.reading.folder import NoLibrary
from rungbook.reading.read import read_library
from rungbook.site.pages.pictures import picture_path

MINE = "[exercises/calf/middle.md]\ntitle: Ours\nvariation-of: low\n"


@pytest.fixture(autouse=True)
def nothing_named() -> Iterator[None]:
    name_bases(())
    yield
    name_bases(())


def test_everything_of_the_base_is_there_and_says_where_it_comes_from(
    tmp_path: pathlib.Path,
) -> None:
    library = read_library(side_by_side(tmp_path))
    assert list(library.exercises) == ["high", "low", "middle"] and list(library.ladders) == [
        "calf"
    ]
    assert library.findings == ()
    low = library.exercises["low"]
    assert low.place("dose", "reps").file == "../national/exercises/calf/low.md"
    assert library.origin(low.file) == "National library"
    assert library.origin("exercises/calf/own.md") == ""


def test_a_file_of_the_same_id_replaces_the_base_s_and_its_variations_follow(
    tmp_path: pathlib.Path,
) -> None:
    library = read_library(side_by_side(tmp_path, CLINIC + MINE))
    assert library.exercises["middle"].title == "Ours"
    assert library.origin(library.exercises["middle"].file) == ""
    assert library.exercises["high"].variation_of == "middle"
    assert list(library.replaced) == ["../national/exercises/calf/middle.md"]


def test_settings_and_words_are_laid_on_those_of_the_base(tmp_path: pathlib.Path) -> None:
    library = read_library(side_by_side(tmp_path))
    assert (library.settings.person.mass, library.settings.person.stature) == (80.0, 1.6)
    assert library.settings.limits == {"demand": 1.5, "volume": 2}
    assert library.settings.site.url is None  # the address is that of the other site
    assert list(library.vocabulary.equipment) == ["counter", "rail"]
    places = library.vocabulary.places["equipment"]
    assert places.place(("counter",)).file == "../national/vocabulary/equipment.yml"
    assert places.place(("rail",)).file == "vocabulary/equipment.yml"


def test_pictures_of_both_are_found_the_own_one_first(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path)
    for folder, names in ((clinic, ["a.jpg"]), (tmp_path / "national", ["a.jpg", "b.jpg"])):
        (folder / "pictures").mkdir()
        for name in names:
            (folder / "pictures" / name).write_bytes(b"x")
    folders = read_library(clinic).folders
    assert picture_path(folders, "a.jpg") == (clinic / "pictures" / "a.jpg").resolve()
    found = picture_path(folders, "b.jpg")
    assert found == (tmp_path / "national" / "pictures" / "b.jpg").resolve()
    assert picture_path(folders, "../library.yml") is None


def test_what_is_left_out_is_gone_with_the_ways_to_it_and_still_varied(
    tmp_path: pathlib.Path,
) -> None:
    clinic = side_by_side(tmp_path, CLINIC.replace("person", "without: [middle]\nperson"))
    library = read_library(clinic)
    assert list(library.exercises) == ["high", "low"] and library.findings == ()
    assert library.exercises["high"].dose == library.exercises["low"].dose


def test_a_ladder_whose_goal_is_left_out_says_so(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path, CLINIC.replace("person", "without: [high]\nperson"))
    told = [(one.check, one.place.file, one.message) for one in read_library(clinic).findings]
    message = "'high' is left out by 'without' in library.yml: name another, or take it back"
    assert ("unknown-reference", "../national/ladders/calf.md", message) in told


def test_a_base_may_have_a_base(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path)
    write(tmp_path / "ward", "[library.yml]\nextends: ../clinic\n" + MINE)
    library = read_library(tmp_path / "ward")
    assert [one.way for one in library.bases] == ["../clinic", "../national"]
    assert library.exercises["low"].file == "../national/exercises/calf/low.md"
    assert library.exercises["middle"].title == "Ours"
    assert library.settings.person.mass == 80.0 and library.settings.person.stature == 1.6
    assert read_library(clinic).exercises["middle"].title == "Middle"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("extends: .", "the library extends itself"),
        ("extends: ../clinic", "the library extends itself"),
        ("extends: ..", "lies in this library or around it"),
        ("extends: exercise-base", "lies in this library or around it"),
        ("extends: ../nowhere", "there is no folder ../nowhere in the repository"),
        ("extends: /etc", "is no way to a folder beside this one"),
        ("extends: 'C:\\national'", "is no way to a folder beside this one"),
        ("extends: ~/national", "is no way to a folder beside this one"),
        ("extends: ../.git", "may be called '.git'"),
        ("extends: ../pictures", "may be called 'pictures'"),
        ("extends: ../../elsewhere", "there is no folder ../../elsewhere in the repository"),
        ("extends: ../linked", "there is no folder ../linked in the repository"),
        ("extends: ../empty", "it has no library.yml"),
        ("extends: ../round", "in a circle (clinic → round → clinic)"),
    ],
)
def test_what_is_no_base_is_refused_by_name(tmp_path: pathlib.Path, line: str, told: str) -> None:
    repository = tmp_path / "repository"
    clinic = side_by_side(repository, f"[library.yml]\nname: Clinic\n{line}\n")
    write(tmp_path / "elsewhere", NATIONAL)
    write(clinic / "exercise-base", NATIONAL)
    write(repository / "round", "[library.yml]\nextends: ../clinic\n")
    (repository / "empty").mkdir()
    (repository / "linked").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(NoLibrary, match=r"^library\.yml:\d+:10: "):
        read_library(clinic)
    listing = list_whole(clinic)
    assert listing.fault is not None and told in listing.fault.message
    assert (listing.exercises, listing.findings) == ([], [listing.fault])


def test_outside_the_repository_a_base_counts_where_the_command_names_it(
    tmp_path: pathlib.Path,
) -> None:
    repository = tmp_path / "repository"
    clinic = side_by_side(repository, CLINIC.replace("../national", "../../far/national"))
    far = write(tmp_path / "far" / "national", NATIONAL)
    with pytest.raises(NoLibrary, match="--base DIR where 'national' lies"):
        read_library(clinic)
    name_bases([far])
    assert "low" in read_library(clinic).exercises
    moved = far.rename(tmp_path / "national")
    name_bases([tmp_path / "repository" / "clinic"])  # another one
    with pytest.raises(NoLibrary):
        read_library(clinic)
    name_bases([moved])  # it lies elsewhere on this machine
    assert read_library(clinic).exercises["low"].file.startswith("../../far/national/")


def test_without_a_repository_nothing_beside_counts(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path)
    (tmp_path / ".git").rmdir()
    if any((above / ".git").exists() for above in tmp_path.parents):
        pytest.skip("the temporary folder lies in a repository")
    with pytest.raises(NoLibrary, match="there is no folder"):
        read_library(clinic)


def test_a_link_in_the_base_that_leads_out_of_it_is_not_followed(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path)
    secret = tmp_path / "secret.md"
    secret.write_text("---\ntitle: Secret\n---\n")
    os.symlink(secret, tmp_path / "national" / "exercises" / "calf" / "secret.md")
    os.symlink(secret, clinic / "mine.md")
    assert "secret" not in read_library(clinic).exercises
    assert all(one.stem != "secret" for one in list_whole(clinic).exercises)


@pytest.mark.parametrize(
    ("without", "mine", "told"),
    [
        ("[midle]", "", "../national has no 'midle' to leave out: did you mean 'middle'?"),
        ("[middle]", MINE, "'middle' has a file of your own, which replaces the base's"),
    ],
)
def test_leaving_out_what_is_not_there_is_a_finding(
    tmp_path: pathlib.Path, without: str, mine: str, told: str
) -> None:
    written = CLINIC.replace("person", f"without: {without}\nperson") + mine
    (finding,) = read_library(side_by_side(tmp_path, written)).findings
    assert told in finding.message and str(finding.place) == "library.yml:2:11"


@pytest.mark.parametrize(("language", "told"), [("de", 1), ("en", 0), ("en-GB", 0)])
def test_a_base_in_another_language_does_not_pass_for_one_s_own(
    tmp_path: pathlib.Path, language: str, told: int
) -> None:
    written = CLINIC.replace("person", f"language: {language}\nperson")
    findings = read_library(side_by_side(tmp_path, written)).findings
    assert len(findings) == told
    for one in findings:
        assert "the words of the base ../national are in 'en'" in one.message
        assert str(one.place) == "library.yml:2:11"


def test_leaving_out_needs_a_base(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path, "[library.yml]\nwithout: [low]\n" + MINE)
    told = [one.message for one in read_library(clinic).findings]
    assert "there is no base to leave anything out of: add 'extends', or remove this" in told
