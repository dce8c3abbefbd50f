"""A session in a line for the notes, and back: what lets one see last time beside now.

Figures only, so that nothing else of a patient travels with it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any

from rungbook.ladder.session import NOT_YET, SWELLINGS, Session

_NUMBER = r"(\d+(?:\.\d+)?)"
_DONE = re.compile(r"(\d+) x (\d+)(?: of (\d+(?:\.\d+)?) s)?(?: ?(s))?\b")


def session_line(session: Session) -> str:
    """`pain 3 during, 1 next morning; settled in 24 h; 3 x 15; effort 4; session 5`."""
    return "; ".join(_parts(session))


def _parts(one: Session) -> Iterator[str]:
    pains = ((one.pain_before, "before"), (one.pain_during, "during"), (one.pain_night, "at night"),
             (one.pain_next_morning, "next morning"))  # fmt: skip
    told = [f"{pain:g} {when}" for pain, when in pains if pain is not None]
    if told:
        yield f"pain {', '.join(told)}"
    if one.settled_h is not None:
        yield "not settled" if one.settled_h == NOT_YET else f"settled in {one.settled_h:g} h"
    if one.sets is not None and one.reps is not None:
        yield f"{one.sets} x {one.reps}" + (f" of {one.hold_s:g} s" if one.hold_s else "")
    elif one.sets is not None and one.hold_s is not None:
        yield f"{one.sets} x {one.hold_s:g} s"
    if one.effort is not None:
        yield f"effort {one.effort:g}"
    if one.swelling is not None:
        yield f"swelling {one.swelling}"
    if one.sessions is not None:
        yield f"session {one.sessions:g}"


def read_session_line(text: str) -> Session:
    """What a line tells; anything else in it is passed over.

    Raises:
        ValueError: it tells nothing, or a pain or an effort is above 10.
    """

    def number(pattern: str) -> float | None:
        found = re.search(pattern, text)
        return float(found[1]) if found else None

    scales = {
        "pain_before": number(_NUMBER + " before"),
        "pain_during": number(_NUMBER + " during"),
        "pain_night": number(_NUMBER + " at night"),
        "pain_next_morning": number(_NUMBER + " next morning"),
        "effort": number("effort " + _NUMBER),
    }  # fmt: skip
    for name, value in scales.items():
        if value is not None and value > 10:
            what = name.replace("_", " ")
            raise ValueError(f"{what} is {value:g} in the line of last time, not between 0 and 10")
    settled = math.inf if "not settled" in text else number(f"settled in {_NUMBER} h")
    swelling = next((one for one in SWELLINGS if f"swelling {one}" in text), None)
    told: dict[str, Any] = {**scales, **done(text), "sessions": number("session " + _NUMBER)}
    found = Session(settled_h=settled, swelling=swelling, **told)
    if found == Session():
        example = "'pain 3 during, 1 next morning; 3 x 15; effort 4'"
        raise ValueError(f"nothing of a session is in '{text}': paste a line such as {example}")
    return found


def done(text: str) -> dict[str, float | int]:
    """`3 x 15`, `3 x 30 s`, `3 x 5 of 15 s` as sets, repetitions and seconds; nothing without."""
    found = _DONE.search(text)
    if found is None:
        return {}
    sets, count = int(found[1]), int(found[2])
    if found[4]:
        return {"sets": sets, "hold_s": float(count)}
    return {"sets": sets, "reps": count, **({"hold_s": float(found[3])} if found[3] else {})}
