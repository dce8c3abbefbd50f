"""The sheet builder in the browser: the same sheet as the command's, and nothing kept or sent."""

from __future__ import annotations

import dataclasses
import datetime
import itertools
import pathlib
import random
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.model.exercise import Dose
from rungbook.model.set_up import TIMES, fill, set_up
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.dose_record import dose_record
from rungbook.site.sheet.choosing import Chosen
from rungbook.site.sheet.messages import messages
from rungbook.site.sheet.patient_dose import dose_lines, dose_numerals, patient_numbers
from rungbook.site.sheet.sheet import missing_part, sheet_part
from rungbook.site.sheet.sheet_document import sheet_document

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

TODAY = datetime.date.today()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page in a context of its own, which complains about any error in it."""
    context = browser.new_context()
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def _go(page: Page, site: pathlib.Path, name: str, fragment: str = "") -> None:
    page.goto((site / name).as_uri() + (f"#{fragment}" if fragment else ""))


def _words(page: Page) -> str:
    """The sheet's words, figures left out (their titles are for screens)."""
    text = page.evaluate(
        """() => { const copy = document.querySelector(".patient-sheet").cloneNode(true);
          copy.querySelectorAll("svg").forEach((svg) => svg.remove());
          return copy.textContent; }"""
    )
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("language", ["en", "de"])
def test_browser_and_command_write_the_same_sheet(
    page: Page, demo: Analysis, demo_site: pathlib.Path, language: str
) -> None:
    """Word for word, for every exercise of the demo, in both languages."""
    exercises = demo.measured.library.exercises.values()
    sides = itertools.cycle(("left", "right", "both"))
    chosen = [
        Chosen(one.id, next(sides) if one.sides == "one" else None)  # type: ignore[arg-type]
        for one in exercises
        if one.may_go_on_a_sheet and not one.needs_a_therapist
        if not missing_part(demo.measured, one, messages(language))
    ]
    assert len(chosen) > 15
    command = page.context.new_page()
    for first in range(0, len(chosen), 30):  # as many as one sheet takes
        some = chosen[first : first + 30]
        items = [f"sheet={one.id}~{one.side}" if one.side else f"sheet={one.id}" for one in some]
        _go(page, demo_site, "sheet.html", "&".join([*items, f"language={language}", "weeks=3"]))
        page.reload()
        page.wait_for_selector(".patient-sheet")
        command.set_content(sheet_document(demo.measured, some, messages(language), TODAY, weeks=3))
        assert _words(page) == _words(command)


@pytest.mark.parametrize(("share", "shown"), [(100, [0, 50, 100]), (75, [0, 50]), (33, [0])])
def test_who_goes_half_the_way_is_shown_no_more(
    page: Page, demo: Analysis, demo_site: pathlib.Path, share: int, shown: list[int]
) -> None:
    """In the browser and from the command; 0 is the start, 100 the end."""
    exercise = demo.measured.library.exercises["standing-raise"]
    own = dataclasses.replace(set_up(exercise), share=share)
    chosen = [Chosen(exercise.id, "left", set_up=own)]
    command = page.context.new_page()
    command.set_content(sheet_document(demo.measured, chosen, messages("en"), TODAY, weeks=3))
    set_to = f"~arc:{share}" if share < 100 else ""
    _go(page, demo_site, "sheet.html", f"sheet={exercise.id}~left{set_to}&weeks=3")
    page.wait_for_selector(".patient-sheet")
    for sheet in (page, command):
        panels = sheet.locator(".sheet-figure [data-to]")
        found = [int(one.get_attribute("data-to") or "") for one in panels.all()]
        assert [found[0], found[-1]] == [shown[0], shown[-1]] and len(found) == len(shown)


def test_doses_read_the_same_in_both_programs(page: Page, demo_site: pathlib.Path) -> None:
    """Random doses within the schema, both languages, every field."""
    dice = random.Random(3)
    doses = []
    for _ in range(300):
        low = dice.randint(1, 20)
        written: dict[str, Any] = {
            "sets": dice.choice((1, 3, 5, "2-3")), "reps": dice.choice((low, f"{low}-{low + 4}")),
            "hold": f"{dice.choice((1, 5, 7.5, 60, 75, 90, 150, '10-30', '45-120', '60-120'))} s",
            "duration": dice.choice(("5 min", "5-10 min")),
            "up": "1.5 s", "pause": "1 s", "down": "3 s", "rest": f"{dice.choice((60, 95))} s",
            "sessions": dice.choice(("1 per week", "3 per week", "1 per day", "2 per day", "2.5 per week",
                                     "2-3 per week", "1-2 per day")),
            "effort": dice.choice(("3 of 10", "4-6 of 10", "2.5-4 of 10")),
        }  # fmt: skip
        kept = dice.sample(sorted(written), dice.randint(0, len(written)))
        doses.append(Dose.model_validate({key: written[key] for key in kept}))
    _go(page, demo_site, "sheet.html")
    for language in ("en", "de"):
        shown = page.evaluate(
            """async ([language, doses]) => {
              const say = rungbook.messages(await rungbook.load("words/" + language));
              return doses.map((dose) => [rungbook.doseNumerals(dose, say), ...rungbook.doseLines(dose, say)]); }""",
            [language, [dose_record(dose) for dose in doses]],
        )
        say = messages(language)
        for dose, lines in zip(doses, shown, strict=True):
            assert tuple(lines) == (dose_numerals(dose, say), *dose_lines(dose, say))


def test_the_line_for_the_notes_says_what_was_chosen_and_no_more(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """At most 300 characters for every exercise; the patient's own figures or none."""
    _go(page, demo_site, "sheet.html")
    lines = page.evaluate(
        """async (ids) => {
          const say = rungbook.messages(await rungbook.load("words/en"));
          const made = [];
          for (const id of ids) {
            const record = await rungbook.load("sheet/" + id);
            made.push(rungbook.prescriptionLine(record, record.oneSided ? "left" : "", record.dose,
              "a line of her own. ".repeat(20), [{ works: "knee extension", peak: 48.6, capacity: 0.42 }],
              "52 kg", "2026-05-01", say));
          }
          return made; }""",
        list(demo.measured.library.exercises),
    )
    for line in lines:
        assert len(line) <= 300, line
        assert not re.search(r"at home|diary|Go on|Back off|70 kg", line, re.IGNORECASE), line
    page.goto("about:blank")
    _go(page, demo_site, "sheet.html", "sheet=heel-raise-one-leg-weight~left~sets:2,weight:12.5")
    page.wait_for_selector(".patient-sheet")
    line = page.evaluate("rungbook.prescriptionLines(rungbook.sheetState.chosen())")[0]
    assert line.split(" | ")[1:] == [
        "left",
        "2 \N{MULTIPLICATION SIGN} 8-10, 12.5 kg, up 2 s, pause 1 s, down 3 s, rest 120 s, 3 per week, "
        "effort 7-8 of 10",
    ]
    page.evaluate("rungbook.state.set({ mass: '52', stature: '1.60' })")
    line = page.evaluate("rungbook.prescriptionLines(rungbook.sheetState.chosen())")[0]
    assert re.search(r"\| ankle plantarflexion \d+ N·m \(52 kg, 1\.6 m\)$", line), line


def test_no_sheet_without_a_side(page: Page, demo_site: pathlib.Path) -> None:
    """A one-sided exercise asks left, right or both; until then there is nothing to print."""
    _go(page, demo_site, "sheet.html", "sheet=heel-raise-one-leg")
    page.wait_for_selector("text=Needed: choose left, right or both.")
    assert page.locator(".patient-sheet").count() == 0
    assert page.locator("#sheet-print").is_disabled()
    page.get_by_label("Right", exact=True).check()
    page.wait_for_selector(".patient-sheet")
    assert "RIGHT side" in page.locator(".sheet-side").inner_text()
    assert "heel-raise-one-leg~right" in page.url


def test_the_figure_is_of_the_side_concerned(page: Page, demo_site: pathlib.Path) -> None:
    """Left and right are mirror images: the same figure is never shown for both."""
    shown = {}
    for side in ("left", "right"):
        _go(page, demo_site, "sheet.html", f"sheet=heel-raise-one-leg~{side}")
        page.reload()
        page.wait_for_selector(".patient-sheet svg")
        shown[side] = page.locator(".sheet-figure svg").first.inner_html()
    assert "left side" in shown["left"] and "right side" in shown["right"]
    assert shown["left"].count("<path") == shown["right"].count("<path")
    assert shown["left"] != shown["right"]


def test_a_dose_is_edited_within_the_schema(page: Page, demo_site: pathlib.Path) -> None:
    """A bad number gets a message by its field, and the sheet keeps the last good one."""
    _go(page, demo_site, "sheet.html", "sheet=heel-raise-both-legs")
    page.get_by_text("Edit the dose", exact=True).click()
    sets = page.get_by_label("Sets")
    sets.fill("2")
    sets.press("Tab")
    page.wait_for_selector("text=2 sets of 15 repetitions each.")
    assert "sets:2" in page.url
    for wrong, message in (
        ("0", "From 1 to 100."),
        ("two", "is not a number"),
        ("1.5", "whole number"),
    ):
        sets = page.get_by_label("Sets")
        sets.fill(wrong)
        sets.press("Tab")
        page.wait_for_selector(f"text={message}")
        assert page.locator("text=2 sets of 15 repetitions each.").count() == 1
    reps = page.get_by_label("Repetitions")
    reps.fill("8-10")
    reps.press("Tab")
    page.wait_for_selector("text=2 sets of 8 to 10 repetitions each.")


def test_a_colleague_opens_the_same_sheet_from_the_address(
    browser: Browser, page: Page, demo_site: pathlib.Path
) -> None:
    fragment = "sheet=heel-raise-one-leg~left~sets:2,reps:8-10&sheet=heel-raise-both-legs&large=1"
    _go(page, demo_site, "sheet.html", fragment)
    page.wait_for_selector(".patient-sheet")
    mine = _words(page)
    other = browser.new_context().new_page()
    other.goto(page.url)
    other.wait_for_selector(".patient-sheet")
    assert _words(other) == mine
    assert other.locator(".patient-sheet[data-large]").count() == 1
    other.context.close()


def test_an_exercise_goes_on_the_sheet_from_its_own_page(
    page: Page, demo_site: pathlib.Path
) -> None:
    """The choice goes along with the links, and every link says how many there are."""
    _go(page, demo_site, "exercises/heel-raise-one-leg.html")
    page.get_by_role("button", name="Left", exact=True).click()
    page.get_by_role("link", name="Sheet (1)").first.click()
    page.wait_for_selector(".patient-sheet")
    assert "LEFT side" in page.locator(".sheet-side").inner_text()


def test_an_overdue_review_is_printed(page: Page, demo_site: pathlib.Path) -> None:
    """The browser's clock decides, so that the same site stays right."""
    page.clock.install(time=datetime.datetime(2040, 1, 1))
    _go(page, demo_site, "sheet.html", "sheet=heel-raise-both-legs")
    page.wait_for_selector(".sheet-overdue")
    assert "Review overdue: Heel raise, both legs." in page.locator(".sheet-overdue").inner_text()


def test_an_unknown_exercise_in_an_address_is_said(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "sheet.html", "sheet=no-such-thing&sheet=heel-raise-both-legs")
    page.wait_for_selector("text=No exercise is called “no-such-thing”: take it off.")
    assert page.locator(".patient-sheet").count() == 0
    page.get_by_role("button", name="Take off: no-such-thing").click()
    page.wait_for_selector(".patient-sheet")


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_number_in_the_words_is_the_doses(demo: Analysis, language: str) -> None:
    """Over the whole demo: no number but those of dose and set-up stands in the words printed.

    Each dose is changed first, so that a number that was written by hand would not fit it.
    """
    say, checked = messages(language), 0
    counted = re.compile(r"(\d+(?:[.,]\d+)?) (?:seconds?|minutes?|Sekunden?|Minuten?|kg|cm)")
    for one in demo.measured.library.exercises.values():
        if one.dose is None or missing_part(demo.measured, one, say) or not one.may_go_on_a_sheet:
            continue
        times = {key: value + 7 for key in TIMES if (value := getattr(one.dose, key))}
        dose = Dose.model_construct(**{**dict(one.dose), **times})
        own = set_up(one)
        if own.weight_kg:
            own = dataclasses.replace(own, weight_kg=own.weight_kg + 0.25)
        numbers = patient_numbers(dose, own, say)
        for words in sheet_part(demo.measured, one, say, "p.html").words:
            text = fill(words.html, numbers)
            assert "{{" not in text
            for number in counted.findall(text):
                checked += 1
                assert any(number in known for known in numbers.values()), (one.id, number, text)
            spelled = r"\b(one|two|three|ten|eine|zwei|drei) (second|minute|Sekunde|Minute)"
            assert not re.search(spelled, text), (one.id, text)
    assert checked > (60 if language == "en" else 15)
