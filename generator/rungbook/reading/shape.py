"""Values against the models: every fault of a record at once, each at its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import takewhile
from types import MappingProxyType
from typing import Annotated, Any, TypeVar, get_args, get_origin

from pydantic import ValidationError

from rungbook.model.finding import Finding
from rungbook.model.place import Path, Place, SourceMap
from rungbook.model.record import Record, kebab
from rungbook.reading import limits
from rungbook.reading.wording import expectation, quoted, shown
from rungbook.reading.words import did_you_mean

M = TypeVar("M", bound=Record)


@dataclass(frozen=True, slots=True)
class Problem:
    """A fault of one record, at a path of its values; at the key where `at_key`.

    A contradiction lies between two values: `other` is the second, and the place of the fault
    where a variation inherits the first.
    """

    check: str
    path: Path
    message: str
    at_key: bool = False
    other: Path | None = None


def findings_of(
    problems: Iterable[Problem],
    places: SourceMap,
    exercise: str | None = None,
    ladder: str | None = None,
) -> list[Finding]:
    """Problems as findings at their places."""
    exercises = (exercise,) if exercise else ()
    return [
        Finding(
            problem.check,
            "warning" if problem.check == "unsafe-markup" else "error",
            problem.message,
            _place(problem, places),
            exercises,
            ladder,
        )
        for problem in problems
    ]


def _place(problem: Problem, places: SourceMap) -> Place:
    at = places.key_place if problem.at_key else places.place
    place = at(problem.path)
    if problem.other is not None:
        other, home = at(problem.other), places.place(("title",)).file
        if place.file != home == other.file:
            return other
    return place


def validate(
    model: type[M], values: dict[str, Any], given: dict[str, Any] | None = None
) -> tuple[M | None, M | None, list[Problem]]:
    """A record, or what is wrong with it.

    Returns the record where the values are sound; else what is left of it without the faulty
    values (None where nothing is), so that its other faults can be found; and the problems.
    `given` holds what is not written in the file, such as the id.
    """
    made = {kebab(name) for name in model.NOT_WRITTEN}
    written = {key: value for key, value in values.items() if key not in made}
    hidden = [_unknown(model, (), key) for key in values.keys() - written.keys()]
    try:
        record = model.model_validate({**written, **(given or {})}, by_alias=True, by_name=False)
        return (None if hidden else record), record, hidden
    except ValidationError as error:
        problems = list(_problems(model, written, error))
    rest = _pruned(written, problems)
    try:
        part = model.model_validate({**rest, **(given or {})}, by_alias=True, by_name=False)
    except ValidationError:
        part = None
    return None, part, [*hidden, *problems][: limits.MOST_FAULTS]


def _problems(
    model: type[Record], values: dict[str, Any], error: ValidationError
) -> Iterator[Problem]:
    seen: set[tuple[str, Path]] = set()
    for fault in error.errors(include_url=False):
        path, value = _path(values, fault["loc"])
        kind = fault["type"]
        if kind == "extra_forbidden":
            problem = _unknown(model, path[:-1], str(path[-1]), _around(values, path))
        elif kind == "missing":
            key = str(fault["loc"][-1])
            problem = Problem("missing-field", path, f"'{key}' is missing: add it")
        else:
            problem = _wrong(path, value, fault)
        if (problem.check, problem.path) not in seen or problem.check == "missing-field":
            seen.add((problem.check, problem.path))
            yield problem


def _path(values: Any, loc: tuple[str | int, ...]) -> tuple[Path, Any]:
    """The part of pydantic's location that exists in the values, and the value there."""
    path: list[str | int] = []
    here: Any = values
    for part in loc:
        if (isinstance(here, dict) and part in here) or (
            isinstance(here, tuple) and isinstance(part, int) and part < len(here)
        ):
            path.append(part)
            inside: Any = here
            here = inside[part]
    return tuple(path), here


def _around(values: Any, path: Path) -> dict[str, Any]:
    """The keys and values among which the one at the path stands."""
    for part in path[:-1]:
        values = values[part]
    return values if isinstance(values, dict) else {}


def _rest_of_a_text(key: str, around: Mapping[str, Any]) -> str | None:
    """What to do where a comma or a colon made a key of a part of a text; None elsewhere."""
    if around.get(key, "") is None:
        keys = list(around)
        at = keys.index(key)
        first = next((n for n in range(at, -1, -1) if around[keys[n]] is not None), at)
        rest = takewhile(lambda one: around[one] is None, keys[first + 1 :])
        if isinstance(text := around[keys[first]], str):
            whole = quoted(", ".join((text, *rest)))
            return f"a comma ends a text between braces: put it in quotes, {keys[first]}: {whole}"
    elif " " in key and isinstance(text := around.get(key), str):
        return (
            f"a colon makes a key of what precedes it: put it in quotes, {quoted(f'{key}: {text}')}"
        )
    return None


def _unknown(
    model: type[Record], path: Path, key: str, around: Mapping[str, Any] = MappingProxyType({})
) -> Problem:
    keys = keys_at(model, path)
    rest = _rest_of_a_text(key, around)
    if rest is not None:
        hint = rest
    elif key == "id" and not path:
        hint = "the file's name is the id: remove this line"
    elif key == "toward" and "pulls" in keys:
        hint = "'pulls' says the direction already: remove one of the two"
    elif key == "<<":
        hint = "keys are not merged in: write them out, or use 'variation-of'"
    else:
        hint = did_you_mean(key, keys, "remove it, or see `rungbook words fields`")
    return Problem(
        "unknown-field", (*path, key), f"unknown key '{shown(key)}': {hint}", at_key=True
    )


def _wrong(path: Path, value: Any, fault: Any) -> Problem:
    check = "wrong-unit" if fault["type"] == "wrong_unit" else "wrong-value"
    key = next((part for part in reversed(path) if isinstance(part, str)), "the file")
    if fault["loc"][-1] == "[key]":
        words = expectation(fault["type"], key, fault.get("ctx", {}), fault["msg"])
        return Problem(check, path, f"'{shown(key)}' is not {words}", at_key=True)
    words = expectation(fault["type"], value, fault.get("ctx", {}), fault["msg"])
    return Problem(check, path, f"'{shown(key)}' is {quoted(value)}, not {words}")


def keys_at(model: type[Record], path: Path) -> list[str]:
    """The keys a record may have at a path of its values; empty where any may."""
    kind: Any = model
    for part in path:
        kind = _inside(kind, part)
    record = _record(kind)
    if record is None:
        return []
    return [kebab(name) for name in record.model_fields if name not in record.NOT_WRITTEN]


def _inside(kind: Any, part: str | int) -> Any:
    record = _record(kind)
    if record is not None:
        return next(
            (
                about.annotation
                for name, about in record.model_fields.items()
                if kebab(name) == part
            ),
            None,
        )
    arguments = [item for item in get_args(_plain(kind)) if item is not Ellipsis]
    if get_origin(_plain(kind)) is dict:
        return arguments[1]
    inner = [item for item in arguments if get_args(item) or _record(item)]
    return inner[0] if inner else None


def _plain(kind: Any) -> Any:
    while get_origin(kind) is Annotated:
        kind = get_args(kind)[0]
    options = [item for item in get_args(kind) if get_origin(item) in (tuple, dict)]
    return options[0] if options and get_origin(kind) not in (tuple, dict) else kind


def _record(kind: Any) -> type[Record] | None:
    kind = _plain(kind)
    for option in (kind, *(get_args(kind) if get_origin(kind) not in (tuple, dict) else ())):
        if isinstance(option, type) and issubclass(option, Record):
            return option
    return None


def _pruned(values: dict[str, Any], problems: list[Problem]) -> dict[str, Any]:
    """The values without the top-level keys that hold a fault, missing ones stood in for."""
    faulty = {problem.path[0] for problem in problems if problem.path}
    return {key: value for key, value in values.items() if key not in faulty}
