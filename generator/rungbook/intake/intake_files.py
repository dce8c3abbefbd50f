"""The files of an intake: the mapping and the record beside the library, the drafts in it."""

from __future__ import annotations

import json
import os
import pathlib
from collections.abc import Callable
from dataclasses import dataclass

from rungbook.intake.draft_text import visible
from rungbook.intake.intake import Intake, Made, record_of, record_values
from rungbook.intake.mapping import mapping_text
from rungbook.intake.table import CannotRead
from rungbook.intake.value_map import unknown_words
from rungbook.intake.words import slug
from rungbook.model.place import base_of
from rungbook.reading.bases import list_whole

Write = Callable[[pathlib.Path, str], None]
LONGEST_NAME = 80


@dataclass(frozen=True)
class IntakeFolder:
    """The library's folder and the intake's own beside it, `<library>-intake`."""

    library: pathlib.Path

    @property
    def beside(self) -> pathlib.Path:
        """Where mappings and the record are; it goes into version control with the library."""
        root = self.library.resolve()
        return root.parent / f"{root.name}-intake"

    def mapping_file(self, file: str, sheet: str | None) -> pathlib.Path:
        """The mapping of a table, by the name of its file and sheet."""
        stem = slug(pathlib.PurePath(file).stem) or "table"
        name = f"{stem}-{slug(sheet)}" if sheet and slug(sheet) else stem
        return self.beside / f"{name[:LONGEST_NAME]}.yml"

    def record(self) -> dict[str, Made]:
        """What earlier runs wrote.

        Raises:
            CannotRead: the file is there and damaged.
        """
        path = self.beside / "made.json"
        try:
            return record_of(json.loads(path.read_text("utf-8")))
        except FileNotFoundError:
            return {}
        except (OSError, ValueError) as error:
            raise CannotRead(
                f"{path} cannot be read ({error}): mend it, or delete it, after which all drafts "
                "count as written by hand"
            ) from None

    def finder(self) -> Callable[[str], tuple[str, str] | None]:
        """Gives the file of an exercise's id and its text; nothing where there is none."""
        files = {found.stem: found for found in reversed(list_whole(self.library).exercises)}

        def find(id: str) -> tuple[str, str] | None:
            found = files.get(id)
            if found is None:
                return None
            if base_of(found.file):
                return found.file, "\0"  # a base's: nothing is written in its place
            try:
                return found.file, pathlib.Path(found.path).read_text("utf-8")
            except (OSError, UnicodeDecodeError):
                return found.file, "\0"  # there, and nothing this program wrote

        return find


def carry_out(intake: Intake, folder: IntakeFolder, mapping: pathlib.Path, write: Write) -> None:
    """Write the drafts, then the record, then the mapping where it is new.

    A run that is cut short has written whole files; the next one finds them as they should be.

    Raises:
        CannotRead: a folder of the library leads out of it.
        OSError: no room or no permission.
    """
    root = folder.library.resolve()
    for outcome in intake.writes:
        path = root / outcome.file
        if not path.parent.resolve().is_relative_to(root):
            raise CannotRead(f"{outcome.file} leads out of the library: nothing is written there")
        path.parent.mkdir(parents=True, exist_ok=True)
        write(path, outcome.text)
        if outcome.moved_from:
            os.unlink(root / outcome.moved_from)
    folder.beside.mkdir(parents=True, exist_ok=True)
    values = record_values(intake.record)
    write(folder.beside / "made.json", json.dumps(values, indent=1, ensure_ascii=False) + "\n")
    if not intake.mapping.edited:
        mapping.parent.mkdir(parents=True, exist_ok=True)
        write(mapping, visible(mapping_text(intake.table, intake.mapping, unknown_words(intake))))
