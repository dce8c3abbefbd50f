"""Markdown of the library's own texts, made into harmless HTML.

Raw HTML is removed, never shown. What is left passes nh3's allow-list, so that a text can
bring no script, no style, no picture and no link to anything but the web or this library.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping
from functools import cache

import markdown
import nh3
from markdown.postprocessors import Postprocessor
from markupsafe import Markup

from rungbook.reading import limits

TAGS = {
    "a", "p", "br", "hr", "em", "strong", "code", "pre", "blockquote",
    "ul", "ol", "li", "table", "thead", "tbody", "tr", "th", "td",
    "h2", "h3", "h4", "h5", "h6",
}  # fmt: skip
ATTRIBUTES = {"a": {"href", "title"}, "ol": {"start"}, "td": {"align"}, "th": {"align"}}
SCHEMES = {"http", "https", "mailto", "tel"}
# Looking for the end of each of these costs the length of the text: texts have a few.
_COSTLY = re.compile(r"[\[<]|\n *=")

_ENTITY = re.compile(r"&(?:#\d+|#x[0-9a-fA-F]+|\w+);")
_ALIGNED = re.compile(r'<(t[dh]) align="(left|right|center)">')
_TABLE = '<div class="table-scroll" role="region" aria-label="Table" tabindex="0"><table>'
_HREF = re.compile(r'<a href="([^"]*)"')
_HEADING = re.compile(r"<(/?)h([2-6])>")


class _WithoutRawHtml(Postprocessor):
    """Puts nothing where the text had HTML of its own; character entities stay."""

    def run(self, text: str) -> str:
        assert self.md is not None
        for number, raw in enumerate(self.md.htmlStash.rawHtmlBlocks):
            kept = raw if isinstance(raw, str) and _ENTITY.fullmatch(raw) else ""
            placeholder = self.md.htmlStash.get_placeholder(number)
            text = text.replace(f"<p>{placeholder}</p>", kept).replace(placeholder, kept)
        return text


@cache
def _converter() -> markdown.Markdown:
    converter = markdown.Markdown(
        extensions=["sane_lists", "tables"],
        extension_configs={"tables": {"use_align_attribute": True}},
        output_format="html",
    )
    converter.postprocessors.register(_WithoutRawHtml(converter), "raw_html", 30)
    return converter


def _converted(text: str) -> str:
    """Markdown as HTML; plain words where it asks for more than a text of this trade does."""
    if len(_COSTLY.findall(text)) <= limits.MOST_MARKS:
        try:
            converted: str = _converter().reset().convert(text)
            return converted
        except (RecursionError, AttributeError, IndexError, ValueError):
            pass  # Python-Markdown gives up on absurd nesting
    return f"<p>{Markup.escape(text)}</p>"


# Paragraphs without any mark of Markdown's: lines that begin with a letter and hold no more than
# words and common signs. Most texts are so, and converting them is but putting tags around.
_LINE = r"[^\W\d_](?:[^\W_]|[ ,.;:()'\"?%/×–—…-])*(?<! )"
_PLAIN = re.compile(rf"{_LINE}(?:\n+{_LINE})*")


@cache
def _html(text: str) -> str:
    text = text[: limits.MOST_LETTERS]
    if _PLAIN.fullmatch(text):
        return "\n".join(f"<p>{paragraph}</p>" for paragraph in re.split("\n{2,}", text))
    return _full_html(text)


def _full_html(text: str) -> str:
    raw = _converted(text)
    clean = nh3.clean(raw, tags=TAGS, attributes=ATTRIBUTES, url_schemes=SCHEMES)
    clean = clean.replace("<table>", _TABLE).replace("</table>", "</table></div>")
    clean = _ALIGNED.sub(r'<\1 class="\2">', clean)
    return _HEADING.sub(lambda found: f"<{found[1]}h{min(int(found[2]) + 1, 6)}>", clean)


def prose(text: str, root: str, paths: Mapping[str, str]) -> Markup:
    """`text` (Markdown) as HTML for a page `root` away from the site's top folder.

    `paths` maps the stems of library files to pages: a link to `heel-raise`,
    `heel-raise.md` or `../calf/heel-raise.md` goes to that exercise. Links to any other file
    keep their words and lose their target.
    """

    def linked(found: re.Match[str]) -> str:
        target = found[1]
        if re.match(r"[a-z]+:", target):
            return found[0]
        stem = posixpath.basename(target.partition("#")[0]).removesuffix(".md")
        page = paths.get(stem)
        return f'<a href="{Markup.escape(root + page)}"' if page else "<a"

    html = _html(text)
    return Markup(_HREF.sub(linked, html) if "<a " in html else html)
