"""Markup that must not reach a reader's browser: raw HTML, script links, links out of the library.

The site removes all of it again when it makes pages; here the author is told. Messages never
repeat what was found.
"""

from __future__ import annotations

import html
import re
from bisect import bisect_right
from collections.abc import Iterator

from rungbook.model.finding import Finding, Level
from rungbook.model.place import Place
from rungbook.reading.pictures import leaves_folder

SCHEMES = frozenset({"http", "https", "mailto", "tel"})
_TAG = re.compile(r"(?<!\\)<(?:[a-zA-Z][a-zA-Z0-9-]*(?=[\s/>]|$)|/[a-zA-Z]|!|\?)", re.MULTILINE)
_CODE = re.compile(
    r"(?<!`)(`{1,20})(?!`)[^\n]*?(?<!`)\1(?!`)|^ {0,3}(```+|~~~+)[\s\S]*?^ {0,3}\2", re.MULTILINE
)
_INLINE = re.compile(r"(!?)\[[^\[\]]{0,500}\]\(\s*<?([^\s<>)]{0,2000})")
_DEFINED = re.compile(r"^()[ ]{0,3}\[[^\[\]\n]{1,200}\]:[ \t]*<?([^\s<>]{1,2000})", re.MULTILINE)
_AUTOMATIC = re.compile(r"()<([a-zA-Z][a-zA-Z0-9+.-]{1,30}:[^\s<>]{0,2000})>")
_SCRIPT = re.compile(r"(?:java|vb)script\s*:|\bdata\s*:\s*text/html", re.IGNORECASE)
_ENTITY = re.compile(r"&#?\w{1,40}")


def unsafe_markup(
    text: str, file: str, exercise: str | None, ladder: str | None
) -> Iterator[Finding]:
    """Findings of a whole file's text, front matter included."""
    if not _may_hold_any(text):
        return
    exercises = (exercise,) if exercise else ()
    seen: set[tuple[int, str]] = set()
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    for offset, check, message in _faults(_without_code(text)):
        line = bisect_right(starts, offset)
        column = offset - starts[line - 1] + 1
        if (line, message) not in seen:
            seen.add((line, message))
            level: Level = "warning" if check == "unsafe-markup" else "error"
            yield Finding(check, level, message, Place(file, line, column), exercises, ladder)


def _may_hold_any(text: str) -> bool:
    """A quick look: most files hold no link and no markup at all."""
    return "<" in text or "](" in text or "]:" in text or "&" in text or "script" in text.lower()


def _without_code(text: str) -> str:
    """The text with code blanked out, offsets kept: code is shown as written."""
    if "`" not in text and "~~~" not in text:
        return text
    return _CODE.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)


def _faults(text: str) -> Iterator[tuple[int, str, str]]:
    for found in _TAG.finditer(text):
        message = "raw HTML is removed from the pages: write Markdown, or put it in `backticks`"
        yield found.start(), "unsafe-markup", message
    for pattern in (_INLINE, _DEFINED, _AUTOMATIC):
        for found in pattern.finditer(text):
            yield from _target(found[2], found.start(2), is_picture=found[1] == "!")
    message = "a link that runs a program is removed from the pages: link to a page instead"
    for found in _SCRIPT.finditer(text):
        yield found.start(), "unsafe-markup", message
    entity = _ENTITY.search(text)
    if entity and _SCRIPT.search(html.unescape(text)) and not _SCRIPT.search(text):
        yield entity.start(), "unsafe-markup", message


def _target(target: str, offset: int, is_picture: bool) -> Iterator[tuple[int, str, str]]:
    plain = re.sub(r"[\x00-\x20\x7f-\xa0]", "", html.unescape(target))
    scheme = re.match(r"([a-zA-Z][a-zA-Z0-9+.-]*):", plain)
    if is_picture and (scheme or plain.startswith("//")):
        message = "pages load nothing from elsewhere: put the picture into pictures/ and name it so"
        yield offset, "unsafe-markup", message
    elif plain.startswith("//"):
        yield offset, "unsafe-markup", "a link needs its whole address: begin it with https:"
    elif scheme and scheme[1].lower() not in SCHEMES:
        message = "a link of this kind is removed from the pages: begin it with https: or mailto:"
        yield offset, "unsafe-markup", message
    elif not scheme and leaves_folder(plain):
        message = "a link that leads out of the library: link to a page of it by its file's name"
        yield offset, "unsafe-path", message
