"""Take the changed cells of an exported table back into the same library."""

from __future__ import annotations

import json
import pathlib
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.intake.bulk import Bulk


@click.command(epilog="Example: rungbook export csv --output all.csv, then rungbook edits all.csv")
@click.argument("file", type=click.Path(path_type=pathlib.Path))
@click.option("--write", "written", is_flag=True, help="Write the files; without it, look first.")
@options.library
@options.output_format("text", "json")
def command(file: pathlib.Path, written: bool, library: pathlib.Path, output_format: str) -> None:
    """Show what the edited table FILE, once written by `rungbook export csv`, changes in the
    library: as a diff of its files, and with --write in the files themselves.

    Only cells that were changed are taken; comments and order stay. A row whose exercise was
    changed since the export is refused, and so are reviews.

    Exit status: 0 done, 1 something is refused and nothing was written, 2 the call is wrong.
    """
    from rungbook.filling.front import CannotEdit
    from rungbook.intake.bulk import bulk_edits
    from rungbook.intake.putting_back import put_back
    from rungbook.intake.read_table import read_table
    from rungbook.intake.table import MOST_BYTES, CannotRead, table_of
    from rungbook.model.finding import Finding
    from rungbook.pipeline.together import NotWritten
    from rungbook.reading.raw import read_bytes
    from rungbook.reading.read import read_library

    try:
        data = read_bytes(str(file), file.name, MOST_BYTES)
        if isinstance(data, Finding):
            raise CannotRead(f"{file}: {data.message}")
        sheet = read_table(data, file.name)
        read = read_library(library)
        table = table_of(sheet, sheet.rows[0].number)
        bulk = bulk_edits(table, read, lambda path: (library / path).read_bytes())
        put_back(bulk, read, write=written and not bulk.refused)
    except (CannotRead, CannotEdit, NotWritten) as error:
        raise click.UsageError(str(error)) from None
    done = written and not bulk.refused
    if output_format == "json":
        click.echo(json.dumps(_values(bulk, done), indent=2, ensure_ascii=False))
    else:
        click.echo(_text(bulk, done))
    if bulk.refused:
        raise click.exceptions.Exit(1)


def _values(bulk: Bulk, done: bool) -> dict[str, Any]:
    """`{"written","edits","refused","files"}`."""
    return {
        "written": done,
        "edits": [
            {"id": one.id, "column": one.column, "old": one.old, "new": one.new}
            for one in bulk.edits
        ],
        "refused": [
            {"row": one.row, "id": one.id, "column": one.column or None, "why": one.why}
            for one in bulk.refused
        ],
        "files": list(bulk.after),
    }


def _text(bulk: Bulk, done: bool) -> str:
    import difflib

    from rungbook.ladder.words import counted
    from rungbook.reports.report import visible

    lines = []
    for path, after in bulk.after.items():
        old, new = (text.decode().splitlines() for text in (bulk.before[path], after))
        lines += [*map(visible, difflib.unified_diff(old, new, path, path, lineterm="", n=1)), ""]
    for one in bulk.refused:
        at = f"row {one.row}, {one.id}" + (f", {one.column}" if one.column else "")
        lines.append(f"Refused: {visible(at)}: {visible(one.why)}")
    cells = f"{counted(len(bulk.edits), 'cell')} in {counted(len(bulk.after), 'file')}"
    if not bulk.edits and not bulk.refused:
        lines.append("No cell was changed.")
    elif done:
        lines.append(f"Written: {cells}. What was changed is to be reviewed again.")
    elif bulk.refused:
        lines.append(f"Not written: mend what is refused ({cells} would change).")
    else:
        lines.append(f"To change {cells}: the same with --write.")
    return "\n".join(lines)
