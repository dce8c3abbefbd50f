"""SVG drawings of the clinic's own, as only what is known to draw and to do nothing else.

A drawing is taken apart by a parser that refuses document types and entities, and put together
again from lists: these elements, these attributes, and values of these shapes. Whatever is not
understood is left out. No element or value is kept that could run anything, fetch anything, or
make a browser draw more than there is: references lead within the drawing only and not on to
others. A `style` becomes attributes, for drawing programs write colours there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from rungbook.reading import limits
from rungbook.reading.pictures import UnusablePicture

SVG = "http://www.w3.org/2000/svg"
_USE = f"{{{SVG}}}use"
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")
_TAGS = frozenset({
    "svg", "g", "defs", "title", "desc", "path", "rect", "circle", "ellipse", "line", "polyline",
    "polygon", "text", "tspan", "linearGradient", "radialGradient", "stop", "clipPath", "mask",
    "pattern", "symbol", "use",
})  # fmt: skip
_MAY_TAKE = frozenset({"use", "linearGradient", "radialGradient"})
_WORDED = frozenset({"title", "desc", "text", "tspan"})
# What others refer to may itself refer to nothing: nested references multiply what is drawn.
_REFERRED = frozenset({"clipPath", "mask", "pattern", "symbol"})
_PLAIN = frozenset({
    "id", "viewBox", "version", "width", "height", "x", "y", "x1", "y1", "x2", "y2", "dx", "dy",
    "cx", "cy", "r", "rx", "ry", "fx", "fy", "fr", "d", "points", "pathLength", "offset",
    "preserveAspectRatio", "transform", "gradientTransform", "patternTransform", "gradientUnits",
    "patternUnits", "patternContentUnits", "clipPathUnits", "maskUnits", "maskContentUnits",
    "spreadMethod", "textLength", "lengthAdjust", "rotate", "role", "opacity", "fill-opacity",
    "fill-rule", "clip-rule", "stroke-width", "stroke-linecap", "stroke-linejoin",
    "stroke-miterlimit", "stroke-dasharray", "stroke-dashoffset", "stroke-opacity", "stop-color",
    "stop-opacity", "color", "display", "visibility", "font-family", "font-size", "font-style",
    "font-weight", "letter-spacing", "word-spacing", "text-anchor", "text-decoration",
    "dominant-baseline", "vector-effect", "shape-rendering", "text-rendering",
})  # fmt: skip
_REFERRING = frozenset({"fill", "stroke", "clip-path", "mask"})
_FUNCTIONS = r"(?:rgba?|hsla?|matrix|translate|scale|rotate|skewX|skewY)"
_HARMLESS = r"[\w\s.,+\-%#'/]"
_VALUE = re.compile(rf"(?:{_HARMLESS}+|{_FUNCTIONS}\({_HARMLESS}*\))*")
_LINK = re.compile(rf"\s*url\(\s*(['\"]?)#[\w.\-]+\1\s*\)\s*{_HARMLESS}*")
_LINKED = re.compile(r"url\(\s*['\"]?#([\w.\-]+)")
_NAME = re.compile(r"#[\w.\-]+")


def clean_svg(content: bytes) -> bytes:
    """The drawing without anything that could act, reach outside or cost much.

    Raises:
        UnusablePicture: it is no SVG, or too large in bytes, elements or depth.
    """
    if len(content) > limits.MOST_SVG_BYTES:
        most = f"{limits.MOST_SVG_BYTES / 1e6:g} MB"
        raise UnusablePicture(f"it is larger than {most}: simplify it, or save it as PNG")
    root = _parsed(content)
    _without_copies(root)
    ElementTree.register_namespace("", SVG)
    clean: bytes = ElementTree.tostring(root, encoding="utf-8")
    return clean


def _parsed(content: bytes) -> Element:
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import DefusedXMLParser

    cleaner = _Cleaner()
    parser = DefusedXMLParser(target=cleaner, forbid_dtd=True)
    try:
        parser.feed(content)
        parser.close()
    except (DefusedXmlException, ElementTree.ParseError, ValueError, LookupError):
        raise UnusablePicture(
            "it cannot be read as SVG: save it as plain SVG without a document type"
        ) from None
    if cleaner.root is None:
        raise UnusablePicture("it holds no drawing: save it as plain SVG")
    return cleaner.root


class _Cleaner:
    """Builds the clean drawing while the parser reads; what is left out takes along all below."""

    def __init__(self) -> None:
        self.root: Element | None = None
        self.open: list[Element | None] = []  # None stands for an element that is left out
        self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.count > limits.MOST_SVG_ELEMENTS or len(self.open) >= limits.MOST_SVG_DEPTH:
            raise UnusablePicture(
                f"it has more than {limits.MOST_SVG_ELEMENTS} elements or "
                f"{limits.MOST_SVG_DEPTH} inside one another: simplify it, or save it as PNG"
            )
        name = tag.removeprefix(f"{{{SVG}}}") if tag.startswith(f"{{{SVG}}}") else ""
        above = self.open[-1] if self.open else None
        known = name in _TAGS and (above is not None if self.open else name == "svg")
        if not known:
            self.open.append(None)
            return
        made = Element(tag, dict(_attributes(name, attributes)))
        if above is None:
            self.root = made
        else:
            above.append(made)
        self.open.append(made)

    def end(self, tag: str) -> None:
        self.open.pop()

    def data(self, text: str) -> None:
        here = self.open[-1] if self.open else None
        if here is not None and here.tag.removeprefix(f"{{{SVG}}}") in _WORDED:
            if len(here):
                here[-1].tail = (here[-1].tail or "") + text
            else:
                here.text = (here.text or "") + text

    def close(self) -> None:
        return None


def _attributes(tag: str, written: dict[str, str]) -> Iterator[tuple[str, str]]:
    for name, value in {**_declared(written.get("style", "")), **written}.items():
        if (name in _PLAIN and _VALUE.fullmatch(value)) or (
            name in _REFERRING and (_VALUE.fullmatch(value) or _LINK.fullmatch(value))
        ):
            yield name, value
        elif name in _HREFS and tag in _MAY_TAKE and _NAME.fullmatch(value):
            yield "href", value


def _declared(style: str) -> dict[str, str]:
    """What a `style` declares, as attributes."""
    pairs = (one.partition(":") for one in style.split(";") if len(style) <= 10_000)
    return {name.strip(): value.strip() for name, colon, value in pairs if colon}


def _without_copies(root: Element) -> None:
    """Takes out references that lead on to others, and all once too much would be drawn."""
    for above in list(root.iter()):
        if above.tag.removeprefix(f"{{{SVG}}}") in _REFERRED:
            for below in above.iter():
                _cut(below)
    parts = {one.get("id", ""): one for one in root.iter() if one.get("id")}
    sizes = {name: sum(1 for _ in one.iter()) for name, one in _referred(root, parts).items()}
    weights = {id(one): _weight(one, sizes) for one in root.iter()}
    uses = [(above, one) for above in root.iter() for one in above if one.tag == _USE]
    costs = {
        name: _cost(parts[name], weights)
        for name in {_target(use) for _, use in uses} & parts.keys()
    }
    left = limits.MOST_SVG_ELEMENTS - sum(weights.values()) + len(weights)
    for above, use in uses:
        cost = costs.get(_target(use), 0)
        left -= cost
        if left < 0 or not cost:
            above.remove(use)
    if left < 0:
        for one in root.iter():
            _cut(one)


def _referred(root: Element, parts: dict[str, Element]) -> dict[str, Element]:
    names = {name for one in root.iter() for name in _names(one)}
    return {name: parts[name] for name in names if name in parts}


def _target(use: Element) -> str:
    return use.get("href", "")[1:]


def _cost(target: Element, weights: dict[int, int]) -> int:
    """How many elements a copy draws; 0 where it would copy on, which is not allowed."""
    inside = list(target.iter())
    if any(one.tag == _USE for one in inside):
        return 0
    return sum(weights[id(one)] for one in inside)


def _names(element: Element) -> list[str]:
    return [name for value in element.attrib.values() for name in _LINKED.findall(value)]


def _weight(element: Element, sizes: dict[str, int]) -> int:
    """How many elements are drawn for one, what it refers to included."""
    return 1 + sum(sizes.get(name, 0) for name in _names(element))


def _cut(element: Element) -> None:
    for name in [name for name, value in element.attrib.items() if "url(" in value]:
        del element.attrib[name]
    for below in [one for one in element if one.tag == _USE]:
        element.remove(below)


def size_of(content: bytes) -> tuple[int, int] | None:
    """Width and height of a clean drawing, in pixels, as far as it says them."""
    root: Any = ElementTree.fromstring(content)
    box = re.findall(r"[-+\d.eE]+", root.get("viewBox", ""))
    written = [root.get(key, "").removesuffix("px") for key in ("width", "height")]
    for width, height in (box[2:] if len(box) == 4 else ("", ""), written):
        try:
            size = float(width), float(height)
        except ValueError:
            continue
        if all(0.5 <= side < 100_000 for side in size):
            return round(size[0]), round(size[1])
    return None
