"""A dose in free text, such as `3x10, 2 kg, 3/week`, into the fields of a dose.

Only what can mean one thing is taken. Everything else stays as text: a weight (where does it
act?), `3 x 30 s` (held, or moving?), words such as "to fatigue".
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from pydantic_core import PydanticCustomError

from rungbook.model.unit import magnitude

MOST_SETS = 8
_N = r"(\d{1,3}(?:[.,]\d{1,2})?)"
_INT = r"(\d{1,4})"
_RANGE = r"(\d{1,4})(?:\s*(?:-|\u2013|to)\s*(\d{1,4}))?"
_X = r"\s*(?:x|\u00d7|\*)\s*"
_S = r"(?:seconds?|secs?|sec|s|sek(?:unden?)?|secondes?|\"|\u2033)"
_MIN = r"(?:minutes?|mins?|min|minuten?)"
_TIME = rf"{_N}\s*({_S}|{_MIN})(?![a-z])"
_REPS = r"(?:repetitions?|reps?|wiederholungen|wdh\.?|r\u00e9p\u00e9titions?|r\u00e9p\.?)(?![a-z])"
_SETS = r"(?:sets?|s\u00e4tze|serien|s\u00e9ries?)(?![a-z])"
_OF_TEN = rf"{_N}(?:\s*(?:-|\u2013|to)\s*{_N})?\s*(?:/|of|out\s+of)\s*10"
# What follows a count of repetitions and makes it a count of something else, or one of several.
_NO_COUNT = (
    r"(?!\s*(?:kg|g|lbs?|oz|%|k?m|cm|mm|ft|in|inch(?:es)?|n|mins?|minutes?|s|secs?|seconds?|"
    r"\"|\u2033|h|hours?|steps?|breaths?|\u00b0|deg|w|watts?|weeks?|days?)(?![a-z])|\s*/\s*\d|,\d)"
)
# What stands before a number that is the end of a range or a factor: it is not the whole of it.
_HALF = re.compile(r"(?:\d\s*(?:-|\u2013|to|or|bis)|[x\u00d7*<>\u2264\u2265])\s*$", re.IGNORECASE)
_TIMES = {"once": 1, "twice": 2, "one time": 1, "two times": 2, "three times": 3}
_DAY = r"(?:day|d|tag|jour)(?![a-z])"
_WEEK = r"(?:week|wk|w|woche|semaine)(?![a-z])"
_PER = r"\s*(?:/|per|a|an|each|every|pro|par)\s*"
_OFTEN = (
    rf"(once|twice|(?:one|two|three) times?|{_N}\s*(?:x|\u00d7|times?|sessions?|days?|mal|fois)?)"
)


@dataclass(frozen=True, slots=True)
class ReadDose:
    """`fields` as the file has them; `rest` is what was not understood, in its order."""

    fields: dict[str, object] = field(default_factory=dict)
    rest: tuple[str, ...] = ()


Found = dict[str, object]
Rule = tuple[re.Pattern[str], Callable[[re.Match[str]], Found | None]]


def _decimal(text: str) -> str:
    number = float(text.replace(",", "."))
    return f"{number:g}"


def _time(number: str, unit: str) -> str:
    return f"{_decimal(number)} {'min' if unit.lower().startswith('min') else 's'}"


def _reps(low: str, high: str | None) -> int | str:
    return int(low) if high is None or int(low) == int(high) else f"{int(low)}-{int(high)}"


def _counted(sets: str, low: str, high: str | None) -> Found | None:
    """`3 x 10`; with many sets the writer may have put the repetitions first."""
    if int(sets) > MOST_SETS:
        return None
    return {"sets": int(sets), "reps": _reps(low, high)}


def _often(words: str, count: str | None, per: str) -> Found | None:
    """`twice`, or a number of times, a day or a week."""
    said = " ".join(words.split())
    number = str(_TIMES[said]) if said in _TIMES else _decimal(count or "0")
    if "day" in said and per == "day":  # "3 days a day" makes no sense
        return None
    return {"sessions": f"{number} per {per}"} if 0 < float(number) <= 50 else None


def _rule(pattern: str, make: Callable[[re.Match[str]], Found | None]) -> Rule:
    return re.compile(rf"(?<![\w.,/])(?:{pattern})(?![\w])", re.IGNORECASE), make


_RULES: tuple[Rule, ...] = (
    # How often: before anything else, since `3x/week` begins like `3x10`.
    _rule(rf"{_OFTEN}{_PER}{_DAY}", lambda m: _often(m[1].lower(), m[2], "day")),
    _rule(rf"{_OFTEN}{_PER}{_WEEK}", lambda m: _often(m[1].lower(), m[2], "week")),
    _rule(rf"{_OFTEN}\s*(?:daily|t\u00e4glich)", lambda m: _often(m[1].lower(), m[2], "day")),
    _rule(
        rf"{_OFTEN}\s*(?:weekly|w\u00f6chentlich)", lambda m: _often(m[1].lower(), m[2], "week")
    ),
    _rule(
        r"daily|every\s+day|t\u00e4glich|chaque\s+jour|once\s+daily",
        lambda m: {"sessions": "1 per day"},
    ),
    _rule(r"every\s+(?:other|second)\s+day", lambda m: {"sessions": "3.5 per week"}),
    _rule(r"(?:once\s+)?weekly", lambda m: {"sessions": "1 per week"}),
    # Effort, on a scale of ten that says so.
    _rule(
        rf"(?:rpe|effort|exertion)\s*:?\s*{_OF_TEN}",
        lambda m: {
            "effort": f"{_decimal(m[1])}{f'-{_decimal(m[2])}' if m[2] else ''} of 10"
        },
    ),
    # Rest and tempo.
    _rule(
        rf"(?:rest|pause)\s*(?:of|for|:)?\s*{_TIME}(?:\s*between\s+sets)?",
        lambda m: {"rest": _time(m[1], m[2])} if m[0].lower().startswith("rest") else None,
    ),
    _rule(rf"{_TIME}\s*rest(?:\s*between\s+sets)?", lambda m: {"rest": _time(m[1], m[2])}),
    _rule(
        rf"up\s*:?\s*{_TIME}\s*[,;/]?\s*(?:pause\s*:?\s*{_TIME}\s*[,;/]?\s*)?down\s*:?\s*{_TIME}",
        lambda m: {
            "up": _time(m[1], m[2]),
            **({"pause": _time(m[3], m[4])} if m[3] else {}),
            "down": _time(m[5], m[6]),
        },
    ),
    # Held work.
    _rule(
        rf"{_INT}{_X}{_RANGE}(?:\s*{_REPS})?{_X}{_TIME}(?:\s*holds?)?",
        lambda m: {"sets": int(m[1]), "reps": _reps(m[2], m[3]), "hold": _time(m[4], m[5])},
    ),
    _rule(
        rf"{_INT}{_X}{_TIME}\s*holds?",
        lambda m: {"sets": int(m[1]), "hold": _time(m[2], m[3])},
    ),
    _rule(
        rf"(?:{_TIME}\s*holds?|holds?\s*(?:for|of|:)?\s*{_TIME}){_X}{_INT}(?:\s*{_REPS})?",
        lambda m: {
            "hold": _time(m[1] or m[3], m[2] or m[4]),
            "reps": int(m[5]),
        },
    ),
    _rule(
        rf"(?:{_TIME}\s*holds?|holds?\s*(?:for|of|:)?\s*{_TIME})",
        lambda m: {"hold": _time(m[1] or m[3], m[2] or m[4])},
    ),
    # Counted work.
    _rule(
        rf"{_INT}{_X}{_RANGE}(?:\s*{_REPS})?{_NO_COUNT}",
        lambda m: _counted(m[1], m[2], m[3]),
    ),
    _rule(
        rf"{_INT}\s*{_SETS}\s*(?:of|x|\u00d7|\u00e0|,|with|de|mit)?\s*{_RANGE}(?:\s*{_REPS})?{_NO_COUNT}",
        lambda m: {"sets": int(m[1]), "reps": _reps(m[2], m[3])},
    ),
    _rule(rf"{_INT}\s*{_SETS}", lambda m: {"sets": int(m[1])}),
    _rule(
        rf"{_RANGE}\s*(?:{_REPS}|x(?=\s*(?:$|[,;]))){_NO_COUNT}",
        lambda m: {"reps": _reps(m[1], m[2])},
    ),
)  # fmt: skip
_SEPARATORS = re.compile(r"[\s,;.+&|/\u2022\u00b7()-]+|\band\b", re.IGNORECASE)
_ALONE = re.compile(rf"{_N}\s*({_MIN})", re.IGNORECASE)


def read_dose(text: str) -> ReadDose:
    """What the text surely says, and the rest of it.

    A field that the text gives twice with different values is not taken at all.
    """
    if alone := _ALONE.fullmatch(text.strip()):
        return ReadDose({"duration": _time(alone[1], alone[2])})
    spans: list[tuple[int, int, Found]] = []
    left = text
    for pattern, make in _RULES:
        for match in pattern.finditer(left):
            found = None if _HALF.search(left[: match.start()]) else make(match)
            if found is not None:
                spans.append((*match.span(), found))
                left = left[: match.start()] + "\0" * len(match[0]) + left[match.end() :]
    fields, doubtful = _agreed(spans)
    rest = [(at, part) for at, part in _remains(left)]
    rest += [
        (start, text[start:end].strip()) for start, end, found in spans if found.keys() & doubtful
    ]
    if not fields and not rest and re.search(r"\w", text):
        rest = [(0, text.strip())]  # a word between parts alone, such as "and": nothing is lost
    return ReadDose(fields, tuple(part for _, part in sorted(rest)))


def _agreed(spans: list[tuple[int, int, Found]]) -> tuple[Found, set[str]]:
    """The fields that all parts agree on; a part with one doubtful field is doubtful as a whole."""
    said: dict[str, set[str]] = {}
    for _, _, found in spans:
        for name, value in found.items():
            said.setdefault(name, set()).add(str(value))
    doubtful = {name for name, values in said.items() if len(values) > 1}
    growing = True
    while growing:
        more = {n for _, _, found in spans if found.keys() & doubtful for n in found} - doubtful
        doubtful |= more
        growing = bool(more)
    fields: Found = {}
    for _, _, found in sorted(spans, key=lambda span: span[0]):
        fields |= {name: value for name, value in found.items() if name not in doubtful}
    return fields, doubtful


def _remains(left: str) -> list[tuple[int, str]]:
    """Runs of words that no rule took, with their place."""
    found = []
    for run in re.finditer(r"(?:[^\0,;\n]|(?<=\d),(?=\d))+", left):
        words = _SEPARATORS.sub(" ", run[0]).strip()
        if words:
            found.append((run.start(), run[0].strip(" \t,;.+&|/()-")))
    return found


def read_frequency(text: str, per: str | None = None) -> str | None:
    """`3/week` as `3 per week`; a bare number counts `per` day or week, where that is known."""
    found = read_dose(text)
    if not found.rest and found.fields.keys() == {"sessions"}:
        return str(found.fields["sessions"])
    if per and re.fullmatch(_N, text.strip()) and 0 < float(_decimal(text.strip())) <= 50:
        return f"{_decimal(text.strip())} per {per}"
    return None


def read_time(text: str, unit: str | None = None) -> str | None:
    """`30 sec` as `30 s`; a bare number has the heading's unit, where that gives one."""
    plain = text.strip()
    match = re.fullmatch(_TIME, plain, re.IGNORECASE)
    if match:
        return _time(match[1], match[2])
    if unit in ("s", "min") and re.fullmatch(_N, plain):
        return f"{_decimal(plain)} {unit}"
    try:
        magnitude(plain, "s")  # as an exercise file may say it: 1500 ms, 0.5 h
    except PydanticCustomError:
        return None
    return plain


def read_effort(text: str, of_ten: bool = False) -> str | None:
    """`4-6/10` as `4-6 of 10`; bare numbers where the heading says that they are of ten."""
    plain = text.strip()
    match = re.fullmatch(_OF_TEN, plain, re.IGNORECASE)
    if match is None and of_ten:
        match = re.fullmatch(rf"{_N}(?:\s*(?:-|\u2013|to)\s*{_N})?", plain, re.IGNORECASE)
    if match is None:
        return None
    return f"{_decimal(match[1])}{f'-{_decimal(match[2])}' if match[2] else ''} of 10"


def read_count(text: str) -> int | str | None:
    """`12`, `8-12`, or either followed by `reps` (or `sets`): a whole number or a range."""
    match = re.fullmatch(rf"{_RANGE}(?:\s*(?:{_REPS}|{_SETS}|x))?", text.strip(), re.IGNORECASE)
    return _reps(match[1], match[2]) if match else None
