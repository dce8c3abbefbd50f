"""The words of the format, for people: positions, points, joints, fields."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.load.format_words import Table

KINDS = ("positions", "points", "joints", "fields")
WIDTH = 96


@click.command(epilog="Example: rungbook words joints")
@click.argument("kind", type=click.Choice(KINDS))
@options.output_format("text", "json")
def command(kind: str, output_format: str) -> None:
    """Say what the words of the format mean: each with its zero, its contacts or an example.

    The same stands on the site's page "Words of the files".
    """
    from rungbook.load.format_words import KINDS as TABLES

    tables = list(TABLES[kind]())
    if output_format == "json":
        found = {
            table.title: [dict(zip(table.headings, row, strict=True)) for row in table.rows]
            for table in tables
        }
        click.echo(json.dumps(found, indent=2, ensure_ascii=False))
        return
    click.echo("\n".join(line for table in tables for line in _told(table)))


def _told(table: Table) -> Iterator[str]:
    yield table.title
    yield textwrap.fill(table.about, WIDTH)
    for word, said, *rest in table.rows:
        yield f"  {word}"
        more = [f"{name}: {value}" for name, value in zip(table.headings[2:], rest, strict=True)
                if value]  # fmt: skip
        for text in (said, *more):
            yield textwrap.fill(text, WIDTH, initial_indent="      ", subsequent_indent="        ")
    yield ""
