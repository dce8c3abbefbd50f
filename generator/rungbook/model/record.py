"""What every mapping of the library's text files is made of."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import BaseModel, ConfigDict, SkipValidation, WithJsonSchema

from rungbook.model.place import SourceMap


def kebab(name: str) -> str:
    """`also_called` -> `also-called`: the spelling of keys in the files."""
    return name.rstrip("_").replace("_", "-")


class Record(BaseModel):
    """A mapping of the library's text files: frozen, no unknown keys, kebab-case keys."""

    NOT_WRITTEN: ClassVar[frozenset[str]] = frozenset()  # fields that are no keys of the file

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        alias_generator=kebab,
        populate_by_name=True,
        arbitrary_types_allowed=True,
        allow_inf_nan=False,
    )


# Made by reading, never read from text: neither checked nor described.
KnownPlaces = Annotated[SourceMap, SkipValidation, WithJsonSchema({})]
