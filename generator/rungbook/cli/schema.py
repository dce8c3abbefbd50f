"""Print the JSON Schema of a kind of file, for editors."""

from __future__ import annotations

import json
import pathlib

import click

from rungbook.cli import options

KINDS = (
    "exercise", "ladder", "library", "areas", "cautions", "equipment", "restrictions", "sources",
)  # fmt: skip


@click.command(epilog="Example: rungbook schema exercise > exercise.schema.json")
@click.argument("kind", type=click.Choice(KINDS), required=False)
@options.library
@click.option(
    "--output",
    type=click.Path(path_type=pathlib.Path, file_okay=False),
    metavar="DIR",
    help="Write one file a kind into this folder instead.",
)
def command(kind: str | None, library: pathlib.Path, output: pathlib.Path | None) -> None:
    """Print the JSON Schema of a kind of file: completion and checks in an editor.

    Without KIND, one schema for all files. Where the library is there, its vocabulary and its
    exercises are in the schema: print it again after adding words.

    \b
    To use it, write the schemas into a folder beside the library:
      rungbook schema --output schema
    and let the editor know, in a first line of library.yml or a vocabulary file,
      # yaml-language-server: $schema=../schema/library.json
    or in one line of its settings (those of VS Code, as an example):
      "yaml.schemas": {"schema/library.json": "library.yml"}

    Front matter of exercises and ladders gets the same help in editors that hand the lines
    between '---' to their YAML support; elsewhere any JSON Schema validator can check it.
    """
    from rungbook.model.library import Library
    from rungbook.reading.read import read_library
    from rungbook.reading.schema import all_schemas, file_schema

    known: Library | None = read_library(library) if library.is_dir() else None
    if output is None:
        schema = file_schema(kind, known) if kind else all_schemas(known)
        click.echo(json.dumps(schema, indent=2, ensure_ascii=False))
        return
    output.mkdir(parents=True, exist_ok=True)
    for each in (kind,) if kind else KINDS:
        text = json.dumps(file_schema(each, known), indent=2, ensure_ascii=False)
        (output / f"{each}.json").write_text(f"{text}\n", encoding="utf-8")
    click.echo(f"Schemas written to {output}.", err=True)
