"""Build the site beside its place and swap it in at the end."""

from __future__ import annotations

import logging
import pathlib
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.relief import relief_records
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.pictures import picture_names
from rungbook.site.publishing.inside import unsafe
from rungbook.site.publishing.swap import NotPublished, workplace

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
) -> Published:
    """Build the site of `analysis` into `site_dir`, whole or not at all.

    `relief` computes the variations that ask less of each exercise, for the finder.

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
    ids = analysis.measured.library.exercises if relief else ()
    made = relief_records(analysis.measured, ids, say)
    catalogue = Catalogue(analysis, bool(analysis.counts["error"]), made)
    library = analysis.measured.library
    wrong = unsafe(page.path for page in all_pages(catalogue))
    if wrong and not draft:
        raise NotPublished(f"no site can have a page {wrong[0]!r}: rename what it is named after")
    with workplace(site_dir, apart=library.root) as place:
        say("writing pages")
        build_into(catalogue, place.new, place.site)
        pictures = place.new / "pictures"
        damaged = [name for name in picture_names(library) if not (pictures / name).exists()]
        say("publishing")
        kept = place.swap()
    return Published(
        site_dir,
        len(library.exercises),
        len(library.ladders),
        tuple(_warnings(catalogue.maps.warning, wrong, kept, damaged)),
    )


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


def build_into(
    catalogue: Catalogue, site_dir: pathlib.Path, now: pathlib.Path | None = None
) -> None:
    """Run MkDocs in this process, with a configuration of our own and no folder of texts.

    `now` is the site that this one will replace.
    """
    from mkdocs.commands.build import build
    from mkdocs.config.defaults import MkDocsConfig

    from rungbook.site.publishing.plugin import RungbookPlugin

    settings = catalogue.library.settings
    with tempfile.TemporaryDirectory(prefix="rungbook-docs-") as empty:
        config = MkDocsConfig(config_file_path=None)
        config.load_dict(
            {
                "site_name": settings.name,
                "site_url": settings.site.url or "",
                "docs_dir": empty,
                "site_dir": str(site_dir),
                "theme": {"name": "rungbook"},
                "plugins": [{"rungbook": {}}],
                "use_directory_urls": False,
            }
        )
        errors, _warnings = config.validate()
        for key, error in errors:
            raise NotPublished(f"the site's settings cannot be used: {key}: {error}")
        plugin = config.plugins["rungbook"]
        assert isinstance(plugin, RungbookPlugin)
        plugin.given, plugin.now = catalogue, now
        log = logging.getLogger("mkdocs")
        level, log.level = log.level, logging.ERROR
        try:
            build(config)
        finally:
            log.level = level
