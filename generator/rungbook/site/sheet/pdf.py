"""A sheet as PDF, printed by a Chromium that is on the computer; nothing else is asked to."""

from __future__ import annotations

import os
import pathlib
import tempfile

from rungbook.reading.programs import ProgramFailed, environment, find_program, output_of

# Browsers of one family, which take the same arguments.
BROWSERS = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge",
)  # fmt: skip
_SECONDS = 60.0


class NoPdf(Exception):
    """No PDF could be made; the message says why and what to do."""


def find_browser() -> pathlib.Path | None:
    """The first of the browsers on the PATH."""
    return next((found for name in BROWSERS if (found := find_program(name))), None)


def pdf_of(html: str) -> bytes:
    """The pages that a browser prints of a sheet's document.

    Raises:
        NoPdf: there is no such browser, or it made none.
    """
    browser = find_browser()
    if browser is None:
        raise NoPdf(
            f"no program that prints to PDF is on the PATH ({', '.join(BROWSERS)}): "
            "write the HTML and print that"
        )
    with tempfile.TemporaryDirectory() as folder:
        place = pathlib.Path(folder)
        source, made = place / "sheet.html", place / "sheet.pdf"
        source.write_text(html, encoding="utf-8")
        arguments = [
            "--headless", "--disable-gpu", "--no-first-run", "--disable-extensions",
            "--disable-background-networking", "--no-pdf-header-footer",
            f"--user-data-dir={place / 'profile'}", f"--print-to-pdf={made}", source.as_uri(),
        ]  # fmt: skip
        if getattr(os, "geteuid", lambda: 1)() == 0:
            arguments.insert(0, "--no-sandbox")  # its sandbox refuses to run for root
        try:
            with output_of(
                browser, arguments, seconds=_SECONDS, folder=place, variables=environment()
            ) as said:
                said.read()
            return made.read_bytes()
        except (ProgramFailed, OSError) as error:
            raise NoPdf(f"{browser.name} made no PDF: {error}") from None
