"""YAML text as plain values, read from the C parser's events.

Scalars follow the core schema of YAML 1.2.2 (section 10.3.2): `on`, `off`, `yes`, `no` and dates
are words. Keys are always text. Lists become tuples, since the models are strict. Places are
not kept: `rungbook.reading.places` reads the text again for the few values that need one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from sys import intern
from typing import Any

from yaml import YAMLError
from yaml._yaml import CParser
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    StreamEndEvent,
)

from rungbook.reading import limits
from rungbook.reading.core_schema import CORE_TAGS, Value, core_scalar
from rungbook.reading.front_matter import FORBIDDEN
from rungbook.reading.wording import shown


@dataclass(frozen=True, slots=True)
class YamlFault:
    """Something the text says that cannot be read as values; line and column count from 0."""

    check: str
    message: str
    line: int
    column: int


_WRITE_IT_OUT = "a key must be one word or text: write it out"
_NO_KEY = {
    MappingStartEvent: (
        "braces begin keys and values here: put the text that begins with '{{' in quotes, such as "
        "'{{hold}}', and for a list of keys write one brace only"
    )
}
# What the parser says, and the way out that it most often is.
_WAYS_OUT = {
    "mapping values are not allowed": (
        "a second colon in one line: put the text after the first one in quotes"
    ),
    "cannot start any token": "a text may not begin with this character: put the text in quotes",
    "found a tab": "a tab stands where spaces indent: write spaces",
    "while scanning a quoted scalar": "a quote that is opened and never closed: close it",
    "',' or ']'": "a list that is opened and never closed: add its ']', or put a text in quotes",
    "',' or '}'": "a brace that is opened and never closed: add its '}', or put a text in quotes",
    "expected <block end>": "indents that do not match: line it up with the keys above",
    "expected key": "indents that do not match: line it up with the keys above",
}


class _Refused(Exception):
    """Reading stops here: nothing after this point can be trusted."""

    def __init__(self, fault: YamlFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


@dataclass(slots=True)
class _Budget:
    nodes: int
    aliases: int = limits.MOST_ALIASES


def _fault(event: Any, message: str, check: str = "wrong-value") -> YamlFault:
    mark = event.start_mark
    return YamlFault(check, message, mark.line, mark.column)


class _Builder:
    """Builds one document; `faults` are those after which reading goes on."""

    def __init__(self, text: str, most_nodes: int) -> None:
        self.next: Callable[[], Any] = CParser(text).get_event
        self.budget = _Budget(most_nodes)
        self.faults: list[YamlFault] = []
        self.anchors: dict[str, tuple[Value, int]] = {}
        # Most texts hold no anchor, alias, tag or escape: then no event needs to be asked for one.
        self.simple = not ("&" in text or "*" in text or "!" in text or "\\" in text)

    def document(self) -> Value:
        self.next()  # the stream's start
        event = self.next()
        if event.__class__ is StreamEndEvent:
            return None
        assert event.__class__ is DocumentStartEvent
        value = self.value(self.next(), 0)
        self.next()  # the document's end
        event = self.next()
        if event.__class__ is not StreamEndEvent:
            raise _Refused(_fault(event, "a second document begins here: write one only"))
        return value

    def value(self, event: Any, depth: int) -> Value:
        kind = event.__class__
        if not self.simple:
            return self.marked(event, depth)
        if kind is ScalarEvent:
            return core_scalar(event.value) if event.implicit[0] else event.value
        return self.collection(event, kind, depth)

    def collection(self, event: Any, kind: type, depth: int) -> Value:
        if depth >= limits.MOST_DEPTH:
            message = f"more than {limits.MOST_DEPTH} levels inside one another: write it flatter"
            raise _Refused(_fault(event, message, "unreadable-file"))
        return (
            self.mapping(depth + 1)
            if kind is MappingStartEvent
            else self.sequence(depth + 1, event)
        )

    def sequence(self, depth: int, start: Any) -> tuple[Value, ...]:
        items = []
        following, value, simple = self.next, self.value, self.simple
        while (event := following()).__class__ is not SequenceEndEvent:
            if simple and event.__class__ is ScalarEvent:
                items.append(core_scalar(event.value) if event.implicit[0] else event.value)
            else:
                items.append(value(event, depth))
        self.spend(len(items), start)
        if len(items) > limits.MOST_ITEMS:
            message = f"a list of {len(items)}, more than {limits.MOST_ITEMS}: shorten it"
            self.faults.append(_fault(start, message))
            del items[limits.MOST_ITEMS :]
        return tuple(items)

    def mapping(self, depth: int) -> dict[str, Value]:
        found: dict[str, Value] = {}
        following, value, simple = self.next, self.value, self.simple
        while (event := following()).__class__ is not MappingEndEvent:
            if event.__class__ is not ScalarEvent:
                raise _Refused(_fault(event, _NO_KEY.get(event.__class__, _WRITE_IT_OUT)))
            if not simple:
                self.escapes(event)
            key = intern(event.value)
            if key in found:
                message = f"the key '{shown(key)}' is written twice: remove one of them"
                self.faults.append(_fault(event, message))
                value(following(), depth)
                continue
            event = following()
            if simple and event.__class__ is ScalarEvent:
                found[key] = core_scalar(event.value) if event.implicit[0] else event.value
            else:
                found[key] = value(event, depth)
        self.spend(len(found), event)
        return found

    def spend(self, nodes: int, event: Any) -> None:
        self.budget.nodes -= nodes
        if self.budget.nodes < 0:
            message = "more values than a file of this kind may hold: split it"
            raise _Refused(_fault(event, message, "unreadable-file"))

    def marked(self, event: Any, depth: int) -> Value:
        """A value that may carry an anchor or a tag, or is an alias."""
        kind = event.__class__
        if kind is AliasEvent:
            return self.alias(event)
        before = self.budget.nodes
        if kind is ScalarEvent:
            self.escapes(event)
            value = core_scalar(event.value) if event.implicit[0] else event.value
        else:
            value = self.collection(event, kind, depth)
        if event.tag == "!" and kind is ScalarEvent:
            value = event.value  # the sign that a scalar is text
        elif event.tag is not None:
            value = self.tagged(event, value)
        if event.anchor is not None:
            self.anchors[event.anchor] = (value, before - self.budget.nodes + 1)
        return value

    def escapes(self, event: Any) -> None:
        """Escapes in quotes must not bring in what plain text may not hold."""
        found = FORBIDDEN.search(event.value) if event.style == '"' else None
        if found:
            message = f"an escape stands for U+{ord(found[0]):04X}, which nobody can see: remove it"
            self.faults.append(_fault(event, message))

    def alias(self, event: Any) -> Value:
        if event.anchor not in self.anchors:
            message = f"'*{shown(event.anchor)}' repeats a value that is not defined before it"
            raise _Refused(_fault(event, f"{message}: write the value out"))
        value, nodes = self.anchors[event.anchor]
        self.budget.aliases -= 1
        if self.budget.aliases < 0:
            message = f"more than {limits.MOST_ALIASES} repeated values (*name): write them out"
            raise _Refused(_fault(event, message, "unreadable-file"))
        self.spend(nodes, event)
        return value

    def tagged(self, event: Any, value: Value) -> Value:
        wanted = CORE_TAGS.get(event.tag)
        if wanted is str and event.__class__ is ScalarEvent:
            return event.value
        if event.__class__ is ScalarEvent and wanted is not None:
            value = core_scalar(event.value)
            if wanted is float and type(value) is int:
                value = float(value)
        if wanted is None or type(value) is not wanted:
            message = f"the tag '{shown(event.tag)}' is not used here: remove it"
            self.faults.append(_fault(event, message))
        return value


Reading = tuple[Value, list[YamlFault]]
Read = Callable[[str, int], Reading]


def read_yaml(text: str, most_nodes: int = limits.MOST_NODES) -> Reading:
    """The values of one document and what was wrong with it.

    The value is None where nothing could be read. Never raises for bad text.
    """
    builder = _Builder(text, most_nodes)
    try:
        return builder.document(), builder.faults
    except _Refused as refused:
        return None, [*builder.faults, refused.fault]
    except YAMLError as error:
        return None, [*builder.faults, _broken(error, text)]


def _broken(error: YAMLError, text: str) -> YamlFault:
    mark = getattr(error, "problem_mark", None)
    problem = getattr(error, "problem", None) or getattr(error, "reason", None) or "not YAML"
    context = getattr(error, "context", None)
    words = f"{problem} {context}" if context else str(problem)
    words = words.replace("<document start>", "the end of the document")
    otherwise = "check indents, quotes, colons and brackets here and above"
    lines = text.split("\n")
    # At the end of the text the parser counts a line that is not there.
    line = min(mark.line, len(lines) - 1) if mark else 0
    way_out = next((out for sign, out in _WAYS_OUT.items() if sign in words), otherwise)
    if mark and lines[line][mark.column :].startswith("\t"):
        way_out = _WAYS_OUT["found a tab"]
    elif mark and "mapping values" in words and lines[line][: mark.column + 1].count(":") < 2:
        way_out = _WAYS_OUT["expected key"]
    message = f"broken YAML: {words}: {way_out}"
    if mark is None:
        return YamlFault("unreadable-file", message, 0, 0)
    return YamlFault("unreadable-file", message, line, min(mark.column, len(lines[line])))
