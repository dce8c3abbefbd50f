"""Build the site beside its place and swap it in at the end."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.relief import Relief
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Page
from rungbook.site.pages.pictures import picture_names
from rungbook.site.pages.render import whole_page
from rungbook.site.publishing.folder import SiteFolder
from rungbook.site.publishing.inside import unsafe
from rungbook.site.publishing.kept import write_worker
from rungbook.site.publishing.swap import NotPublished, workplace
from rungbook.site.publishing.writing import write_site

__all__ = ["NotPublished", "Published", "publish"]


@dataclass(frozen=True, slots=True)
class Published:
    """What a build made."""

    site_dir: pathlib.Path
    exercises: int
    ladders: int
    warnings: tuple[str, ...] = ()


def publish(
    analysis: Analysis,
    site_dir: pathlib.Path,
    draft: bool = False,
    progress: Callable[[str], None] | None = None,
    relief: bool = False,
    workers: int | None = None,
) -> Published:
    """Build the site of `analysis` into `site_dir`, whole or not at all.

    `relief` computes the variations that ask less of each exercise, for the finder. `workers`
    processes share the work, or as many as are worth it.

    Raises:
        NotPublished: errors among the findings (without `draft`), a folder that is not ours,
            another build under way, no room or no permission. The old site is untouched.
    """
    if analysis.counts["error"] and not draft:
        raise NotPublished(
            f"{analysis.counts['error']} errors are in the way; the site is as it was. "
            "Mend them, or publish with --draft."
        )
    say = progress or (lambda phase: None)
    catalogue = Catalogue(analysis, draft=bool(analysis.counts["error"]))
    library = analysis.measured.library
    wrong = unsafe(page.path for page in all_pages(catalogue))
    if wrong and not draft:
        raise NotPublished(f"no site can have a page {wrong[0]!r}: rename what it is named after")
    computed = Relief(analysis.measured) if relief else None
    with workplace(site_dir, apart=library.root) as place:
        folder = SiteFolder(place.new, place.site)
        no_maps = write_site(catalogue, _kept_page, folder, computed, workers, say)
        pictures = place.new / "pictures"
        damaged = [name for name in picture_names(library) if not (pictures / name).exists()]
        write_worker(place.new)
        say("publishing")
        kept = place.swap()
    return Published(
        site_dir,
        len(library.exercises),
        len(library.ladders),
        tuple(_warnings(no_maps, wrong, kept, damaged)),
    )


def _kept_page(page: Page, catalogue: Catalogue) -> str:
    return whole_page(page, catalogue, kept=True)


def _warnings(
    no_maps: str, wrong: Sequence[str], kept: Sequence[str], damaged: Sequence[str]
) -> Iterator[str]:
    if no_maps:
        yield f"{no_maps} The site has tables in place of maps."
    if wrong:
        yield f"Left out, since no site can have such a page: {', '.join(map(repr, wrong))}."
    if damaged:
        yield f"Left out, since they are damaged: {', '.join(damaged)}."
    if kept:
        yield f"Kept in the site's folder, though no build made it: {', '.join(kept)}."
