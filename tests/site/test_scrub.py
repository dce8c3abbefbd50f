"""The handle on the load curve: it moves the figure, and says what the engine computed."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.patients import enter
from rungbook.drawing.motion import motion
from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.load.result import ExerciseLoad
from rungbook.model.movement import named_way
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.words import angle, moment

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

KEY = "sit-to-stand-low"
MOST_BYTES = 25_000


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def handle_of(page: Page, site: pathlib.Path, key: str = KEY) -> Locator:
    page.goto((site / "exercises" / f"{key}.html").as_uri())
    return page.get_by_role("slider", name="Posture along the movement").first


def told(load: ExerciseLoad, phase: int) -> str:
    """Angle and moment of a load at a phase, in the page's words."""
    demand = next(iter(load.demands.values()))
    turns = demand.angle_deg
    of, sign = named_way(
        demand.works.joint, demand.works.movement, float(turns.min()), float(turns.max())
    )
    below = demand.curve_nm[phase] < -0.05
    words = f"{angle(sign * turns[phase])} of {of}, {moment(demand.curve_nm[phase])}"
    return words + (" (the opposite muscles work)" if below else "")


def test_keys_move_it_and_it_says_what_the_engine_computed(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    load = demo.measured.loads[KEY]
    handle = handle_of(page, demo_site)
    assert handle.get_attribute("aria-valuetext") == told(load, 0)
    handle.focus()
    for keys, phase in (("ArrowRight", 1), ("End", 10), ("ArrowLeft", 9), ("Home", 0)):
        page.keyboard.press(keys)
        assert handle.input_value() == str(phase)
        assert handle.get_attribute("aria-valuetext") == told(load, phase)
        assert page.inner_text(".scrub-words") == told(load, phase), "seen as well as heard"


@pytest.mark.parametrize("key", [KEY, "standing-raise-stick", "supine-raise-helped"])
def test_every_posture_is_drawn_as_python_draws_it(
    page: Page, demo: Analysis, demo_site: pathlib.Path, key: str
) -> None:
    """Also where a limb passes behind another on its way."""
    drawn = motion(demo.measured.library.exercises[key], demo.measured.loads[key])
    shades = {posture.count("fig-far") for posture in drawn.postures}
    assert len(shades) == 1, "no limb changes its shade on the way"
    handle = handle_of(page, demo_site, key)
    assert page.locator(".scrub-panel svg").count() == 0
    handle.focus()
    page.keyboard.press("End")
    for phase in range(10, -1, -1):
        page.wait_for_selector(".scrub-panel svg")
        seen = page.locator(".scrub-panel path").evaluate_all(
            "(all) => all.map((one) => [one.getAttribute('class'), one.getAttribute('d')])"
        )
        wanted = re.findall(r'<path class="([^"]*)" d="([^"]*)"', drawn.postures[phase])
        assert seen == [list(one) for one in wanted], phase
        page.keyboard.press("ArrowLeft")


def test_each_curve_has_a_handle_that_names_its_muscles(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    handle_of(page, demo_site, "hinge")
    handles = page.get_by_role("slider").all()
    works = [str(action).replace("-", " ") for action in demo.measured.loads["hinge"].demands]
    assert len(handles) == len(works) == 2
    for handle, action in zip(handles, works, strict=True):
        assert handle.get_attribute("aria-label") == f"Posture along the movement, {action}"


def test_no_posture_is_loaded_before_the_handle_is_used(
    page: Page, demo_site: pathlib.Path
) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    handle = handle_of(page, demo_site)
    page.wait_for_timeout(100)
    assert not any("data/motion/" in url for url in asked)
    handle.press("ArrowRight")
    page.wait_for_selector(".scrub-panel svg")
    assert sum("data/motion/" in url for url in asked) == 1


def test_it_is_dragged_along_the_curve_and_follows_a_tap(
    page: Page, demo_site: pathlib.Path
) -> None:
    handle = handle_of(page, demo_site)
    curve = page.locator(".scrub-mark")
    curve.scroll_into_view_if_needed()
    box = curve.bounding_box()
    assert box is not None

    def at(phase: int) -> tuple[float, float]:
        return box["x"] + box["width"] * (48 + 27.4 * phase) / 340, box["y"] + box["height"] / 2

    page.mouse.move(*at(2))
    page.mouse.down()
    page.mouse.move(*at(7), steps=5)
    page.mouse.up()
    assert handle.input_value() == "7"
    page.mouse.move(*at(3))
    assert handle.input_value() == "7", "a pointer that passes by moves nothing"
    page.touchscreen.tap(*at(4))
    assert handle.input_value() == "4"


def test_it_plays_once_on_request_and_never_under_reduced_motion(
    page: Page, demo_site: pathlib.Path
) -> None:
    handle = handle_of(page, demo_site)
    play = page.get_by_role("button", name="Play once")
    play.click()
    page.wait_for_function("() => document.querySelector('.scrub-handle').value === '10'")
    page.wait_for_timeout(250)
    assert handle.input_value() == "10" and play.is_visible(), "once, to the end"
    page.emulate_media(reduced_motion="reduce")
    assert not play.is_visible()
    handle.press("Home")
    assert handle.input_value() == "0", "the handle itself still works"


def test_it_says_the_patients_moment_once_the_curve_is_the_patients(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    library = demo.measured.library
    load = compute_loads([library.exercises[KEY]], library, Person(110, 1.85, "female"))[KEY]
    handle = handle_of(page, demo_site)
    handle.press("ArrowRight")
    enter(page, mass="110", stature="1.85")
    page.wait_for_selector("svg.drawn-curve.rescaled")
    assert handle.get_attribute("aria-valuetext") == told(load, 1)
    assert told(load, 1) != told(demo.measured.loads[KEY], 1)


def test_paper_has_the_curve_without_it(page: Page, demo_site: pathlib.Path) -> None:
    handle = handle_of(page, demo_site)
    page.emulate_media(media="print")
    assert not handle.is_visible() and not page.locator(".scrub-mark").is_visible()


def test_what_moves_and_has_a_curve_has_a_handle_and_is_small(
    demo: Analysis, demo_site: pathlib.Path
) -> None:
    """A hold, and an exercise without a load, have none."""
    script = (demo_site / "scripts" / "scrub.js").stat().st_size
    with_one = {path.stem for path in (demo_site / "data" / "motion").iterdir()}
    for key, exercise in demo.measured.library.exercises.items():
        page = (demo_site / "exercises" / f"{key}.html").read_text()
        assert ('data-motion="' in page) == (key in with_one), key
        load = demo.measured.loads.get(key)
        if not exercise.movement or load is None or not load.demands:
            assert key not in with_one
        if key in with_one:
            size = (demo_site / "data" / "motion" / f"{key}.js").stat().st_size
            assert script + size < MOST_BYTES, (key, size)
    held = [key for key, one in demo.measured.library.exercises.items() if not one.movement]
    assert len(with_one) > 60 and held
