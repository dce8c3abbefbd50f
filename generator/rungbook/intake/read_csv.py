"""A text file with separated values, whatever its encoding and delimiter."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from itertools import islice
from math import log2

from rungbook.intake.table import (
    MOST_CELLS,
    MOST_COLUMNS,
    MOST_LETTERS,
    MOST_ROWS,
    CannotRead,
    Row,
    Sheet,
    letter,
)

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
SAMPLE_ROWS = 200
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# What spreadsheets save by themselves, the likeliest first.
_LIKELY = [
    "cp1252",
    "cp1250",
    "cp1251",
    "mac_roman",
    "cp850",
    "cp437",
    "latin_1",
    "gb18030",
    "cp932",
]

_WESTERN = ("cp1252", "latin_1", "mac_roman", "cp850", "cp437")
# Letters and signs of German, French and their neighbours, as spreadsheets of this trade have them.
_USUAL = frozenset(
    "äöüßÄÖÜéèêëàâçîïôùûœæÉÈÀÇñáíóúåøØ"
    "\u00b0\u00b1\u00bd\u00d7\u20ac\u2026\u2013\u2014\u2018\u2019\u201c\u201d\u201e\u2022\u00ab\u00bb\u2265\u2264\u00a0"
)
# A capital or a sign within a word: a letter of another encoding.
_SHOUTED = re.compile(
    "[a-zäöüß](?:[ÄÖÜÉÈÀÇØ]|[\u00b0\u00b1\u00bd\u2026\u2018\u201c\u201d\u201e\u2022\u00ab\u00bb][a-zäöüß])"
)
MOST_LETTERS_TOLD = 5


def read_csv(
    data: bytes, file: str, encoding: str | None = None, delimiter: str | None = None
) -> Sheet:
    """The rows of the text.

    Raises:
        CannotRead: not text, not in the encoding named, too large, or a quote without an end.
    """
    text, how = _decoded(data, file, encoding)
    notes = []
    first, line_end, rest = text.partition("\n")
    shift = 0
    if first.strip().lower().startswith("sep=") and len(first.strip()) == 5:
        delimiter = delimiter or first.strip()[4]  # a hint that one spreadsheet program writes
        text, shift = rest, 1
    del line_end
    chosen = delimiter or _delimiter(text)
    records, loose = _records(text, chosen, file, shift)
    if loose:
        notes.append(f"{loose}: words outside a cell's quotes were read as part of the cell")
    rows = tuple(
        Row(number, tuple(cells)) for number, cells in records if any(cell for cell in cells)
    )
    words = DELIMITERS.get(chosen, f"'{chosen}' between cells")
    return Sheet(file, None, rows, f"{how}, {words}", tuple(notes))


def _decoded(data: bytes, file: str, encoding: str | None) -> tuple[str, str]:
    if encoding is not None:
        return _as(data, file, encoding), encoding
    for mark, name in _MARKS:
        if data.startswith(mark):
            return _as(data, file, name), name.upper().removesuffix("-SIG")
    if b"\0" in data:
        return _without_mark(data, file)
    try:
        return data.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        pass
    if (found := _by_letters(data)) is not None:
        text, name, letters = found
        return text, f"{name} (guessed by the letters {' '.join(letters)})"
    import charset_normalizer

    best = charset_normalizer.from_bytes(data, cp_isolation=_LIKELY).best()
    if best is None:
        raise CannotRead(
            f"{file}: this is no text in any encoding known: save it as CSV in UTF-8, or as .xlsx"
        )
    return str(best), f"{best.encoding} (guessed: look at letters such as é and ü)"


def _by_letters(data: bytes) -> tuple[str, str, list[str]] | None:
    """The one encoding in which all that is not ASCII is usual in Western European words.

    The text, the name of the encoding and the letters that told it; nothing where several that
    differ would do, or none.
    """
    found: dict[str, str] = {}
    for name in _WESTERN:
        try:
            text = data.decode(name)
        except UnicodeDecodeError:
            continue
        odd = [letter for letter in text if not letter.isascii()]
        if set(odd) <= _USUAL and 4 * len(odd) < len(text) and not _SHOUTED.search(text):
            found.setdefault(text, name)
    if len(found) != 1:
        return None
    ((text, name),) = found.items()
    letters = Counter(letter for letter in text if not letter.isascii() and letter.isalpha())
    return text, name, [letter for letter, _ in letters.most_common(MOST_LETTERS_TOLD)]


def _as(data: bytes, file: str, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except LookupError:
        raise CannotRead(
            f"{file}: there is no encoding '{encoding}': try utf-8 or cp1252"
        ) from None
    except UnicodeDecodeError as error:
        raise CannotRead(
            f"{file}: the text is not {encoding} (byte {error.start}): name another with --encoding"
        ) from None


def _without_mark(data: bytes, file: str) -> tuple[str, str]:
    """UTF-16 without its mark: nearly every other byte is zero."""
    sample = data[:4000]
    for name, zeros in (("utf-16-le", sample[1::2]), ("utf-16-be", sample[::2])):
        if zeros.count(0) > 0.7 * len(zeros) and len(data) % 2 == 0:
            return _as(data, file, name), name.upper()
    raise CannotRead(
        f"{file}: this is a binary file, not a table: save the sheet as .xlsx or as CSV"
    )


def _delimiter(text: str) -> str:
    """The one that cuts the first rows into the same number of cells most often."""
    best, most = ",", 0.0
    for candidate in DELIMITERS:
        reader = csv.reader(io.StringIO(text[:500_000], newline=""), delimiter=candidate)
        try:
            widths = Counter(len(cells) for cells in islice(reader, SAMPLE_ROWS) if any(cells))
        except csv.Error:
            continue
        if not widths:
            continue
        width, often = max(widths.items(), key=lambda item: (item[1], item[0]))
        score = often / widths.total() * log2(width)
        if score > most:
            best, most = candidate, score
    return best


def _records(
    text: str, delimiter: str, file: str, shift: int
) -> tuple[list[tuple[int, list[str]]], str]:
    _narrow(text, delimiter, file)
    before = csv.field_size_limit(MOST_LETTERS)
    try:
        try:
            return _read(text, delimiter, file, shift, strict=True), ""
        except csv.Error as error:
            if "unexpected end" in str(error):
                raise CannotRead(
                    f"{file}: a quote is opened and never closed: look in "
                    f"{_where(text, delimiter)}, which never ends"
                ) from None
            where = _where(text, delimiter)
            return _read(text, delimiter, file, shift, strict=False), where
    except csv.Error as error:
        raise CannotRead(f"{file}: {_where(text, delimiter)}: {error}") from None
    finally:
        csv.field_size_limit(before)


def _narrow(text: str, delimiter: str, file: str) -> None:
    """Refuses lines that would take all memory as cells; quoted text has a few delimiters."""
    for number, line in enumerate(io.StringIO(text, newline=None), start=1):
        if line.count(delimiter) > 30 * MOST_COLUMNS:
            raise CannotRead(
                f"{file}, row {number}: more than {MOST_COLUMNS} columns: remove those that hold "
                "no exercises"
            )


def _read(
    text: str, delimiter: str, file: str, shift: int, strict: bool
) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=strict)
    found: list[tuple[int, list[str]]] = []
    held = 0
    for number, cells in enumerate(reader, start=1 + shift):
        held += len(cells)
        if held > MOST_CELLS:
            raise CannotRead(
                f"{file}: more than {MOST_CELLS:,} cells: leave out what holds no exercises, "
                "or split it"
            )
        if len(found) > MOST_ROWS:
            raise CannotRead(
                f"{file}: more than {MOST_ROWS:,} rows: split it, and take the parts in one by one"
            )
        if len(cells) > MOST_COLUMNS and any(cells[MOST_COLUMNS:]):
            raise CannotRead(
                f"{file}, row {number}: more than {MOST_COLUMNS} columns "
                f"(to {letter(len(cells) - 1)}): remove those that hold no exercises"
            )
        if any(cells):
            found.append((number, [_tidy(cell) for cell in cells[:MOST_COLUMNS]]))
    return found


def _tidy(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def _where(text: str, delimiter: str) -> str:
    """The row that a strict reader last began before it gave up."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 1
    try:
        for _ in reader:
            number += 1
    except csv.Error:
        pass
    return f"row {number}"
