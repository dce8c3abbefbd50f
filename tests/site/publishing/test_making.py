"""A site made by several processes is the site made by one."""

from __future__ import annotations

import sys

import pytest

from builders.sites import analysis, raise_arm
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.render import whole_page
from rungbook.site.publishing.making import made_site
from rungbook.site.publishing.tasks import processes


@pytest.fixture(scope="module")
def ladder(tmp_path_factory: pytest.TempPathFactory) -> Analysis:
    ids = [f"raise-{number:02}" for number in range(12)]
    exercises = {
        f"arm/{key}": raise_arm(f"Arm raise {key}", following, 30 + 5 * number)
        for number, (key, following) in enumerate(zip(ids, [*ids[1:], None], strict=True))
    }
    ladders = {"arm": {"title": "Arm", "works": "shoulder flexion", "goal": ids[-1]}}
    return analysis(tmp_path_factory.mktemp("ladder"), exercises=exercises, ladders=ladders)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="processes are forked on Linux")
def test_one_process_and_three_make_the_same_files(ladder: Analysis) -> None:
    one = made_site(Catalogue(ladder), whole_page, workers=1)
    three = made_site(Catalogue(ladder), whole_page, workers=3)
    assert [made.html for made in one.pages] == [made.html for made in three.pages]
    assert one.files == three.files
    assert sum(made.page.kind == "exercise" for made in one.pages) == 12


def test_every_file_is_made_once(ladder: Analysis) -> None:
    made = made_site(Catalogue(ladder), whole_page)
    paths = [item.page.path for item in made.pages] + [path for path, _ in made.files]
    assert len(paths) == len(set(paths))
    assert not any(path.startswith("/") or ".." in path for path in paths)


def test_a_small_library_is_not_worth_a_process() -> None:
    assert processes(0) == processes(59) == 1


def test_a_fault_in_a_process_is_not_swallowed(ladder: Analysis) -> None:
    def broken(page: object, catalogue: Catalogue) -> str:
        raise ZeroDivisionError("broken frame")

    with pytest.raises(ZeroDivisionError, match="broken frame"):
        made_site(Catalogue(ladder), broken, workers=2)
