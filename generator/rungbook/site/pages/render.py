"""Page models into HTML, by auto-escaping templates."""

from __future__ import annotations

import json
import re
from functools import cache, lru_cache
from typing import Any
from urllib.parse import urlsplit

import jinja2
from markupsafe import Markup, escape

from rungbook import __version__
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.page_scripts import scripts_of
from rungbook.site.pages.words import day

NAVIGATION = (
    ("index.html#ladders", "Ladders"),
    ("index.html#areas", "Areas"),
    ("finder.html", "Find easier"),
    ("route.html", "Route"),
    ("sheet.html", "Sheet"),
)

# What stands in a frame for the page's own words: with a zero byte, as no sound text has it.
_TITLE, _DESCRIPTION, _CANONICAL, _CONTENT = ("\0title\0", "\0words\0", "\0here\0", "\0page\0")
_ONWARD = "\0onward\0"
_OWN = re.compile("(\0[a-z]+\0)")


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
    """A missing page is shown at any depth: only an address from the host's top leads on there."""
    if page.kind != "missing":
        return page.root
    return urlsplit(url).path.rstrip("/") + "/" if url else "/"


def fragment(
    page: Page, catalogue: Catalogue, scripts: tuple[str, ...] = (), root: str | None = None
) -> Markup:
    """The page from its title on; `scripts` where nobody else adds them."""
    settings = catalogue.library.settings
    root = _root(page, settings.site.url) if root is None else root
    body = (
        environment()
        .get_template(f"pages/{page.kind}.html")
        .render(page=page, model=page.made(), root=root, kind=page.kind, draft=catalogue.draft)
    )
    before, after = _article(
        page.kind, root, scripts, catalogue.draft, settings.urgent, settings.contact
    )
    return Markup(before + body + after)


@lru_cache(maxsize=64)
def _article(
    kind: str,
    root: str,
    scripts: tuple[str, ...],
    draft: bool,
    urgent: str | None,
    contact: str | None,
) -> tuple[str, str]:
    """What stands before and after all pages of one kind."""
    rendered = (
        environment()
        .get_template("fragment.html")
        .render(
            kind=kind,
            root=root,
            fragment_scripts=scripts,
            draft=draft,
            settings={"urgent": urgent, "contact": contact},
            body=Markup(_CONTENT),
        )
    )
    before, _, after = rendered.partition(_CONTENT)
    return before, after


def framed_fragment(page: Page, catalogue: Catalogue) -> str:
    """What another theme frames: it brings its own scripts and its banner."""
    return str(fragment(page, catalogue, scripts_of(page.kind)))


def whole_page(
    page: Page, catalogue: Catalogue, root: str | None = None, kept: bool = False
) -> str:
    """A page framed by our own theme; `root` where links must not be relative.

    `kept`: the site has what keeps it on a reader's device.
    """
    settings = catalogue.library.settings
    url = settings.site.url
    here = page.leads_to or page.path
    canonical = f"{url.rstrip('/')}/{here}" if url and page.kind != "missing" else ""
    newest = catalogue.newest_review
    frame = _frame(
        kind=page.kind,
        root=_root(page, url) if root is None else root,
        title=_TITLE if page.title != settings.name else settings.name,
        description=_DESCRIPTION if page.description else "",
        site_name=settings.name,
        language=settings.language,
        canonical=_CANONICAL if canonical else "",
        onward=_ONWARD if page.leads_to else "",
        draft=catalogue.draft,
        kept=kept,
        library_date=day(newest) if newest else "",
    )
    own = {
        _TITLE: escape(page.title),
        _DESCRIPTION: escape(page.description),
        _CANONICAL: escape(canonical),
        _ONWARD: escape(page.root + page.leads_to),
        _CONTENT: fragment(page, catalogue, root=root),
    }
    return "".join([own.get(part, part) for part in frame])


@lru_cache(maxsize=64)
def _frame(kind: str, **values: str | bool) -> tuple[str, ...]:
    """The frame around all pages of one kind, in parts; it is the same for each of them."""
    rendered = (
        environment()
        .get_template("base.html")
        .render(
            kind=kind,
            navigation=NAVIGATION,
            scripts=scripts_of(kind),
            content=Markup(_CONTENT),
            version=__version__,
            **values,
        )
    )
    return tuple(_OWN.split(rendered))
