"""Short phrases about time, as libraries write them in English, in a sheet's language.

Any other wording stays as it was written.
"""

from __future__ import annotations

import re

from rungbook.site.messages import Messages

_UNITS = {"hour": "time.hours", "day": "time.days", "week": "time.weeks"}
_TIME = r"(\d+) (hour|day|week)s?"
_LASTING = (
    (rf"up to {_TIME}", "flare.up-to"),
    (rf"(?:longer|more) than {_TIME}", "flare.more-than"),
    (rf"(?:longer|more) than {_TIME},? (?:and|but)? ?up to {_TIME}", "flare.between"),
)


def time_words(text: str, say: Messages) -> str:
    """`2 weeks`."""
    match = re.fullmatch(_TIME, text.strip())
    return say(_UNITS[match[2]], n=int(match[1])) if match else text


def lasting(text: str, say: Messages) -> str:
    """`up to 24 hours`, `more than 24 hours and up to 3 days`, `several days`."""
    if text.strip() == "several days":
        return say("flare.several")
    for pattern, key in _LASTING:
        match = re.fullmatch(pattern, text.strip())
        if match:
            times = [
                say(_UNITS[unit], n=int(count))
                for count, unit in zip(match.groups()[::2], match.groups()[1::2], strict=True)
            ]
            return say(key, time=times[0], most=times[-1])
    return text


def scale_of_ten(text: str, say: Messages) -> str:
    """`5 of 10`."""
    match = re.fullmatch(r"(\d+(?:\.\d+)?) of 10", text.strip())
    return say("pain.of-ten", pain=say.number(float(match[1]))) if match else text


def settles(text: str, say: Messages) -> str:
    """The sentence that says by when pain has to be back to its usual level."""
    if text.strip() in ("next morning", "the next morning"):
        return say("pain.settles-morning")
    return say("pain.settles", time=time_words(text, say))
