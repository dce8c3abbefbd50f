"""A page put together from parts that are rendered once a kind is the page rendered whole."""

from __future__ import annotations

from rungbook import __version__
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Page
from rungbook.site.pages.page_scripts import scripts_of
from rungbook.site.pages.render import NAVIGATION, environment, fragment, whole_page
from rungbook.site.pages.words import day


def rendered_whole(page: Page, catalogue: Catalogue) -> str:
    """By the templates alone, with every value in its place."""
    settings = catalogue.library.settings
    url, newest = settings.site.url, catalogue.newest_review
    return (
        environment()
        .get_template("base.html")
        .render(
            kind=page.kind,
            navigation=NAVIGATION,
            scripts=scripts_of(page.kind),
            version=__version__,
            root=page.root,
            title=page.title,
            description=page.description,
            site_name=settings.name,
            language=settings.language,
            canonical=f"{url.rstrip('/')}/{page.path}" if url else "",
            onward=page.root + page.leads_to if page.leads_to else "",
            draft=catalogue.draft,
            kept=False,
            library_date=day(newest) if newest else "",
            content=fragment(page, catalogue),
        )
    )


def test_every_page_is_as_its_templates_say(demo: Analysis) -> None:
    catalogue = Catalogue(demo, draft=True)
    by_kind: dict[str, list[Page]] = {}
    for page in all_pages(catalogue):
        by_kind.setdefault(page.kind, []).append(page)
    by_kind.pop("missing")  # its links are another matter
    for pages in by_kind.values():
        for page in (pages[0], pages[-1]):  # the first fills what the last one uses
            assert whole_page(page, catalogue) == rendered_whole(page, catalogue)
    assert len(by_kind) > 8


def test_words_of_one_page_do_not_reach_another(demo: Analysis) -> None:
    catalogue = Catalogue(demo)
    pages = [page for page in all_pages(catalogue) if page.kind == "exercise"][:2]
    one, other = (whole_page(page, catalogue) for page in pages)
    again = whole_page(pages[0], catalogue)
    assert one == again
    assert f"<title>{pages[0].title}" in one
    assert f"<title>{pages[1].title}" in other
