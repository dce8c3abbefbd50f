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
from rungbook.site.publishing.swap import MARKER, NotPublished, Workplace

PAGES = 40


def write_site(folder: pathlib.Path, words: str) -> None:
    """A site of many files that all say the same, so that a mixture shows."""
    for number in range(PAGES):
        (folder / f"{number}.html").write_text(words)


def words_of(site: pathlib.Path) -> set[str]:
    return {path.read_text() for path in site.glob("*.html")}


def publish(site: pathlib.Path, words: str) -> None:
    with Workplace(site) as place:
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
    assert left_beside(site) <= {".site.rungbook-lock"}


def test_a_build_that_fails_leaves_the_old_site_and_nothing_beside(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(site, "old")
    with pytest.raises(ZeroDivisionError), Workplace(site) as place:
        write_site(place.new, "half")
        raise ZeroDivisionError
    assert words_of(site) == {"old"}
    assert left_beside(site) <= {".site.rungbook-lock"}


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
    with pytest.raises(ZeroDivisionError), Workplace(site):
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
    with Workplace(site) as place:
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
    with pytest.raises(NotPublished, match=words) as told, Workplace(site) as place:
        write_site(place.new, "half")
        raise OSError(number, os.strerror(number), str(place.new / "a.html"))
    assert "as it was" in str(told.value)
    assert words_of(site) == {"old"}


def test_the_marker_says_whose_folder_it_is(tmp_path: pathlib.Path) -> None:
    publish(tmp_path / "site", "one")
    assert "replaces everything" in (tmp_path / "site" / MARKER).read_text()


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
            with Workplace(site):
                pass
        found = words_of(site)
        assert len(found) == 1
        assert len(list(site.glob("*.html"))) == PAGES
        assert (site / MARKER).is_file()


def _keep_or_rename(site: str, exchange: bool) -> None:
    if not exchange:
        swap._exchange = lambda one, other: False  # type: ignore[assignment]
    _keep_publishing(site)
