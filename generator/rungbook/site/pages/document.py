"""A page that needs no other file: its styles inside it, allowed by their digest alone."""

from __future__ import annotations

import base64
import hashlib
import importlib.resources
from collections.abc import Iterable
from typing import Any

from markupsafe import Markup

from rungbook.site.pages.render import environment


def whole_document(template: str, styles: Iterable[str], first: str = "", **values: Any) -> str:
    """HTML of `documents/<template>.html`, given `values`, its styles and their digest.

    `styles` are files of the theme, after the rules `first`. The page's policy names the digest
    (SHA-256 in base64, as Content Security Policy asks), so that no other style counts.
    """
    theme = importlib.resources.files("rungbook_theme")
    style = first + "\n".join((theme / name).read_text("utf-8") for name in styles)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    page = environment().get_template(f"documents/{template}.html")
    return page.render(styles=Markup(style), digest=digest, **values)
