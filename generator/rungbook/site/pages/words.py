"""Numbers and short phrases as the pages write them."""

from __future__ import annotations

import datetime

NARROW = "\u202f"  # narrow no-break space: between a number and its unit
MINUS = "\u2212"
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def number(value: float, digits: int = 0) -> str:
    """With a true minus sign; never "-0"; no needless ".0"."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", "0"):
        return "0"
    return text.replace("-", MINUS)


def significant(value: float) -> str:
    """About two significant figures, as far as a moment is known."""
    return number(value, 0 if abs(value) >= 10 else 1 if abs(value) >= 1 else 2)


def moment(value_nm: float) -> str:
    """A moment in N·m."""
    return f"{significant(value_nm)}{NARROW}N·m"


def angle(value_deg: float) -> str:
    """An angle in degrees."""
    return f"{number(value_deg)}°"


def percent(share: float) -> str:
    """A share of one as a percentage."""
    return f"{number(share * 100)}{NARROW}%"


def times(ratio: float) -> str:
    """A ratio: "1.4 times", "25 times"."""
    return f"{number(ratio, 0 if ratio >= 10 else 1 if ratio >= 2 else 2)} times"


def factor(ratio: float) -> str:
    """A ratio in short: `1.4 ×`."""
    return f"{number(ratio, 1 if ratio >= 2 else 2)}{NARROW}×"


def seconds(value_s: float) -> str:
    """A time: "30 s", "2 min", "1 min 30 s"."""
    if value_s < 90:
        return f"{number(value_s, 1)}{NARROW}s"
    minutes, rest = divmod(round(value_s), 60)
    return f"{minutes}{NARROW}min" + (f" {rest}{NARROW}s" if rest else "")


def seconds_from_to(low_s: float, high_s: float) -> str:
    """A time or a range of it: "10 to 30 s"."""
    low, high = seconds(low_s), seconds(high_s)
    if low == high:
        return high
    unit = high.partition(NARROW)[2]
    return f"{low.removesuffix(NARROW + unit)} to {high}"


def count(amount: int, one: str, many: str | None = None) -> str:
    """`count(1, "rung")` -> "1 rung"; `count(3, "rung")` -> "3 rungs"."""
    return f"{amount} {one if amount == 1 else many or one + 's'}"


def day(date: datetime.date) -> str:
    """A date that is read the same everywhere: "1 May 2026"."""
    return f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def spaced(key: str) -> str:
    """`external-rotation` -> "external rotation"."""
    return key.replace("-", " ")


def sentence(text: str) -> str:
    """With a capital letter at the start; the rest as it is."""
    return text[:1].upper() + text[1:]
