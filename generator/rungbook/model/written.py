"""Records back into the form of the library's files: quantities as text, keys as written.

What reading makes of the result equals the record again, whatever unit was written.
"""

from __future__ import annotations

import datetime
import re
from functools import cache
from typing import Any, get_args, get_type_hints

from rungbook.model.criterion import Criterion, NumberBound
from rungbook.model.fields import (
    Duration,
    Force,
    Length,
    Mass,
    Pause,
    RangedTime,
    SessionsPerWeek,
    Share,
)
from rungbook.model.latest import latest
from rungbook.model.movement import Action
from rungbook.model.quantity import (
    After,
    AngleLimit,
    EffortRange,
    LoadCeiling,
    MomentFigure,
    RepRange,
)
from rungbook.model.record import Record, kebab
from rungbook.model.span import Span, ends
from rungbook.model.translated import Translated
from rungbook.model.unit import COMMON, magnitude

SESSIONS = "sessions"
MOST_DIGITS = 6
_UNITS = {
    id(get_args(kind)[1]): unit
    for kind, unit in (
        (Mass, "kg"),
        (Force, "N"),
        (Length, "m"),
        (Duration, "s"),
        (Pause, "s"),
        (RangedTime, "s"),
        (Share, "dimensionless"),
        (SessionsPerWeek, SESSIONS),
    )
}
_MONTH_DAYS = 30.4375


def written(record: Record, defaults: bool = False) -> dict[str, Any]:
    """The record as a file's keys and values, ready for JSON and YAML.

    Values that are the default are left out, unless `defaults` asks for them (those that are
    nothing stay out). A variation says them where its file does: there they undo what it varies.
    """
    found: dict[str, Any] = {}
    for name, key, default, unit in _fields(type(record)):
        value = getattr(record, name)
        if value is None:
            continue
        if value == default and not defaults and not _undoes(record, name):
            continue
        found[key] = _value(value, unit, defaults)
    return found | record.translations() if isinstance(record, Translated) else found


@latest
def written_once(record: Record) -> dict[str, Any]:
    """As `written`, made once for all that ask; it is not to be changed."""
    return written(record)


@cache
def _fields(model: type[Record]) -> tuple[tuple[str, str, Any, str | None], ...]:
    """(name, key, default, unit) of every field that files hold; no value equals `object()`."""
    units = _units(model)
    return tuple(
        (
            name,
            kebab(name),
            object() if about.is_required() else about.get_default(call_default_factory=True),
            units.get(name),
        )
        for name, about in model.model_fields.items()
        if name not in model.NOT_WRITTEN
    )


def _undoes(record: Record, name: str) -> bool:
    """Whether a default must be said: it undoes something, or the file may not be silent on it."""
    if name == "impact" and getattr(record, "ballistic", False):
        return True
    return name in record.model_fields_set and bool(getattr(record, "variation_of", None))


@cache
def _units(model: type[Record]) -> dict[str, str]:
    """The unit of every field that is a quantity."""
    hints = get_type_hints(model, include_extras=True)
    return {name: unit for name, hint in hints.items() if (unit := _unit_of(hint))}


def _unit_of(hint: Any) -> str | None:
    for part in (hint, *get_args(hint)):
        for mark in getattr(part, "__metadata__", ()):
            if id(mark) in _UNITS:
                return _UNITS[id(mark)]
    return None


def _value(value: Any, unit: str | None, defaults: bool) -> Any:
    if isinstance(value, Criterion) and value.model_fields_set == {"words"}:
        return value.words
    if isinstance(value, Record):
        return _record(value, defaults)
    if isinstance(value, dict):
        return {str(key): _value(part, unit, defaults) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [_value(part, unit, defaults) for part in value if part is not None]
    if unit == SESSIONS:
        return sessions_text(value)
    if isinstance(value, Span):
        low, high = plain(value.low), plain(value.high)
        return f"{low}-{high} s" if unit else f"{low}-{high}"
    if unit is not None and isinstance(value, float):
        return quantity_text(value, unit)
    return _scalar(value)


def _record(record: Record, defaults: bool) -> dict[str, Any]:
    found = written(record, defaults)
    pulls = found.get("pulls")
    if isinstance(pulls, str) and pulls.startswith("toward "):
        found["pulls"] = {"toward": pulls.removeprefix("toward ")}
    return found


def _scalar(value: Any) -> Any:
    if isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, float):
        return int(value) if value.is_integer() else value
    if isinstance(value, RepRange):
        return value.low if value.low == value.high else f"{value.low}-{value.high}"
    if isinstance(value, EffortRange):
        low, high = plain(value.low), plain(value.high)
        return f"{low} of 10" if low == high else f"{low}-{high} of 10"
    if isinstance(value, After):
        return _least_time(value)
    if isinstance(value, MomentFigure):
        return f"{plain(value.value)} {'Nm/kg' if value.per_mass else 'Nm'}"
    if isinstance(value, (Action, AngleLimit, LoadCeiling, NumberBound)):
        return str(value)
    assert isinstance(value, datetime.date), type(value)
    return value.isoformat()


def plain(value: float) -> str:
    """A number without an exponent and without the noise of the last digits."""
    return f"{value:.12f}".rstrip("0").rstrip(".")


def quantity_text(value: float, unit: str) -> str:
    """`2 kg`, `5 lb`: a unit in which reading gives the same number again, the SI unit if it can.

    A number of many digits was written in another unit, which has fewer.
    """
    exact = [
        text
        for word, factor in COMMON[unit].items()
        if magnitude(text := f"{plain(round(value / factor, 9))} {word}", unit) == value
    ]
    if not exact:
        word, factor = next(iter(COMMON[unit].items()))
        return f"{plain(value / factor)} {word}"
    short = (text for text in exact if len(_digits(text)) <= MOST_DIGITS)
    return next(short, min(exact, key=lambda text: len(_digits(text))))


def _digits(text: str) -> str:
    """The significant digits of a number with a unit."""
    return re.sub(r"[^\d]", "", text.partition(" ")[0]).strip("0")


def sessions_text(per_week: float) -> str:
    """`3 per week`, `2-3 per week`; whole numbers a day as `2 per day`."""
    both = tuple(dict.fromkeys(ends(per_week)))
    if min(both) >= 7 and (all(one % 7 == 0 for one in both) or max(both) > 50):
        return f"{'-'.join(plain(one / 7) for one in both)} per day"
    return f"{'-'.join(map(plain, both))} per week"


def _least_time(after: After) -> str:
    count, word = after.count, after.unit.removesuffix("s")
    if after.unit == "days":
        for days, longer in ((7.0, "week"), (_MONTH_DAYS, "month")):
            if count and count % days == 0:
                count, word = count / days, longer
                break
    return f"{plain(count)} {word}{'' if count == 1 else 's'}"
