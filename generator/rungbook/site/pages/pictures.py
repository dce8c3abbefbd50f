"""The clinic's own photographs, taken into the site: never a file from outside the library."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterator
from xml.etree import ElementTree

from rungbook.model.exercise import Exercise, Picture
from rungbook.model.library import Library

SVG = "http://www.w3.org/2000/svg"
# What draws and cannot act: no script, no style, no foreign content, no outside reference.
SVG_TAGS = frozenset({
    "svg", "g", "defs", "title", "desc", "path", "rect", "circle", "ellipse", "line", "polyline",
    "polygon", "text", "tspan", "linearGradient", "radialGradient", "stop", "clipPath", "mask",
    "pattern", "symbol", "use",
})  # fmt: skip
SVG_REFERENCES = frozenset({"href", "{http://www.w3.org/1999/xlink}href"})


def picture_path(root: pathlib.Path, file: str) -> pathlib.Path | None:
    """The picture on the disk, or None where it is no file inside `pictures/`."""
    folder = os.path.realpath(root / "pictures")
    path = os.path.realpath(os.path.join(folder, file))
    inside = path.startswith(folder + os.sep)
    return pathlib.Path(path) if inside and os.path.isfile(path) else None


def shown(root: pathlib.Path, exercise: Exercise) -> Iterator[Picture]:
    """The pictures of an exercise that the site can show."""
    return (item for item in exercise.pictures if picture_path(root, item.file))


def pictures_shown(library: Library) -> Iterator[tuple[str, tuple[int, int]]]:
    """Every picture that a page shows, once, with its size and time on the disk."""
    wanted = {item.file for exercise in library.exercises.values() for item in exercise.pictures}
    for file in sorted(wanted):
        path = picture_path(library.root, file)
        if path is not None:
            about = path.stat()
            yield file, (about.st_size, about.st_mtime_ns)


def picture_bytes(root: pathlib.Path, file: str) -> bytes:
    """A picture as the site has it."""
    path = picture_path(root, file)
    content = path.read_bytes() if path else b""
    return harmless_svg(content) if _is_svg(file) else content


def _is_svg(file: str) -> bool:
    return file.lower().endswith(".svg")


def harmless_svg(content: bytes) -> bytes:
    """The drawing without anything that could act or reach outside; empty where it is no SVG."""
    ElementTree.register_namespace("", SVG)
    empty = ElementTree.Element(f"{{{SVG}}}svg")
    try:
        root = ElementTree.fromstring(content) if b"<!DOCTYPE" not in content.upper() else empty
    except ElementTree.ParseError:
        root = empty
    if root.tag != f"{{{SVG}}}svg":
        root = empty
    _strip(root)
    clean: bytes = ElementTree.tostring(root, encoding="utf-8")
    return clean


def _acts(name: str, value: str) -> bool:
    """Whether an attribute could run something or fetch something."""
    value = value.strip()
    if name.lower().startswith("on") or name == "style":
        return True
    if name in SVG_REFERENCES:
        return not value.startswith("#")
    return "url(" in value and "url(#" not in value


def _strip(element: ElementTree.Element) -> None:
    for name, value in list(element.attrib.items()):
        if _acts(name, value):
            del element.attrib[name]
    for child in list(element):
        tag = child.tag if isinstance(child.tag, str) else ""
        if tag.startswith(f"{{{SVG}}}") and tag.removeprefix(f"{{{SVG}}}") in SVG_TAGS:
            _strip(child)
        else:
            element.remove(child)
