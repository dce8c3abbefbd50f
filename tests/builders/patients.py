"""A patient entered on a page as a clinician does: by opening the fold and typing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

Arc = tuple[str, str, str]  # action, from, to
Maximum = tuple[str, str, str]  # action, side, N·m


def enter(
    page: Page, mass: str = "", stature: str = "", body: str = "", *, age: str = "",
    arc: Arc | None = None, maximum: Maximum | None = None,
) -> None:  # fmt: skip
    """Type what is given into the panel of the page that is open."""
    _open(page, "[data-patient] details")
    for field, words in (
        ("#patient-mass", mass),
        ("#patient-stature", stature),
        ("#patient-age", age),
    ):
        if words:
            typed(page, field, words)
    if body:
        page.select_option("#patient-body", body)
    if maximum:
        _open(page, "[data-patient] .patient-more:has(#capacity-moment)")
        page.select_option("#capacity-action", maximum[0])
        page.select_option("#capacity-side", maximum[1])
        typed(page, "#capacity-moment", maximum[2])
    if arc:
        _open(page, "[data-patient] .patient-more:has(#arc-from)")
        page.select_option("#arc-action", arc[0])
        typed(page, "#arc-from", arc[1])
        typed(page, "#arc-to", arc[2])


def typed(page: Page, field: str, words: str) -> None:
    """Press in a field, write over what stands there, go on by Tab."""
    page.click(field)
    page.keyboard.press("Control+A")
    page.keyboard.type(words)
    page.keyboard.press("Tab")


def _open(page: Page, fold: str) -> None:
    place = page.locator(fold).first
    place.wait_for(state="attached")
    if place.get_attribute("open") is None:
        place.locator("summary").first.click()
