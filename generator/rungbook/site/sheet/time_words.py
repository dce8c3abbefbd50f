"""Short phrases about time, as libraries write them in English, in a sheet's language.

Any other wording stays as it was written.
"""

from __future__ import annotations

import re

from rungbook.site.sheet.messages import Messages

_UNITS = {"hour": "time.hours", "day": "time.days", "week": "time.weeks"}
# After `up to` and `within` some languages bend the word for days.
_BENT = _UNITS | {"day": "time.days-bent"}
_TIME = r"(\d+) (hour|day|week)s?"
_LASTING = (
    (rf"up to {_TIME}", "flare.up-to"),
    (rf"(?:longer|more) than {_TIME}", "flare.more-than"),
    (rf"(?:longer|more) than {_TIME},? (?:and|but)? ?up to {_TIME}", "flare.between"),
)


def time_words(text: str, say: Messages) -> str:
    """`2 weeks`."""
    match = re.fullmatch(_TIME, text.strip())
    return say(_BENT[match[2]], n=int(match[1])) if match else text


def lasting(text: str, say: Messages) -> str:
    """`up to 24 hours`, `more than 24 hours and up to 3 days`, `several days`."""
    if text.strip() == "several days":
        return say("flare.several")
    for pattern, key in _LASTING:
        match = re.fullmatch(pattern, text.strip())
        if match:
            first, last = match.groups()[:2], match.groups()[-2:]
            units = _BENT if key == "flare.up-to" else _UNITS
            return say(
                key,
                time=say(units[first[1]], n=int(first[0])),
                most=say(_BENT[last[1]], n=int(last[0])),
            )
    return text


def scale_of_ten(text: str, say: Messages) -> str:
    """`5 of 10`."""
    match = re.fullmatch(r"(\d+(?:\.\d+)?) of 10", text.strip())
    return say("pain.of-ten", pain=say.number(float(match[1]))) if match else text


def settles(text: str, say: Messages) -> str:
    """The sentence that says by when pain has to be back to its usual level."""
    if text.strip() in ("next morning", "the next morning"):
        return say("pain.settles-morning")
    if text.strip() in ("that night", "the same night", "the evening"):
        return say("pain.settles-night")
    return say("pain.settles", time=time_words(text, say))
