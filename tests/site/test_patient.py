"""`For this patient`: what it changes on a page, what it refuses, and that it can be cleared."""

from __future__ import annotations

import datetime
import pathlib
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from builders.patients import enter, typed
from rungbook.ladder.easier import easier
from rungbook.ladder.measure import measure
from rungbook.ladder.words import size_text
from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.step_words import step_words
from rungbook.site.pages.words import angle, moment, number, percent, spaced, times

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ONE_LEG = "exercises/heel-raise-one-leg.html"


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context()
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def _go(page: Page, site: pathlib.Path, name: str, fragment: str = "", **patient: Any) -> None:
    """Open a page and enter a patient there, if one is given."""
    page.goto((site / name).as_uri() + (f"#{fragment}" if fragment else ""))
    page.wait_for_selector("[data-patient] details")
    if patient:
        enter(page, **patient)


def _person(mass: float, stature: float) -> Person:
    return Person(mass, stature, "female")


def test_the_headline_and_the_comparisons_follow(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, _person(52, 1.60))
    _go(page, demo_site, ONE_LEG, mass="52", stature="1.60")
    page.wait_for_selector(".load-number.rescaled")
    here = loads["heel-raise-one-leg"].demand_nm
    assert page.inner_text(".load-number") == moment(here)
    for item in page.locator("[data-ratio]").all():
        one, other = (item.get_attribute("data-ratio") or "").split()
        ratio = loads[one].demand_nm / loads[other].demand_nm
        as_times = item.get_attribute("data-form") == "times"
        assert item.inner_text() == (times(ratio) if as_times else f"{number(ratio, 2)} ×")
    assert page.locator("[data-person]").inner_text().startswith("52")


def test_the_curve_is_the_engines(page: Page, demo: Analysis, demo_site: pathlib.Path) -> None:
    """Every point of the drawn line, read back from its pixels."""
    library = demo.measured.library
    load = compute_loads(library.exercises.values(), library, _person(110, 1.85))[
        "heel-raise-one-leg"
    ]
    _go(page, demo_site, ONE_LEG, mass="110", stature="1.85")
    page.wait_for_selector("svg.rescaled[data-works]")
    drawn = page.evaluate(
        """() => { const svg = document.querySelector("[data-load-of] svg[data-works]");
          const top = Math.max(...[...svg.querySelectorAll(".curve-tick")].map((t) => Number(t.textContent)));
          const [zero, high] = ["data-zero", "data-top"].map((name) => Number(svg.getAttribute(name)));
          return svg.querySelector(".curve-line").getAttribute("points").split(" ")
            .map((pair) => (zero - Number(pair.split(",")[1])) * top / (zero - high)); }"""
    )
    curve = next(iter(load.demands.values())).curve_nm
    assert drawn == pytest.approx(curve.tolist(), abs=curve.max() / 250)


@pytest.mark.parametrize("key", ["calf-loading", "hip-replacement"])
def test_every_rung_and_step_of_a_ladder_follows(
    page: Page, demo: Analysis, demo_site: pathlib.Path, key: str
) -> None:
    """Loads and step sizes of the rows are those of the engine.

    The loads are about what the ladder works: rungs of the hip's also work the knee.
    """
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, _person(52, 1.60))
    measured = measure(library, loads)
    ladder = measured.ladders[key]
    demands = {rung: measured.demand_on(key, rung) or 0.0 for rung in ladder.rungs}
    _go(page, demo_site, f"ladders/{key}.html", mass="52", stature="1.60")
    page.wait_for_selector(".rung [data-peak].rescaled", state="attached")
    cells = page.locator(".rung [data-peak]").all()
    assert len(cells) == len(ladder.rungs)
    for cell in cells:
        assert cell.text_content() == moment(demands[cell.get_attribute("data-peak") or ""])
    accepted = Catalogue(demo).accepted_steps
    words = {
        f"{step.from_id} {step.to_id}": step_words(
            step, accepted=(step.from_id, step.to_id) in accepted
        ).verdict
        for step in ladder.steps
    }
    shown = 0
    for line in page.locator("[data-step]").all():
        told = line.locator(".step-verdict").inner_text()
        assert told == words[line.get_attribute("data-step") or ""]
        shown += 1
    assert shown == len(words)


def test_maps_show_the_patients_loads(page: Page, demo: Analysis, demo_site: pathlib.Path) -> None:
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, _person(52, 1.60))
    _go(page, demo_site, ONE_LEG, mass="52", stature="1.60")
    page.wait_for_selector("svg.drawn-map.rescaled")
    words = page.locator("svg.drawn-map").first.text_content() or ""
    assert f"{loads['heel-raise-one-leg'].demand_nm:.3g} N·m" in words
    assert f"{demo.measured.loads['heel-raise-one-leg'].demand_nm:.3g} N·m" not in words
    neighbour = loads["heel-raise-one-leg-weight"].demand_nm
    assert f"{neighbour:.3g} N·m" in words, "the nodes around it have their loads too"


def test_a_measured_maximum_shows_shares_of_it(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Force times distance: 500 N at 0.3 m is 150 N·m."""
    _go(page, demo_site, ONE_LEG)
    page.get_by_text("For this patient").first.click()
    page.get_by_text("Measured maximum").first.click()
    page.select_option("#capacity-action", "ankle plantarflexion")
    page.fill("#capacity-force", "500")
    page.fill("#capacity-distance", "0.3")
    page.press("#capacity-distance", "Tab")
    page.wait_for_selector(".of-maximum")
    peak = demo.measured.loads["heel-raise-one-leg"].demand_nm
    assert percent(peak / 150) in page.inner_text(".of-maximum")
    assert "left maximum" in page.inner_text(".of-maximum")
    assert page.input_value("#capacity-force") == "500"


def test_a_tolerated_arc_limits_the_peak(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    load = demo.measured.loads["heel-raise-one-leg"]
    demand = next(iter(load.demands.values()))
    low, high = sorted((float(demand.angle_deg[0]), float(demand.angle_deg[-1])))
    middle, end = (low + high) / 2, high
    _go(page, demo_site, ONE_LEG, arc=("ankle plantarflexion", f"{middle:.3f}", f"{end:.3f}"))
    page.wait_for_selector(".load-number.rescaled")
    inside = [
        m for a, m in zip(demand.angle_deg, demand.curve_nm, strict=True) if a >= middle - 1e-9
    ]
    assert page.inner_text(".load-number") == moment(float(max(inside)))
    assert float(page.locator(".curve-tolerated").get_attribute("width") or 0) > 20


def test_an_arc_that_the_movement_never_enters_gives_no_number(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, ONE_LEG, arc=("ankle plantarflexion", "60", "70"))
    page.wait_for_selector("text=no part of this movement lies between 60° and 70°")


@pytest.mark.parametrize(
    ("field", "words", "message"),
    [
        ("#patient-mass", "0", "A body mass from 20 to 350 kg."),
        ("#patient-mass", "heavy", "A number of kilograms, such as 70."),
        ("#patient-mass", "1e3", "A number of kilograms"),
        ("#patient-stature", "17.2", "A stature from 0.90 to 2.50 m. Is 1.72 meant?"),
        ("#patient-stature", "tall", "A number of metres, such as 1.70."),
    ],
)
def test_a_bad_number_gets_a_message_and_the_last_good_one_stays(
    page: Page, demo_site: pathlib.Path, field: str, words: str, message: str
) -> None:
    _go(page, demo_site, ONE_LEG, mass="52", stature="1.60")
    page.wait_for_selector(".load-number.rescaled")
    good = page.inner_text(".load-number")
    typed(page, field, words)
    page.wait_for_selector(f"text={message}")
    assert page.get_attribute(field, "aria-invalid") == "true"
    assert page.inner_text(".load-number") == good
    assert page.inner_text(".patient-now").startswith("52\u202fkg · 1.6\u202fm")


def test_a_maximum_below_the_lightest_exercise_is_questioned(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, ONE_LEG)
    page.get_by_text("For this patient").first.click()
    page.get_by_text("Measured maximum").first.click()
    page.select_option("#capacity-action", "ankle plantarflexion")
    page.fill("#capacity-moment", "2")
    page.press("#capacity-moment", "Tab")
    page.wait_for_selector("text=is below the lightest exercise here")
    assert page.locator(".of-maximum").count() == 0


def test_centimetres_and_commas_are_understood(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, ONE_LEG)
    page.get_by_text("For this patient").first.click()
    page.fill("#patient-stature", "163")
    page.press("#patient-stature", "Tab")
    page.fill("#patient-mass", "52,5")
    page.press("#patient-mass", "Tab")
    page.wait_for_function(
        "document.querySelector('.patient-now').textContent.startsWith('52.5\\u202fkg · 1.63\\u202fm')"
    )


def test_one_button_clears_everything(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, ONE_LEG, "sheet=heel-raise-one-leg~left")
    before = page.inner_text(".exercise-load .load-headline")
    enter(page, mass="110", maximum=("ankle plantarflexion", "left", "150"))
    page.wait_for_selector(".load-number.rescaled")
    page.get_by_role("button", name="Clear the patient").click()
    page.wait_for_selector(".load-number:not(.rescaled)")
    assert page.inner_text(".exercise-load .load-headline") == before
    assert "sheet=" in page.url, "the sheet is not the patient's numbers"
    assert page.locator(".rescaled").count() == 0
    page.locator(".neighbour a").first.click()
    page.wait_for_selector("[data-patient] details")
    assert "the reference" in page.inner_text(".patient-now")


def test_the_notes_carry_the_patients_numbers(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """One button copies a line with date, side, dose, and the load for this patient alone."""
    context = browser.new_context(permissions=["clipboard-read", "clipboard-write"])
    page = context.new_page()
    _go(page, demo_site, ONE_LEG, mass="52", stature="1.6")
    page.get_by_role("button", name="Copy the line for the notes").click()
    page.wait_for_selector("text=Which side? Choose it first.")
    page.select_option("#prescribe-side", "left")
    page.get_by_role("button", name="Copy the line for the notes").click()
    page.wait_for_selector("text=The line is copied")
    line = page.evaluate("navigator.clipboard.readText()")
    assert line.startswith(
        f"{datetime.date.today().isoformat()} Heel raise, one leg | left | 3 × 12, "
    )
    assert line.endswith(" N·m (52 kg, 1.6 m)") and "ankle plantarflexion" in line
    assert len(line) <= 300
    assert "\n" not in line
    context.close()


def test_answers_of_the_finder_follow(page: Page, demo: Analysis, demo_site: pathlib.Path) -> None:
    """Ratio and load of every option are those of the engine for this person."""
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, _person(52, 1.60))
    measured = measure(library, loads)
    options = easier(measured, "heel-raise-one-leg").options
    expected = {one.exercise.id: one for one in options}
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg", mass="52", stature="1.60")
    page.wait_for_selector(".option .rescaled")
    page.wait_for_timeout(300)
    seen = 0
    for item in page.locator(".option").all():
        option = expected.get(item.get_attribute("data-option") or "")
        if option is None or option.demand_nm is None:
            continue
        seen += 1
        assert item.locator("[data-peak]").inner_text() == moment(option.demand_nm)
        ratio = item.locator("[data-ratio]").inner_text().split()[0]
        assert option.ratio is not None
        assert float(ratio) == pytest.approx(option.ratio, abs=0.0501)
    assert seen > 2


def test_the_table_of_joints_follows_and_comes_back(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Rows, order and numbers are those of the engine for this person."""
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, _person(110, 1.85))
    _go(page, demo_site, ONE_LEG)
    before = page.text_content("[data-joints]")
    _go(page, demo_site, ONE_LEG, mass="110", stature="1.85")
    page.wait_for_selector("[data-joints].rescaled", state="attached")
    shown = page.evaluate(
        "[...document.querySelectorAll('[data-joints] tr')]"
        ".map((row) => [...row.children].map((cell) => cell.textContent))"
    )
    peaks = {
        n: float(abs(c.moment_nm).max()) for n, c in loads["heel-raise-one-leg"].joints.items()
    }
    joints = loads["heel-raise-one-leg"].joints
    assert sorted(shown) == sorted(
        [
            spaced(name),
            moment(peak),
            f"{angle(float(joints[name].angle_deg[0]))} to {angle(float(joints[name].angle_deg[-1]))}",
        ]
        for name, peak in peaks.items()
        if peak >= 0.5
    )
    assert shown[0][1] == moment(max(peaks.values()))
    page.get_by_role("button", name="Clear the patient").click()
    page.wait_for_selector("[data-joints]:not(.rescaled)", state="attached")
    assert page.text_content("[data-joints]") == before


def test_words_that_do_not_follow_say_whose_they_are(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, ONE_LEG, mass="52")
    page.wait_for_selector("[data-reference].rescaled", state="attached")
    for words in page.locator("[data-reference]").all():
        assert (words.text_content() or "").lstrip().startswith("These words are for the reference")


def test_the_angle_of_the_peak_follows_an_arc(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, ONE_LEG, arc=("ankle plantarflexion", "12", "24"))
    page.wait_for_selector("[data-peak-at].rescaled")
    assert page.inner_text("[data-peak-at]") == "12°"
    assert "not only the arc" in (page.text_content("[data-joints]") or "")


CHARTS = """() => [...document.querySelectorAll(".rung-chart [class^=chart-]")].map((part) =>
  [part.getAttribute("class"), ...["x", "x1", "x2", "cx", "width"].map((name) =>
    part.hasAttribute(name) ? parseFloat(part.getAttribute(name)).toFixed(1) : ""), part.textContent])"""


@pytest.mark.parametrize("key", ["calf-loading", "sit-to-one-leg"])
def test_charts_redrawn_for_the_reference_person_are_the_drawn_ones(
    page: Page, demo: Analysis, demo_site: pathlib.Path, key: str
) -> None:
    """Scale, dots, bands and loads: the browser's rules are those of the drawing."""
    _go(page, demo_site, f"ladders/{key}.html")
    drawn = page.evaluate(CHARTS)
    assert len(drawn) > 60
    person = demo.measured.library.settings.person
    enter(page, mass=f"{person.mass:g}", stature=f"{person.stature:g}")
    page.wait_for_selector("svg.rung-chart.rescaled", state="attached")
    assert page.evaluate(CHARTS) == drawn


def test_steps_and_hatching_of_the_rungs_follow(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """For a light person a fixed weight is a larger step: row and chart say so."""
    library = demo.measured.library
    person = Person(30, 1.30, "female")
    ladder = measure(library, compute_loads(library.exercises.values(), library, person)).ladders[
        "calf-loading"
    ]
    large = [step for step in ladder.steps if step.size > 1 + 1e-6]
    assert large
    _go(page, demo_site, "ladders/calf-loading.html", mass="30", stature="1.3")
    page.wait_for_selector("svg.rung-chart.rescaled", state="attached")
    for step in large:
        row = page.locator(f'[data-step="{step.from_id} {step.to_id}"]')
        assert f"{size_text(step.size)} steps" in (row.text_content() or "")


def test_an_age_turns_the_load_into_a_share_of_strength(
    page: Page, demo_site: pathlib.Path
) -> None:
    """Typed as a clinician does; nobody's age shows every group of the table."""
    _go(page, demo_site, "exercises/knee-straighten-cuff.html")
    shown = page.locator("[data-strength]").first
    assert "at 18 to 25 years" in shown.inner_text() and "over 65 years" in shown.inner_text()
    page.locator("[data-patient] summary").first.press("Enter")
    age = page.get_by_label("Age, years")
    assert age.get_attribute("autocomplete") == "off"
    age.press_sequentially("72")
    age.press("Tab")
    page.wait_for_selector("[data-strength].rescaled")
    text = shown.inner_text()
    assert re.search(r"About \d+.% of an average woman over 65, most at \d+° of knee flexion", text)
    assert "At some angles of the movement no curve is published." in text
    assert "72 years" in page.inner_text(".patient-now")
    page.get_by_role("button", name="Clear the patient").press("Enter")
    page.wait_for_function("!document.querySelector('[data-strength].rescaled')")
    assert age.input_value() == ""


@pytest.mark.parametrize(
    ("typed", "said"),
    [("200", "An age from 1 to 120 years."), ("old", "A number of years, such as 70.")],
)
def test_an_age_that_nobody_has_is_refused_by_its_field(
    page: Page, demo_site: pathlib.Path, typed: str, said: str
) -> None:
    _go(page, demo_site, "exercises/knee-straighten-cuff.html")
    page.locator("[data-patient] summary").first.press("Enter")
    age = page.get_by_label("Age, years")
    age.press_sequentially(typed)
    age.press("Tab")
    assert page.locator("#patient-age-error").inner_text() == said
    assert age.get_attribute("aria-invalid") == "true"
    assert page.locator("[data-strength].rescaled").count() == 0


def test_a_maximum_with_its_angle_scales_the_curve_on_the_page(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, "exercises/knee-straighten-cuff.html")
    page.locator("[data-patient] summary").first.press("Enter")
    page.locator("[data-patient] summary", has_text="Measured maximum").press("Enter")
    page.locator("#capacity-action").select_option("knee extension")
    angle = page.get_by_label("at, ° of flexion")
    angle.press_sequentially("60")
    page.locator("#capacity-moment").press_sequentially("60")
    page.locator("#capacity-moment").press("Tab")
    page.wait_for_selector("[data-strength].rescaled")
    assert "of this patient's maximum" in page.locator("[data-strength]").first.inner_text()


def test_where_no_curve_is_published_the_page_says_so(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "exercises/standing-raise.html")
    enter(page, age="40")
    page.wait_for_selector("[data-strength].rescaled")
    assert (
        page.locator("[data-strength]")
        .first.inner_text()
        .startswith("No published curve for these muscles")
    )


def test_other_joints_that_work_hard_stand_on_the_page(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "exercises/press-floor.html")
    rows = " ".join(page.locator("[data-hard] th").all_inner_texts())
    assert "shoulder" in rows and "lumbar" in rows
