"""Texts that must look a certain way: they end up in links, styles and command lines."""

from __future__ import annotations

import re
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from rungbook.model.unit import fault


def _like(pattern: str, expected: str, *examples: str) -> tuple[AfterValidator, WithJsonSchema]:
    shape = re.compile(pattern)

    def check(value: str) -> str:
        if not shape.fullmatch(value):
            raise fault("wrong_value", value, expected)
        return value

    schema: dict[str, Any] = {"type": "string", "pattern": f"^({pattern})$"}
    return AfterValidator(check), WithJsonSchema({**schema, "examples": list(examples)})


# The pattern must match a whole text, so that one of blanks alone is no title.
Title = Annotated[
    str, *_like(r"(?=.{1,300}$)\s*\S.*", "some words in one line, 300 letters at most")
]
# An exercise's or a ladder's: the stem of its file, part of its address.
Id = Annotated[
    str,
    *_like(
        r"(?=.{1,200}$)[a-z0-9]+(-[a-z0-9]+)*", "an id of a-z, 0-9 and single hyphens", "heel-raise"
    ),
]
_ADDRESS = "an address such as https://example.org"


def _whole_address(value: str) -> str:
    """Brackets and ports that no program can make sense of are no address either."""
    try:
        parts = urlsplit(value)
        if parts.hostname and (parts.port is None or parts.port > 0):
            return value
    except ValueError:
        pass
    raise fault("wrong_value", value, _ADDRESS)


Url = Annotated[
    str,
    *_like(r"https?://[^\s<>\"'`\\]{1,2000}", _ADDRESS, "https://example.org"),
    AfterValidator(_whole_address),
]
Doi = Annotated[
    str, *_like(r"10\.\d{4,9}/[^\s<>\"'`\\]{1,300}", "a DOI such as 10.1000/182", "10.1000/182")
]
Colour = Annotated[
    str, *_like(r"#[0-9a-fA-F]{6}", "a colour such as '#0b5563', in quotes", "#0b5563")
]
Language = Annotated[
    str, *_like(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}", "a language such as en or de", "en", "de")
]
# A Graphviz command by its plain name: a library must not be able to start any other program.
GRAPHVIZ = r"(graphviz-pure|graphviz|dot)([._-]?[0-9][0-9.]{0,20}|_builtins)?"
Program = Annotated[
    str, *_like(GRAPHVIZ, "the name of a Graphviz command, such as dot", "graphviz-pure", "dot")
]


# Letters and digits that no YAML takes for a number, once they are in quotes.
Seal = Annotated[str, *_like(r"[0-9a-f]{32}", "what `rungbook review` writes")]


def _with_unit(value: Any) -> Any:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise fault("wrong_unit", value, "a time with a unit, such as '24 months'")
    return value


Period = Annotated[
    str,
    BeforeValidator(_with_unit),
    *_like(r"[1-9]\d{0,3} (day|week|month|year)s?", "a time such as '24 months'", "24 months"),
]
