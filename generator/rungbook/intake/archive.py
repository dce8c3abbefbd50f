"""What an archive that claims to be a workbook holds, before any of it is unpacked."""

from __future__ import annotations

import io
import zipfile

from rungbook.intake.table import CannotRead

MOST_UNPACKED = 150_000_000  # bytes of all parts together
MOST_STRINGS = 60_000_000  # bytes of the one part that is kept in memory
MOST_PARTS = 5_000


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
    unpacked = sum(part.file_size for part in parts)
    strings = sum(part.file_size for part in parts if "sharedStrings" in part.filename)
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED or strings > MOST_STRINGS:
        raise CannotRead(
            f"{file}: the workbook unpacks to {unpacked / 1e6:,.0f} MB, more than is read "
            f"({MOST_UNPACKED / 1e6:.0f} MB): save the sheet alone, or as CSV"
        )
