"""Bytes of a file to text, front matter and Markdown sections."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rungbook.model.finding import Finding
from rungbook.model.place import Place

# C0 and C1 controls, line and paragraph separators, a stray byte-order mark, text turned round.
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\u202d\u202e]")
_BEGIN = re.compile(r"---[ \t]*\n")
_END = re.compile(r"^---[ \t]*$", re.MULTILINE)
_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")
_HEADING = re.compile(r"##[ \t]+(.*?)[ \t]*#*[ \t]*$")


@dataclass(frozen=True, slots=True)
class Parts:
    """A text file in two: its YAML, which begins on line `first_line`, and the Markdown below."""

    yaml: str
    first_line: int
    body: str
    body_line: int


def unreadable(file: str, message: str, line: int = 1, column: int = 1) -> Finding:
    return Finding("unreadable-file", "error", message, Place(file, line, column))


def decode(data: bytes, file: str) -> str | Finding:
    """UTF-8 bytes as text with plain line ends; a byte-order mark is dropped."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        what = "UTF-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "not UTF-8"
        message = f"the text is {what} (byte {error.start}): save the file again as UTF-8"
        before = _plain_line_ends(data[: error.start].decode("utf-8-sig"))
        return unreadable(file, message, *line_column(before, len(before)))
    if text.startswith("\ufeff"):
        text = text[1:]
    if "\r" in text:
        text = _plain_line_ends(text)
    if not text.replace("\n", "").isprintable() and (found := FORBIDDEN.search(text)):
        line, column = line_column(text, found.start())
        message = f"the character U+{ord(found[0]):04X} is not text anyone can see: delete it"
        return unreadable(file, message, line, column)
    return text


def _plain_line_ends(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def line_column(text: str, offset: int) -> tuple[int, int]:
    """Line and column of a character, from 1."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def split(text: str, file: str) -> Parts | Finding:
    """The front matter between two lines of `---`, and what follows."""
    if not _BEGIN.match(text):
        message = "the file must begin with a line '---', then its keys, then another '---'"
        return unreadable(file, message)
    start = text.index("\n") + 1
    end = _END.search(text, start)
    if end is None:
        return unreadable(file, "the front matter has no end: add a line '---' below its last key")
    body_line = text.count("\n", 0, end.end()) + 2
    return Parts(text[start : end.start()], 2, text[end.end() + 1 :], body_line)


def sections(
    body: str, first_line: int
) -> tuple[dict[str, str], dict[str, int], list[tuple[str, int]]]:
    """Markdown by its `##` headings: texts, the headings' lines, and headings written twice.

    What stands above the first heading has the empty heading.
    """
    if not body.strip():
        return {}, {}, []
    texts: dict[str, str] = {}
    lines: dict[str, int] = {}
    twice: list[tuple[str, int]] = []
    heading, block, fence = "", list[str](), ""
    for number, line in enumerate(body.split("\n"), first_line):
        if line[:1] in "`~ " and (mark := _FENCE.match(line)):
            if not fence:
                fence = mark[1]
            elif mark[1].startswith(fence):
                fence = ""
        found = _HEADING.match(line) if not fence and line.startswith("##") else None
        if found is None:
            block.append(line)
            continue
        _close(texts, heading, block)
        heading, block = found[1], []
        if heading in lines:
            twice.append((heading, number))
        lines.setdefault(heading, number)
    _close(texts, heading, block)
    return texts, lines, twice


def _close(texts: dict[str, str], heading: str, block: list[str]) -> None:
    text = "\n".join(block).strip()
    if heading:
        texts[heading] = f"{texts[heading]}\n\n{text}" if texts.get(heading) else text
    elif text:
        texts[""] = text
