"""Another id for an exercise or a ladder: in its file's name and in every file that names it.

Files are edited in place: nothing but the id becomes another, comments and layout stay. The
renamed file says what it was `formerly`, from which the site makes a forwarding page. Reviews
stay sound: where a seal held before and only the id has changed, it is made anew. All is tried on
a copy first.
"""

from __future__ import annotations

import contextlib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml

from rungbook.filling.front import CannotEdit, Front
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.model.place import base_of
from rungbook.pipeline.adding import copied
from rungbook.pipeline.reviewing import with_review
from rungbook.pipeline.together import NotWritten, write_together
from rungbook.reading.bases import list_whole
from rungbook.reading.core_schema import core_scalar
from rungbook.reading.folder import ID, better_id, list_library
from rungbook.reading.read import read_library
from rungbook.reading.seals import present_seal

# Where files name exercises: keys by the way to them, `*` any key or item.
_NAMES = {
    "exercises": (
        ("variation-of",), ("replaced-by",), ("progressions", "*", "to"),
        ("accepts", "*", "to"), ("accepts", "*", "from"),
    ),
    "ladders": (
        ("goal",), ("standard",), ("standard", "*"), ("entries", "*"),
        ("tests", "*", "gate", "before"), ("tests", "*", "start", "*", "enter"),
        ("accepts", "*", "to"), ("accepts", "*", "from"),
    ),
}  # fmt: skip
FORMERLY = "formerly"


@dataclass(frozen=True, slots=True)
class Renamed:
    """The renamed file's old and new path, and the other files that were changed."""

    old: str
    new: str
    changed: tuple[str, ...]


class NotRenamed(Exception):
    """The call cannot be followed; the message says why and what to do. Nothing was written."""


def rename(library: Library, old: str, new: str) -> Renamed:
    """Give the exercise or ladder `old` the id `new`.

    Raises:
        NotRenamed: there is no `old`, or `new` cannot be taken.
        CannotEdit: a file cannot be edited.
        NotWritten: a file is in the way or cannot be written, or the library would have new
            errors. In each case nothing was written.
    """
    files = _files(library)
    path = _path(library, files, old)
    _refuse(library, files, new)
    target = f"{path.rpartition('/')[0]}/{new}.md"
    changed: dict[str, bytes] = {}
    for file in files:
        content = (library.root / file).read_bytes()
        edited = content
        if path.startswith("exercises/") and old.encode() in content:
            edited = _renamed(Front.of(content, file), old, new).content()
        if file == path:
            edited = _formerly(Front.of(edited, file), old, new).content()
        if edited != content:
            changed[target if file == path else file] = edited
    changed |= _tried(library, path, changed)
    write_together(library.root, changed)
    (library.root / path).unlink()
    return Renamed(path, target, tuple(sorted(changed.keys() - {target})))


def _files(library: Library) -> list[str]:
    listing = list_library(library.root)
    return [found.file for found in (*listing.exercises, *listing.ladders)]


def _path(library: Library, files: list[str], id: str) -> str:
    """The file of an id that can be read."""
    found = [file for file in files if file.endswith(f"/{id}.md")]
    if id in library.withheld or (found and id not in {*library.exercises, *library.ladders}):
        raise NotRenamed(f"'{id}' has faults: mend what rungbook check says of it first")
    if not found and (file := _known(library, id)):
        base = base_of(file)
        raise NotRenamed(f"'{id}' belongs to the base {base}, which is never written to")
    if len(found) != 1:
        many = f"an exercise and a ladder are called '{id}': rename one of the files by hand"
        raise NotRenamed(many if found else f"there is no exercise or ladder '{id}'")
    return found[0]


def _known(library: Library, id: str) -> str | None:
    """The file of an exercise or ladder, of a base as well."""
    one = library.exercises.get(id) or library.ladders.get(id)
    return one.place().file if one else None


def _refuse(library: Library, files: list[str], new: str) -> None:
    """Why an id cannot be taken."""
    if not ID.fullmatch(new):
        better = better_id(new)
        such = f", such as '{better}'" if better else ""
        raise NotRenamed(f"an id is made of a-z, 0-9 and single hyphens{such}")
    taken = next((file for file in files if file.rpartition("/")[2] == f"{new}.md"), None)
    taken = taken or _known(library, new)
    if taken is not None:
        raise NotRenamed(f"'{new}' is already the id of {taken}: choose another")


def _renamed(front: Front, old: str, new: str) -> Front:
    """A file with every name of an exercise in it as it is now."""
    patterns = _NAMES[front.path.partition("/")[0]]
    spans = {
        (node.start_mark.index, node.end_mark.index)
        for way, node in _scalars(_root(front), ())
        if node.value == old and any(_fits(way, pattern) for pattern in patterns)
    }
    text = front.yaml
    for start, end in sorted(spans, reverse=True):
        quote = text[start] if text[start] in "'\"" else ""
        text = text[:start] + (f"{quote}{new}{quote}" if quote else _scalar(new)) + text[end:]
    return replace(front, yaml=text)


def _scalar(id: str) -> str:
    """An id as YAML: in quotes where it reads as a number, or as true."""
    return id if isinstance(core_scalar(id), str) else f"'{id}'"


def _root(front: Front) -> Any:
    try:
        return yaml.compose(front.yaml, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        raise CannotEdit(f"{front.path}: the front matter cannot be read") from error


def _scalars(node: Any, way: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    if isinstance(node, yaml.ScalarNode):
        yield way, node
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            yield from _scalars(item, (*way, "*"))
    elif isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _scalars(value, (*way, str(key.value)))


def _fits(way: tuple[str, ...], pattern: tuple[str, ...]) -> bool:
    return len(way) == len(pattern) and all(
        wanted in ("*", part) for part, wanted in zip(way, pattern, strict=True)
    )


def _formerly(front: Front, old: str, new: str) -> Front:
    """With one more name that it had."""
    root = _root(front)
    node = next((value for key, value in root.value if key.value == FORMERLY), None)
    names = [item.value for item in getattr(node, "value", ()) if isinstance(item, yaml.ScalarNode)]
    listed = f"[{', '.join(_scalar(one) for one in (*names, old) if one != new)}]"
    text, newline = front.yaml, front.newline
    if node is None:
        ended = "" if text.endswith("\n") or not text else newline
        return replace(front, yaml=f"{text}{ended}{FORMERLY}: {listed}{newline}")
    start, end = node.start_mark.index, node.end_mark.index
    after = newline if text[start:end].endswith("\n") else ""
    return replace(front, yaml=text[:start] + listed + after + text[end:])


def _tried(library: Library, path: str, changed: Mapping[str, bytes]) -> dict[str, bytes]:
    """Tries the files on a copy; returns those whose seals are to be made anew.

    Raises:
        NotWritten: the library would have errors that it has not now.
    """
    with copied(library.root) as copy:
        (copy / path).unlink()
        for file, content in changed.items():
            with contextlib.suppress(FileNotFoundError):
                (copy / file).unlink()  # perhaps a second name of the library's own file
            (copy / file).write_bytes(content)
        after = read_library(copy, origin=library.root)
        known = Counter(map(_told, library.findings))
        known.subtract(map(_told, after.findings))
        worse = [one for one in after.findings if one.level == "error" and known[_told(one)] < 0]
        if worse:
            told = "\n".join(f"  {one.place.file}: {one.message}" for one in worse)
            raise NotWritten(f"nothing was written, since the library would have errors:\n{told}")
        return dict(_sealed(library, after, changed))


def _told(one: Finding) -> tuple[str, str]:
    return one.check, one.message


def _sealed(
    before: Library, after: Library, changed: Mapping[str, bytes]
) -> Iterator[tuple[str, bytes]]:
    pictures = list_whole(after.root, before.root).pictures
    held = {id for id, one in before.exercises.items() if not one.altered}
    for id, exercise in after.exercises.items():
        review = exercise.reviewed
        was = {id, *exercise.formerly} & held
        if review is None or review.seal is None or not exercise.altered or not was:
            continue
        file = exercise.place("title").file
        content = changed.get(file) or (after.root / file).read_bytes()
        said = {
            "date": review.date.isoformat(),
            "by": review.by,
            "seal": present_seal(exercise, pictures),
        }
        yield file, with_review(Front.of(content, file), said).content()
