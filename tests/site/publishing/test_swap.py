"""A site is replaced as a whole or not at all."""

from __future__ import annotations

import errno
import multiprocessing
import os
import pathlib
import signal
import time

import pytest

from rungbook.site.publishing import swap
from rungbook.site.publishing.foreign import MARKER
from rungbook.site.publishing.swap import NotPublished, workplace

PAGES = 40


def write_site(folder: pathlib.Path, words: str) -> None:
    """A site of many files that all say the same, so that a mixture shows."""
    for number in range(PAGES):
        (folder / f"{number}.html").write_text(words)


def words_of(site: pathlib.Path) -> set[str]:
    return {path.read_text() for path in site.glob("*.html")}


def publish(site: pathlib.Path, words: str) -> None:
    with workplace(site) as place:
        write_site(place.new, words)
        place.swap()


def left_beside(site: pathlib.Path) -> set[str]:
    return {path.name for path in site.parent.iterdir()} - {site.name}


def test_the_first_site_and_the_next_one(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "deep" / "site"
    publish(site, "one")
    publish(site, "two")
    assert words_of(site) == {"two"}
    assert len(list(site.glob("*.html"))) == PAGES
    assert left_beside(site) == set()


def test_a_build_that_fails_leaves_the_old_site_and_nothing_beside(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "old")
    with pytest.raises(ZeroDivisionError), workplace(site) as place:
        write_site(place.new, "half")
        raise ZeroDivisionError
    assert words_of(site) == {"old"}
    assert left_beside(site) == set()


def test_without_an_exchange_call_two_renames_do(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(swap, "_exchange", lambda one, other: False)
    site = tmp_path / "site"
    publish(site, "one")
    publish(site, "two")
    assert words_of(site) == {"two"}


def test_a_run_killed_between_two_renames_is_repaired(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "old")
    site.rename(tmp_path / ".site.rungbook-old")
    with pytest.raises(ZeroDivisionError), workplace(site):
        raise ZeroDivisionError
    assert words_of(site) == {"old"}


def test_leftovers_of_a_killed_run_are_cleaned(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "old")
    write_site_at = tmp_path / ".site.rungbook-new"
    write_site_at.mkdir()
    write_site(write_site_at, "half")
    publish(site, "new")
    assert words_of(site) == {"new"}
    assert not write_site_at.exists()


def test_an_empty_folder_is_taken(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    publish(site, "one")
    assert words_of(site) == {"one"}


def test_a_folder_of_somebody_else_is_refused(tmp_path: pathlib.Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    with pytest.raises(NotPublished, match=r"no build of Rungbook made"):
        publish(tmp_path, "one")
    assert (tmp_path / "thesis.txt").read_text() == "years of work"


def test_a_refused_folder_is_left_as_it_was_with_nothing_beside_it(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "papers"
    site.mkdir()
    (site / "thesis.txt").write_text("years of work")
    for target in (site, site / "thesis.txt"):
        with pytest.raises(NotPublished):
            publish(target, "one")
    assert left_beside(site) == set()


def test_the_root_of_the_disk_is_refused_in_words() -> None:
    with pytest.raises(NotPublished, match="root of the disk"):
        publish(pathlib.Path("/"), "one")


@pytest.mark.parametrize("target", ["library", "library/exercises/site", "."])
def test_a_site_neither_lies_in_the_library_nor_holds_it(
    tmp_path: pathlib.Path, target: str
) -> None:
    library = tmp_path / "library"
    (library / "exercises").mkdir(parents=True)
    refused = pytest.raises(NotPublished, match="lies in the library, or holds it")
    with refused, workplace(tmp_path / target, apart=library):
        pass
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["exercises", "library"]


def test_a_file_in_the_place_of_the_site_is_refused(tmp_path: pathlib.Path) -> None:
    (tmp_path / "site").write_text("a file")
    with pytest.raises(NotPublished, match="is a file"):
        publish(tmp_path / "site", "one")


def test_a_link_to_the_site_stays_a_link(tmp_path: pathlib.Path) -> None:
    publish(tmp_path / "real", "one")
    (tmp_path / "site").symlink_to(tmp_path / "real")
    publish(tmp_path / "site", "two")
    assert (tmp_path / "site").is_symlink()
    assert words_of(tmp_path / "real") == {"two"}


def test_a_second_build_into_one_folder_is_turned_away(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    with workplace(site) as place:
        with pytest.raises(NotPublished, match="another build"):
            publish(site, "second")
        write_site(place.new, "first")
        place.swap()
    assert words_of(site) == {"first"}


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "no space is left"), (errno.EACCES, "permission denied")],
)
def test_no_room_and_no_permission_are_told_and_leave_the_old_site(
    tmp_path: pathlib.Path, number: int, words: str
) -> None:
    site = tmp_path / "site"
    publish(site, "old")
    with pytest.raises(NotPublished, match=words) as told, workplace(site) as place:
        write_site(place.new, "half")
        raise OSError(number, os.strerror(number), str(place.new / "a.html"))
    assert "as it was" in str(told.value)
    assert words_of(site) == {"old"}


def test_a_missing_file_of_the_program_is_a_fault_of_its_own(tmp_path: pathlib.Path) -> None:
    publish(tmp_path / "site", "old")
    with pytest.raises(FileNotFoundError), workplace(tmp_path / "site"):
        (tmp_path / "program" / "shapes" / "new.md").read_text()
    assert words_of(tmp_path / "site") == {"old"}
    assert left_beside(tmp_path / "site") == set()


def test_the_marker_says_whose_folder_it_is(tmp_path: pathlib.Path) -> None:
    publish(tmp_path / "site", "one")
    first, *made = (tmp_path / "site" / MARKER).read_text().splitlines()
    assert "Made by Rungbook" in first
    assert sorted(made) == sorted(f"{number}.html" for number in range(PAGES))


def test_what_others_put_into_the_site_is_kept_and_named(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "one")
    (site / "CNAME").write_text("clinic.example")
    (site / ".git" / "refs" / "tags").mkdir(parents=True)
    (site / ".git" / "HEAD").write_text("ref: refs/heads/pages")
    (site / ".git" / "HEAD").chmod(0o640)
    (site / "booking").symlink_to("elsewhere")
    with workplace(site) as place:
        write_site(place.new, "two")
        (place.new / "deep").mkdir()
        (place.new / "deep" / "page.html").write_text("two")
        kept = place.swap()
    assert kept == (".git", "CNAME", "booking")
    (site / "deep" / "notes.txt").write_text("mine")
    with workplace(site) as place:
        write_site(place.new, "three")
        kept = place.swap()
    assert kept == (".git", "CNAME", "booking", "deep/notes.txt")
    assert words_of(site) == {"three"}
    assert (site / "CNAME").read_text() == "clinic.example"
    assert (site / ".git" / "HEAD").stat().st_mode & 0o777 == 0o640
    assert (site / ".git" / "refs" / "tags").is_dir()
    assert os.readlink(site / "booking") == "elsewhere"
    assert not (site / "deep" / "page.html").exists()
    assert left_beside(site) == set()


def test_others_files_are_copied_where_the_disk_knows_no_links(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*places: object, **how: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    publish(tmp_path / "site", "one")
    (tmp_path / "site" / "CNAME").write_text("clinic.example")
    monkeypatch.setattr(os, "link", refused)
    publish(tmp_path / "site", "two")
    assert (tmp_path / "site" / "CNAME").read_text() == "clinic.example"


@pytest.mark.parametrize("theirs", ["new.html", "new.html/inside.txt"])
def test_a_file_of_somebody_else_is_never_replaced(tmp_path: pathlib.Path, theirs: str) -> None:
    site = tmp_path / "site"
    publish(site, "one")
    (site / theirs).parent.mkdir(exist_ok=True)
    (site / theirs).write_text("mine")
    with pytest.raises(NotPublished, match=r"no build made .*new\.html"), workplace(site) as place:
        write_site(place.new, "two")
        (place.new / "new.html").write_text("two")
        place.swap()
    assert (site / theirs).read_text() == "mine"
    assert all((site / f"{number}.html").read_text() == "one" for number in range(PAGES))


@pytest.mark.parametrize("says", ["", "\0\xff", "Made by somebody"])
def test_a_folder_whose_list_says_nothing_is_refused(tmp_path: pathlib.Path, says: str) -> None:
    site = tmp_path / "site"
    publish(site, "one")
    (site / MARKER).write_text(says)
    with pytest.raises(NotPublished, match="does not say which"):
        publish(site, "two")
    assert words_of(site) == {"one"}


def test_a_list_that_names_files_elsewhere_removes_none(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "one")
    (tmp_path / "thesis.txt").write_text("years of work")
    with (site / MARKER).open("a") as listed:
        listed.write(f"../thesis.txt\n{tmp_path}/thesis.txt\n")
    publish(site, "two")
    assert (tmp_path / "thesis.txt").read_text() == "years of work"


@pytest.mark.parametrize("mode", [0o700, 0o750, 0o755])
def test_nobody_may_look_into_the_site_who_might_not_before(
    tmp_path: pathlib.Path, mode: int
) -> None:
    site = tmp_path / "site"
    publish(site, "one")
    site.chmod(mode)
    publish(site, "two")
    assert site.stat().st_mode & 0o777 == mode


def _keep_publishing(site: str) -> None:
    for number in range(10_000):
        publish(pathlib.Path(site), f"site {number}")


@pytest.mark.parametrize("exchange", [True, False])
def test_killed_at_any_moment_a_whole_site_stands(tmp_path: pathlib.Path, exchange: bool) -> None:
    """Kill -9 at 50 moments; the next run may repair, as it may where there is no exchange."""
    site = tmp_path / "site"
    publish(site, "site 0")
    context = multiprocessing.get_context("fork")
    for moment in range(25):
        process = context.Process(target=_keep_or_rename, args=(str(site), exchange))
        process.start()
        time.sleep(0.004 + moment * 0.0013)
        assert process.pid is not None
        os.kill(process.pid, signal.SIGKILL)
        process.join()
        if not exchange:
            with workplace(site):
                pass
        found = words_of(site)
        assert len(found) == 1
        assert len(list(site.glob("*.html"))) == PAGES
        assert (site / MARKER).is_file()


def _keep_or_rename(site: str, exchange: bool) -> None:
    if not exchange:
        swap._exchange = lambda one, other: False  # type: ignore[assignment]
    _keep_publishing(site)
