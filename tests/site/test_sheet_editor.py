"""Putting a sheet together by hand: keys, presses, taps, paste; what an address brings is checked."""

from __future__ import annotations

import pathlib
import time
from collections.abc import Iterator
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.dose_record import dose_record

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route

BOTH, ONE = "heel-raise-both-legs", "heel-raise-one-leg"
FIELDS = ("Sets", "Repetitions", "Hold, s", "Duration, s", "Up, s", "Pause, s", "Down, s", "Rest, s",
          "Sessions a week", "Effort of 10")  # fmt: skip


@pytest.fixture(scope="module")
def context_pages(browser: Browser) -> Iterator[dict[str, Page]]:
    """A desk with mouse and keys, and a phone."""
    desk = browser.new_context(viewport={"width": 1280, "height": 900})
    phone = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    desk.grant_permissions(["clipboard-read", "clipboard-write"])
    made = {"desk": desk.new_page(), "phone": phone.new_page()}
    for one in made.values():
        one.set_default_timeout(8_000)
        one.on("pageerror", lambda error: _troubles.append(str(error)))
    yield made
    desk.close()
    phone.close()


_troubles: list[str] = []


@pytest.fixture(autouse=True)
def no_script_fails() -> Iterator[None]:
    """Raised in the browser's own loop a failure would end the connection: it is kept until after."""
    _troubles.clear()
    yield
    assert _troubles == []


@pytest.fixture
def page(context_pages: dict[str, Page]) -> Page:
    return context_pages["desk"]


@pytest.fixture
def phone(context_pages: dict[str, Page]) -> Page:
    return context_pages["phone"]


def _until(page: Page, expression: str, arg: object = None) -> None:
    """Waits until it holds; polled from here, since the page's policy forbids evaluating text."""
    end = time.monotonic() + 5
    while not page.evaluate(expression, arg):
        assert time.monotonic() < end, expression
        page.wait_for_timeout(20)


def _open(page: Page, site: pathlib.Path, *items: str, fold: bool = True) -> None:
    page.goto("about:blank")
    page.goto((site / "sheet.html").as_uri() + "#" + "&".join(f"sheet={one}" for one in items))
    page.wait_for_selector("#sheet-chosen .chosen" if items else "#sheet-form:not([hidden])")
    if fold and items:
        page.locator(".dose-edit summary").first.click()


def _focused(page: Page) -> str:
    """The label of what has the focus."""
    return page.evaluate(
        "document.activeElement.labels?.[0]?.textContent || document.activeElement.textContent.slice(0, 40)"
    )


def _values(page: Page) -> dict[str, str]:
    return page.evaluate(
        "Object.fromEntries([...document.querySelectorAll('.chosen:first-child .dose-field input')]"
        ".map((input) => [input.labels[0].textContent, input.value]))"
    )


def _dose(page: Page) -> str:
    return page.locator(".sheet-dose").first.inner_text()


def test_a_dose_is_typed_from_field_to_field(page: Page, demo_site: pathlib.Path) -> None:
    """Sets, Tab, repetitions, Tab … the cursor is always where it was put."""
    _open(page, demo_site, BOTH)
    page.get_by_label("Sets").focus()
    page.keyboard.press("Control+A")
    typed = ("2", "8", "", "", "3", "1", "4", "90", "5", "4-6")
    for label, words in zip(FIELDS, typed, strict=True):
        assert _focused(page) == label
        page.keyboard.type(words, delay=5) if words else page.keyboard.press("Delete")
        page.keyboard.press("Tab")
    page.locator(".sheet-numerals", has_text="2 × 8").first.wait_for()
    assert _values(page) == dict(zip(FIELDS, typed, strict=True))
    for part in ("3 seconds", "4 seconds", "1 minute 30 seconds"):
        assert part in _dose(page)


def test_typing_goes_on_while_the_sheet_is_being_made(page: Page, demo_site: pathlib.Path) -> None:
    """As fast as keys can be pressed, with nothing in between."""
    _open(page, demo_site, BOTH, ONE + "~left")
    page.get_by_label("Sets").first.click(click_count=3)
    for key in ("2", "Tab", "8", "-", "1", "0", "Tab"):
        page.keyboard.press(key)
    page.locator(".sheet-numerals", has_text="2 × 8").first.wait_for()
    assert _values(page)["Repetitions"] == "8-10" and _focused(page) == "Hold, s"


@pytest.mark.parametrize("way", ["press", "tap"])
def test_a_press_into_the_next_field_lands_there(
    page: Page, phone: Page, demo_site: pathlib.Path, way: str
) -> None:
    """The rest does not land in the duration, with a message appearing in between or not."""
    here = page if way == "press" else phone
    _open(here, demo_site, BOTH)
    go = (lambda label: here.get_by_label(label).click(click_count=3)) if way == "press" else (
        lambda label: here.get_by_label(label).tap())  # fmt: skip
    for label, words, stays in (
        ("Sets", "0", False),
        ("Rest, s", "60", True),
        ("Repetitions", "12", True),
    ):
        go(label)
        assert _focused(here) == label
        here.keyboard.press("Control+A")
        here.keyboard.type(words)
        assert _values(here)[label] == words or not stays
    go("Up, s")
    values = _values(here)
    assert (values["Sets"], values["Rest, s"], values["Repetitions"], values["Duration, s"]) == (
        "0",
        "60",
        "12",
        "",
    )
    assert (
        here.locator("#dose-0-sets-error, [id$=sets-error]").first.inner_text() == "From 1 to 100."
    )


def test_a_press_on_a_button_counts_though_a_field_was_in_use(
    page: Page, demo_site: pathlib.Path
) -> None:
    """The first press, not the second: what a change moves does not move away under the finger."""
    _open(page, demo_site, BOTH, ONE)
    page.get_by_label("Sets").first.click(click_count=3)
    page.keyboard.type("100")
    page.locator(".chosen").nth(1).get_by_label("Left").click()
    _until(page, "location.hash.includes('~left')")
    assert page.locator(".chosen").nth(1).get_by_label("Left").is_checked()
    assert "sets:100" in page.url


def test_pasted_numbers_count(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, BOTH)
    page.evaluate("navigator.clipboard.writeText(' 8–10 ')")
    page.get_by_label("Repetitions").click(click_count=3)
    page.keyboard.press("Control+V")
    page.keyboard.press("Tab")
    page.locator(".sheet-numerals", has_text="8\N{EN DASH}10").first.wait_for()
    assert _focused(page) == "Hold, s"


def test_whatever_is_done_can_be_undone(page: Page, demo_site: pathlib.Path) -> None:
    """By one button, last first; the side is kept; going back does the same."""
    _open(page, demo_site, f"{ONE}~left", BOTH)
    first = page.url
    undo = page.get_by_role("button", name="Undo")
    assert undo.is_disabled()
    page.get_by_label("Sets").first.click(click_count=3)
    page.keyboard.type("2")
    page.keyboard.press("Tab")
    _until(page, "location.hash.includes('sets:2')")
    page.get_by_label("Right").first.check()
    page.get_by_role("button", name="Later: Heel raise, one leg").click()
    page.get_by_role("button", name="Take off: Heel raise, one leg").click()
    _until(page, "document.querySelectorAll('.chosen').length === 1")
    assert "Heel raise, one leg" in page.locator("#sheet-undo-what").inner_text()
    undo.click()
    _until(page, "document.querySelectorAll('.chosen').length === 2")
    assert page.locator(".chosen").nth(1).get_by_label("Right").is_checked(), "the side is kept"
    assert page.get_by_label("Sets").nth(1).input_value() == "2"
    page.go_back()
    _until(page, "document.querySelector('.chosen h2').textContent.includes('one leg')")
    undo.click()
    _until(page, "location.hash.includes('~left')")
    undo.click()
    _until(page, "!location.hash.includes('sets:2')")
    _until(page, "document.getElementById('sheet-undo').disabled")
    assert page.url == first
    assert page.get_by_label("Sets").first.input_value() != "2", "the field says so too"
    page.get_by_role("button", name="Redo").click()
    _until(page, "location.hash.includes('sets:2')")
    page.locator("h1").first.click()
    page.keyboard.press("Control+Z")
    _until(page, "!location.hash.includes('sets:2')")
    page.keyboard.press("Control+Shift+Z")
    _until(page, "location.hash.includes('sets:2')")
    page.reload()
    _until(page, "document.querySelectorAll('.chosen').length === 2")
    assert page.get_by_label("Sets").first.input_value() == "2", "and after a reload"


def test_taking_off_keeps_the_focus_at_hand(page: Page, demo_site: pathlib.Path) -> None:
    """On the next exercise, on the one before it, in the end where one is added."""
    _open(page, demo_site, BOTH, f"{ONE}~left", fold=False)
    page.get_by_role("button", name="Take off: Heel raise, both legs").focus()
    page.keyboard.press("Enter")
    _until(page, "document.querySelectorAll('.chosen').length === 1")
    assert (
        page.evaluate("document.activeElement.getAttribute('aria-label')")
        == "Take off: Heel raise, one leg"
    )
    page.keyboard.press("Enter")
    _until(page, "document.querySelectorAll('.chosen').length === 0")
    assert page.evaluate("document.activeElement.id") == "sheet-add"


def test_moving_keeps_the_focus_and_the_open_folds(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, BOTH, f"{ONE}~left")
    page.get_by_role("button", name="Later: Heel raise, both legs").focus()
    page.keyboard.press("Enter")
    _until(page, "document.querySelector('.chosen h2').textContent.includes('one leg')")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").endswith("both legs")
    assert page.locator(".chosen").nth(1).locator(".dose-edit[open]").count() == 1


@pytest.mark.parametrize(
    ("field", "words", "asked"),
    [("Sets", "100", "100 sets"), ("Repetitions", "1515", "1515"), ("Sessions a week", "34", "34"),
     ("Rest, s", "9999", "9999"), ("Hold, s", "4000", "4000")],
)  # fmt: skip
def test_a_dose_that_is_hardly_meant_is_asked_about(
    page: Page, demo_site: pathlib.Path, field: str, words: str, asked: str
) -> None:
    _open(page, demo_site, BOTH)
    page.get_by_label(field).click(click_count=3)
    page.keyboard.type(words)
    page.keyboard.press("Tab")
    question = page.locator(".dose-question")
    question.first.wait_for()
    assert asked in question.first.inner_text()
    assert (
        page.locator(".patient-sheet").count() == 0 and page.locator("#sheet-print").is_disabled()
    )
    while question.count():
        before = question.count()
        question.first.get_by_role("button", name="Yes").click()
        _until(page, "(n) => document.querySelectorAll('.dose-question').length < n", before)
    page.locator(".patient-sheet").wait_for()


def test_the_answer_no_takes_the_number_back(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, BOTH)
    before = _values(page)["Sets"]
    page.get_by_label("Sets").click(click_count=3)
    page.keyboard.type("100")
    page.keyboard.press("Tab")
    page.locator(".dose-question").first.get_by_role("button", name=f"No: {before}").click()
    page.locator(".patient-sheet").wait_for()
    assert _values(page)["Sets"] == before and "sets" not in page.url


def test_an_answer_is_not_part_of_an_address(page: Page, demo_site: pathlib.Path) -> None:
    """Whoever opens a link is asked again: it may carry any dose."""
    _open(page, demo_site, f"{BOTH}~~sets:100,reps:9999", fold=False)
    question = page.locator(".dose-question")
    question.first.wait_for()
    while question.count():
        before = question.count()
        question.first.get_by_role("button", name="Yes").click()
        _until(page, "(n) => document.querySelectorAll('.dose-question').length < n", before)
    page.locator(".patient-sheet").wait_for()
    address = page.url
    page.goto("about:blank")
    page.goto(address)
    question.first.wait_for()
    assert page.locator(".patient-sheet").count() == 0


def test_no_address_answers_for_the_reader_or_writes_in_her_name(
    page: Page, demo_site: pathlib.Path
) -> None:
    """A link that brings its own yes, a line or an order is asked like any other, and prints none."""
    page.goto("about:blank")
    own = f"sheet={BOTH}~~sets:100&sure={BOTH}~sets:100&line={BOTH}+0+Do+more&order=Run+at+once"
    page.goto((demo_site / "sheet.html").as_uri() + "#" + own)
    page.locator(".dose-question").first.wait_for()
    page.get_by_role("button", name="No: 3").click()
    page.locator(".patient-sheet").wait_for()
    words = page.locator(".patient-sheet").inner_text()
    assert "Do more" not in words and "Run at once" not in words
    assert not {"sure", "line", "order"} & set(page.url.replace("=", "&").split("&"))


def test_an_order_stands_on_page_one_and_in_no_address(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, BOTH, fold=False)
    page.get_by_label("An order that comes first").click()
    page.keyboard.type("No weight on the right leg until 14 January")
    page.keyboard.press("Tab")
    page.locator(".sheet-order", has_text="until 14 January").wait_for()
    assert "January" not in page.url


def test_another_dose_than_the_reviewed_one_says_so(page: Page, demo_site: pathlib.Path) -> None:
    """On the card and on the paper; one press brings the reviewed one back."""
    _open(page, demo_site, f"{BOTH}~~sets:2", fold=False)
    foot = page.locator(".sheet-foot")
    foot.wait_for()
    assert "another dose than the reviewed one: Heel raise, both legs" in foot.inner_text()
    page.get_by_role("button", name="Back to the reviewed dose").click()
    _until(page, "!location.hash.includes('sets')")
    _until(page, "!document.querySelector('.sheet-foot').textContent.includes('another dose')")
    assert page.get_by_role("button", name="Back to the reviewed dose").count() == 0


@pytest.mark.parametrize(
    ("item", "named"),
    [
        (f"{BOTH}~~constructor:5", "constructor:5"), (f"{BOTH}~~__proto__:5", "__proto__:5"),
        (f"{BOTH}~~toString:1", "toString:1"), (f"{BOTH}~~sets:abc", "sets:abc"),
        (f"{BOTH}~~sets:0", "sets:0"), (f"{BOTH}~~reps:12-8", "reps:12-8"), (f"{BOTH}~~sets:1e3", "sets:1e3"),
        (f"{BOTH}~~sets", "sets"), (f"{ONE}~sideways", "sideways"), (f"{ONE}~left~~more", "more"),
        (f"{ONE}~left~sets:2~more", "more"), (f"{BOTH}~left", "left"), (f"{ONE}~left~sets:-2", "sets:-2"),
    ],
)  # fmt: skip
def test_what_an_address_says_beside_the_point_is_named_and_not_printed(
    page: Page, demo_site: pathlib.Path, item: str, named: str
) -> None:
    _open(page, demo_site, item, fold=False)
    trouble = page.locator(".chosen .field-error", has_text=f"“{named}”")
    trouble.wait_for()
    assert page.locator(".patient-sheet").count() == 0
    page.get_by_role("button", name="Leave that out").click()
    _until(page, "!document.querySelector('.chosen .not-read:not([hidden])')")
    if ONE in item and "left" not in item:
        page.get_by_label("Left").check()
    page.locator(".patient-sheet").wait_for()
    assert named not in page.url or named == "left"


def test_an_edit_keeps_what_could_not_be_read_in_sight(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, f"{BOTH}~~sets:abc")
    page.get_by_label("Repetitions").click(click_count=3)
    page.keyboard.type("9")
    page.keyboard.press("Tab")
    _until(page, "location.hash.includes('reps:9')")
    assert page.locator(".not-read", has_text="“sets:abc”").count() == 1


def test_more_exercises_than_a_sheet_takes_are_counted(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, *[BOTH] * 400, fold=False)
    assert page.locator(".chosen").count() == 30
    assert "370 more" in page.locator("#sheet-status").inner_text()
    assert page.locator(".patient-sheet").count() == 0
    page.get_by_role("button", name="Leave out the rest").click()
    page.locator(".patient-sheet").wait_for()


def test_a_language_that_is_not_there_leaves_the_cards(page: Page, demo_site: pathlib.Path) -> None:
    page.goto("about:blank")
    page.goto((demo_site / "sheet.html").as_uri() + f"#sheet={BOTH}&language=xx")
    page.locator("#sheet-status", has_text="There is no sheet in “xx”").wait_for()
    assert page.locator(".chosen").count() == 1 and page.locator("#sheet-print").is_disabled()
    page.locator("#sheet-language").select_option("de")
    page.locator(".patient-sheet[lang=de]").wait_for()


def test_no_dose_of_the_demo_is_asked_about(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Else the questions would be noise; a library's own dose is never asked about anyway."""
    _open(page, demo_site)
    doses = [dose_record(one.dose) for one in demo.measured.library.exercises.values()]
    asked = page.evaluate(
        "(doses) => doses.flatMap((dose) => rungbook.doseInput.questions(dose || {}, null).map((one) => one.words))",
        doses,
    )
    assert asked == []


WEIGHTED, SEATED, CARRIED = "hinge-four-kilos", "sit-to-stand", "supine-raise-therapist"


def _type(page: Page, label: str, words: str) -> None:
    page.get_by_label(label).first.click(click_count=3)
    page.keyboard.type(words)
    page.keyboard.press("Tab")


def test_a_weight_changes_every_place_that_says_it(page: Page, demo_site: pathlib.Path) -> None:
    """Title, numerals, how much, week, diary, figure, foot: the old number is nowhere."""
    _open(page, demo_site, WEIGHTED)
    _type(page, "Weight on each side, kg", "3,5")
    page.locator(".sheet-numerals", has_text="3.5 kg + 3.5 kg").wait_for()
    sheet = page.locator(".patient-sheet")
    words = " ".join(sheet.text_content().split())
    assert "2 kg" not in words and words.count("3.5 kg") >= 8
    assert "another dose than the reviewed one: Hip hinge standing, 3.5 kg in each hand" in words
    assert "weight:3.5" in page.url
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Undo").click()
    page.locator(".sheet-numerals", has_text="2 kg + 2 kg").wait_for()
    _type(page, "Weight on each side, kg", "20")
    assert "20 kg: is that meant?" in page.locator(".dose-question").first.inner_text()
    page.get_by_role("button", name="No: 2").click()
    page.locator(".patient-sheet").wait_for()
    _type(page, "Weight on each side, kg", "")
    page.get_by_label("Weight on each side, kg").click(click_count=3)
    page.keyboard.press("Delete")
    page.keyboard.press("Tab")
    page.locator(".field-error", has_text="A number is needed.").wait_for()


def test_height_and_arc_are_set_for_the_patient(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, SEATED)
    _type(page, "Seat height, cm", "55")
    page.locator(".sheet-dose", has_text="Height of the seat: 55 cm.").wait_for()
    page.get_by_label("How far").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.locator(
        ".sheet-words", has_text="Go only about two thirds of the way, even where"
    ).wait_for()
    assert _focused(page) == "How far" and "arc:66" in page.url


def test_an_edited_hold_is_what_the_words_say(page: Page, demo_site: pathlib.Path) -> None:
    _open(page, demo_site, "calf-stretch-wall~left")
    _type(page, "Hold, s", "45")
    page.locator(".sheet-words", has_text="Stay for 45 seconds.").wait_for()
    assert "30 s" not in page.locator(".patient-sheet").inner_text()


def test_a_line_of_ones_own_is_printed_and_stays_in_the_tab(
    page: Page, demo_site: pathlib.Path
) -> None:
    """It comes back with what was taken off, and is in no address."""
    _open(page, demo_site, BOTH, f"{ONE}~left", fold=False)
    page.get_by_label("A line of your own").first.click()
    page.keyboard.type("Hold on to the blue chair.")
    page.keyboard.press("Tab")
    page.locator(".sheet-own", has_text="blue chair").wait_for()
    assert "blue" not in page.url
    page.get_by_role("button", name="Take off: Heel raise, both legs").click()
    _until(page, "document.querySelectorAll('.sheet-own').length === 0")
    page.get_by_role("button", name="Undo").click()
    page.locator(".sheet-own", has_text="blue chair").wait_for()
    assert page.evaluate("JSON.stringify([localStorage, sessionStorage])") == "[{},{}]"


def test_what_a_therapist_carries_is_for_the_clinic_alone(
    page: Page, demo_site: pathlib.Path
) -> None:
    _open(page, demo_site, f"{CARRIED}~left", BOTH, fold=False)
    page.locator(".patient-sheet").wait_for()
    assert page.locator(".sheet-exercise").count() == 1
    assert "1 of 2 are on the sheet" in page.locator("#sheet-status").inner_text()
    page.get_by_label("For", exact=True).select_option("clinic")
    _until(page, "document.querySelectorAll('.sheet-exercise').length === 2")
    assert page.locator(".patient-sheet h1").inner_text() == "Your exercises in the clinic"
    page.go_back()
    _until(page, "document.querySelectorAll('.sheet-exercise').length === 1")


def test_a_language_is_offered_where_every_word_is_there(
    page: Page, demo_site: pathlib.Path
) -> None:
    _open(page, demo_site, BOTH, fold=False)
    page.get_by_label("Language").select_option("de")
    page.locator(".patient-sheet[lang=de]").wait_for()
    assert "Fersenheben, beide Beine" in page.locator(".sheet-exercise h2").inner_text()
    _open(page, demo_site, BOTH, SEATED, fold=False)
    page.locator(".patient-sheet[lang=en]").wait_for()
    german = page.locator("#sheet-language option[value=de]")
    assert german.is_disabled() and "not for 1 of 2" in german.inner_text()
    page.goto("about:blank")
    page.goto((demo_site / "sheet.html").as_uri() + f"#sheet={BOTH}&sheet={SEATED}&language=de")
    status = page.locator("#sheet-status", has_text="No sheet in Deutsch: these words are missing.")
    status.wait_for()
    assert "Standing up from a chair: title (de)" in status.inner_text()
    assert page.locator(".patient-sheet").count() == 0


@pytest.mark.parametrize("item", [f"{BOTH}~~weight:5", f"{ONE}~left~height:40", f"{WEIGHTED}~~arc:40", f"{WEIGHTED}~~weight:"])  # fmt: skip
def test_what_an_exercise_does_not_have_is_not_set(
    page: Page, demo_site: pathlib.Path, item: str
) -> None:
    _open(page, demo_site, item, fold=False)
    page.locator(".not-read:not([hidden])").wait_for()
    assert page.locator(".patient-sheet").count() == 0
    page.get_by_role("button", name="Leave that out").click()
    page.locator(".patient-sheet").wait_for()


def test_the_link_for_a_patient_shows_the_exercises_and_nobody(
    page: Page, phone: Page, demo_site: pathlib.Path
) -> None:
    """Copied from a website; opened on a phone: no editor, the sheet, the way to the movement."""

    def answer(route: Route) -> None:
        route.fulfill(path=demo_site / urlsplit(route.request.url).path.lstrip("/"))

    for one in (page, phone):
        one.context.route("http://clinic.example/**", answer)
    page.goto(f"http://clinic.example/sheet.html#sheet={ONE}~left~sets:2&large=1")
    page.locator(".patient-sheet").wait_for()
    page.get_by_label("A line of your own").click()
    page.keyboard.type("Only you")
    page.get_by_role("button", name="Copy the link for the patient").focus()
    page.keyboard.press("Enter")
    page.locator("#sheet-status", has_text="The link is copied").wait_for()
    link = (
        page.evaluate("document.querySelector('.copy-area')?.value || ''")
        or f"{page.url}&view=patient"
    )
    assert "Only" not in link and link.endswith("&view=patient")
    phone.goto(link)
    phone.locator(".patient-sheet").wait_for()
    assert phone.locator("#sheet-builder").is_hidden()
    assert "2 sets of 12" in phone.locator(".sheet-dose").inner_text()
    way = phone.get_by_role("link", name="See the movement")
    assert way.get_attribute("href").split("#")[0] == f"exercises/{ONE}.html"
    phone.goto("about:blank")
    phone.goto(f"http://clinic.example/sheet.html#sheet={ONE}~left~sets:100&view=patient")
    phone.get_by_text("These exercises cannot be shown here.").wait_for()
    for one in (page, phone):
        one.context.unroute("http://clinic.example/**")
