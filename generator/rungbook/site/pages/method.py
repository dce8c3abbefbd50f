"""How the numbers come about and what they are not: for a physiotherapist to follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.ladder.words import TITLES
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.words import NARROW, number, sentence

AXES = (
    (
        "demand",
        "peak moment of the working muscles, on the scale below",
        "+50 %, at least 25 % of the standard exercise's",
    ),
    ("bearing", "share of body weight through the working leg, or arm", "+30 % (arm +15 %)"),
    ("impact", "none, both feet, one foot", "one class"),
    ("range", "far end of the moving arc", "+30° (ankle, wrist, spine, rotations +15°)"),
    (
        "lengthening",
        "how far the working muscles are stretched",
        "+20° (ankle, wrist, spine, rotations +10°)",
    ),
    ("speed", "peak speed of the joint, at least 90°/s", "2 times"),
    (
        "stability",
        "lying or steadied by the hands, two feet, narrow base, one leg, one leg on an unstable "
        "surface",
        "one class",
    ),
    ("volume", "time under tension per week", "1.5 times"),
    ("changes", "kinds of change that grow at once: load, motion, position, dose", "2"),
    ("elsewhere", "largest rise at another joint or hand; reported as a note", "1.5 times"),
)  # fmt: skip

SOURCES = (
    "de Leva P. Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. "
    "Journal of Biomechanics 29(9):1223-1230, 1996. Masses, centres of mass, radii of gyration.",
    "Dempster WT, as tabulated by Winter DA. Biomechanics and Motor Control of Human Movement. "
    "The alternative body table.",
    "Drillis R, Contini R. Body Segment Parameters. New York University, Technical Report "
    "1166-03, 1966. Lengths as fractions of stature.",
    "Wu G and others. ISB recommendation on definitions of joint coordinate systems, parts I and "
    "II. Journal of Biomechanics 35(4):543-548, 2002, and 38(5):981-992, 2005. Order of the axes.",
    "American Academy of Orthopaedic Surgeons. Joint Motion: Method of Measuring and Recording. "
    "1965. Usual ranges of motion.",
    "Limits of a step, shares felt by hand: common practice, no source.",
)


@dataclass(frozen=True, slots=True)
class Method:
    """The library's own settings, as far as the page quotes them."""

    mass: str
    stature: str
    body: str
    axes: tuple[tuple[str, str, str], ...]
    limits: tuple[tuple[str, str], ...]  # the library's own limits, where it sets any
    sources: tuple[str, ...]


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The method page."""
    settings = catalogue.library.settings
    yield Page(
        path="method.html",
        kind="method",
        title="Method and limits",
        description="How the loads and steps are computed, and what they do not say.",
        model=Method(
            mass=f"{number(settings.person.mass, 1)}{NARROW}kg",
            stature=f"{number(settings.person.stature, 2)}{NARROW}m",
            body=settings.person.body,
            axes=tuple((sentence(TITLES[axis]), measure, limit) for axis, measure, limit in AXES),
            limits=tuple(
                (TITLES.get(axis, axis), limit if isinstance(limit, str) else number(limit, 2))
                for axis, limit in sorted(settings.limits.items())
            ),
            sources=SOURCES,
        ),
    )
