"""Page models into HTML, by auto-escaping templates."""

from __future__ import annotations

from functools import cache

import jinja2
from markupsafe import Markup

from rungbook import __version__
from rungbook.site.catalogue import Catalogue
from rungbook.site.contents import scripts_of
from rungbook.site.page import Page
from rungbook.site.words import day

NAVIGATION = (
    ("index.html#ladders", "Ladders"),
    ("index.html#areas", "Areas"),
    ("finder.html", "Find easier"),
    ("route.html", "Route"),
    ("sheet.html", "Sheet"),
)


@cache
def environment() -> jinja2.Environment:
    """The templates of `site_theme`, escaping everything that is not marked as HTML."""
    return jinja2.Environment(
        loader=jinja2.PackageLoader("rungbook_theme", ""),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def fragment(page: Page, catalogue: Catalogue) -> Markup:
    """What any theme can frame: the page from its title on, with the usual cautions."""
    template = environment().get_template("fragment.html")
    return Markup(
        template.render(
            page=page,
            model=page.model,
            root=page.root,
            settings=catalogue.library.settings,
            kind=page.kind,
        )
    )


def whole_page(page: Page, catalogue: Catalogue) -> str:
    """A page framed by our own theme."""
    settings = catalogue.library.settings
    newest = catalogue.newest_review
    url = settings.site.url
    return (
        environment()
        .get_template("base.html")
        .render(
            kind=page.kind,
            root=page.root,
            title=page.title,
            description=page.description,
            site_name=settings.name,
            language=settings.language,
            canonical=f"{url.rstrip('/')}/{page.path}" if url else "",
            navigation=NAVIGATION,
            scripts=scripts_of(page.kind),
            content=fragment(page, catalogue),
            draft=catalogue.draft,
            library_date=day(newest) if newest else "",
            version=__version__,
        )
    )
