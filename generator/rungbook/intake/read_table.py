"""Any file with a table, told by what is in it and not by its name."""

from __future__ import annotations

from dataclasses import replace

from rungbook.exporting.cells import unshielded
from rungbook.intake.read_csv import read_csv
from rungbook.intake.read_workbook import read_workbook
from rungbook.intake.table import MOST_BYTES, CannotRead, Row, Sheet

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # compound file: old workbooks, and encrypted new ones


def read_table(
    data: bytes,
    file: str,
    sheet: str | None = None,
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Sheet:
    """The rows of a CSV file or a workbook's sheet.

    Raises:
        CannotRead: with a message that names the file and says what to do.
    """
    if len(data) > MOST_BYTES:
        raise CannotRead(
            f"{file}: the file is too large ({len(data) / 1e6:.0f} MB, at most "
            f"{MOST_BYTES / 1e6:.0f} MB): split it"
        )
    if not data.strip(b"\0\t\r\n ") or data in (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff"):
        raise CannotRead(f"{file}: the file is empty")
    if data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise CannotRead(f"{file}: the workbook is encrypted: save it without a password")
        raise CannotRead(f"{file}: this is a workbook of the old kind (.xls): save it as .xlsx")
    if data.startswith(b"PK"):
        found = read_workbook(data, file, sheet)
    elif sheet is not None:
        raise CannotRead(f"{file}: a text file has no sheets: leave --sheet out")
    elif data.startswith((b"%PDF", b"{\\rtf", b"\x89PNG", b"\xff\xd8\xff", b"\x1f\x8b")):
        raise CannotRead(f"{file}: this is no table: save the sheet as .xlsx or as CSV")
    else:
        found = read_csv(data, file, encoding, delimiter)
    if not found.rows:
        raise CannotRead(f"{found.title}: there is nothing in it")
    rows = (Row(row.number, tuple(map(unshielded, row.cells)), row.odd) for row in found.rows)
    return replace(found, rows=tuple(rows))
