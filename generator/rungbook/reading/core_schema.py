"""Plain scalars by the core schema of YAML 1.2.2, section 10.3.2."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

Value = Any  # None, bool, int, float, str, tuple of values, dict of text to value

CORE_TAGS = {
    "tag:yaml.org,2002:str": str,
    "tag:yaml.org,2002:int": int,
    "tag:yaml.org,2002:float": float,
    "tag:yaml.org,2002:bool": bool,
    "tag:yaml.org,2002:null": type(None),
    "tag:yaml.org,2002:map": dict,
    "tag:yaml.org,2002:seq": tuple,
}
_CONSTANTS: dict[str, Value] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
    ".nan": float("nan"), ".NaN": float("nan"), ".NAN": float("nan"),
    **{
        f"{sign}.{word}": float(f"{sign}inf")
        for sign in ("", "+", "-")
        for word in ("inf", "Inf", "INF")
    },
}  # fmt: skip
_NUMBER = re.compile(
    r"(?P<whole>[-+]?[0-9]{1,18})|0o(?P<eight>[0-7]{1,20})|0x(?P<sixteen>[0-9a-fA-F]{1,16})"
    r"|[-+]?(?:\.[0-9]{1,40}|[0-9]{1,40}(?:\.[0-9]{0,40})?)(?:[eE][-+]?[0-9]{1,4})?"
)
_PROSE = frozenset(
    "abcdeghijklmopqrsuvwxyzABCDEGHIJKLMOPQRSUVWXYZ"
)  # begins no constant, no number


def core_scalar(text: str) -> Value:
    """A plain scalar by the core schema; very long digits stay text."""
    if text[:1] in _PROSE:
        return text
    return _constant_or_number(text)


@lru_cache(maxsize=4096)
def _constant_or_number(text: str) -> Value:
    if text in _CONSTANTS:
        return _CONSTANTS[text]
    found = _NUMBER.fullmatch(text)
    if found is None:
        return text
    if found["whole"] is not None:
        return int(text)
    if found["eight"] is not None:
        return int(found["eight"], 8)
    return int(found["sixteen"], 16) if found["sixteen"] is not None else float(text)
