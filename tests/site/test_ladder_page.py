"""The ladder page's rows and the scale over them."""

from __future__ import annotations

import re
from typing import Any

from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.ladder import pages
from rungbook.site.pages.page import Later


def model(demo: Analysis, id: str) -> Any:
    page = next(page for page in pages(Catalogue(demo)) if page.path == f"ladders/{id}.html")
    return page.model.make() if isinstance(page.model, Later) else page.model


def test_the_scale_of_small_loads_has_decimals(demo: Analysis) -> None:
    axis = str(model(demo, "elbow-tendon").axis)
    loads = re.findall(r'class="[^"]*chart-load"[^>]*>([^<]+)<', axis)
    assert loads[0] == "0" and len(set(loads)) == len(loads), loads


def test_a_ladder_without_loads_has_no_scale(demo: Analysis) -> None:
    found = model(demo, "standing-balance")
    assert not found.scaled
    assert [row.demand for row in found.rows] == [""] * len(found.rows)
