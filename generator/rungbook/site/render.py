"""Page models into HTML, by auto-escaping templates."""

from __future__ import annotations

import json
from functools import cache
from typing import Any
from urllib.parse import urlsplit

import jinja2
from markupsafe import Markup

from rungbook import __version__
from rungbook.site.catalogue import Catalogue
from rungbook.site.page import Page
from rungbook.site.page_scripts import scripts_of
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
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("rungbook_theme", ""),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters["json_script"] = json_script
    return made


def json_script(value: Any) -> Markup:
    """JSON that can stand in a script element: nothing in it can end the element."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)


def _root(page: Page, url: str | None) -> str:
    """A missing page is shown at any depth: only a full address finds the way from there."""
    if page.kind != "missing" or not url:
        return page.root
    return urlsplit(url).path.rstrip("/") + "/"


def fragment(
    page: Page, catalogue: Catalogue, scripts: tuple[str, ...] = (), root: str | None = None
) -> Markup:
    """The page from its title on; `scripts` where nobody else adds them."""
    template = environment().get_template("fragment.html")
    rendered = template.render(
        page=page,
        model=page.made(),
        root=_root(page, catalogue.library.settings.site.url) if root is None else root,
        settings=catalogue.library.settings,
        kind=page.kind,
        fragment_scripts=scripts,
        draft=catalogue.draft,
    )
    return Markup(rendered)


def framed_fragment(page: Page, catalogue: Catalogue) -> str:
    """What another theme frames: it brings its own scripts and its banner."""
    return str(fragment(page, catalogue, scripts_of(page.kind)))


def whole_page(page: Page, catalogue: Catalogue, root: str | None = None) -> str:
    """A page framed by our own theme; `root` where links must not be relative."""
    settings = catalogue.library.settings
    newest = catalogue.newest_review
    url = settings.site.url
    return (
        environment()
        .get_template("base.html")
        .render(
            kind=page.kind,
            root=_root(page, url) if root is None else root,
            title=page.title,
            description=page.description,
            site_name=settings.name,
            language=settings.language,
            canonical=f"{url.rstrip('/')}/{page.path}" if url and page.kind != "missing" else "",
            navigation=NAVIGATION,
            scripts=scripts_of(page.kind),
            content=fragment(page, catalogue, root=root),
            draft=catalogue.draft,
            library_date=day(newest) if newest else "",
            version=__version__,
        )
    )
