"""What an archive that claims to be a workbook holds, before any of it is unpacked."""

from __future__ import annotations

import io
import re
import zipfile

from rungbook.intake.table import MOST_CELLS, CannotRead

MOST_UNPACKED = 40_000_000  # bytes of all parts together, pictures left out
MOST_STRINGS = 20_000_000  # bytes of the one part that is kept in memory
MOST_ASIDE = 2_000_000  # bytes of any part but strings and sheets
MOST_PARTS = 5_000
MOST_TAGS = 1_000_000  # in a sheet: each level of nesting is kept in memory
MOST_AT_ONCE = 1_000_000  # bytes of one tag, comment or text: a parser looks at it again and again
_PIECE = re.compile(rb"<!--.*?(?:-->|\Z)|<!\[.*?(?:\]\]>|\Z)|<\?.*?(?:\?>|\Z)|<[^<]*", re.DOTALL)
_CELL = re.compile(rb"<(?:\w{1,20}:)?(?:c|mergeCell)[ />]")


def look_before(data: bytes, file: str) -> None:
    """Look at the list of an archive's parts; zipfile holds each to the size it claims.

    Raises:
        CannotRead: not a workbook, encrypted, or too large to unpack.
    """
    try:
        parts = zipfile.ZipFile(io.BytesIO(data)).infolist()
    except (zipfile.BadZipFile, ValueError, OSError):
        raise CannotRead(
            f"{file}: the workbook is damaged or cut off: fetch it again, or save it anew as .xlsx"
        ) from None
    names = {part.filename for part in parts}
    if any(part.flag_bits & 1 for part in parts):
        raise CannotRead(f"{file}: the file is encrypted: save it without a password")
    if "content.xml" in names:
        raise CannotRead(f"{file}: this is an OpenDocument sheet: save it as .xlsx or as CSV")
    if "xl/workbook.bin" in names:
        raise CannotRead(f"{file}: this is a binary workbook (.xlsb): save it as .xlsx")
    if "[Content_Types].xml" not in names or not any(n.startswith("xl/") for n in names):
        raise CannotRead(f"{file}: this archive is no workbook: save the sheet as .xlsx or as CSV")
    if len(parts) > MOST_PARTS:
        raise CannotRead(f"{file}: more than {MOST_PARTS:,} parts: save the sheet alone, or as CSV")
    read = [part for part in parts if not part.filename.startswith("xl/media/")]
    _small(file, "the workbook", sum(part.file_size for part in read), MOST_UNPACKED)
    for part in read:
        name = part.filename
        if "sharedStrings" in name:
            _small(file, "its text", part.file_size, MOST_STRINGS)
        elif not name.startswith("xl/worksheets/"):
            _small(file, name, part.file_size, MOST_ASIDE)


def _small(file: str, what: str, size: int, most: int) -> None:
    if size > most:
        raise CannotRead(
            f"{file}: {what} unpacks to {size / 1e6:,.1f} MB, more than is read "
            f"({most / 1e6:.0f} MB): save the sheet alone, or as CSV"
        )


def few_cells(part: bytes, file: str) -> None:
    """Look at a sheet's text before it is parsed.

    Raises:
        CannotRead: it holds too many cells, or merges of cells, or tags.
    """
    cells = sum(1 for _ in _CELL.finditer(part))
    if any(len(found[0]) > MOST_AT_ONCE for found in _PIECE.finditer(part)):
        raise CannotRead(
            f"{file}: a single piece of more than {MOST_AT_ONCE / 1e6:g} MB: save the sheet as CSV"
        )
    if cells > MOST_CELLS or part.count(b"<") > MOST_TAGS:
        raise CannotRead(
            f"{file}: more than {MOST_CELLS:,} cells: leave out what holds no "
            "exercises, or split it"
        )
