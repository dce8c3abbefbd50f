"""Names of computed exercises, as a clinician would say them.

`Arm lift lying on the side, a sling carrying half the arm`: the exercise that is varied, then what
is set. What its title says of the same lever is taken out first: there is no press-up on the floor
with the hands on a bench.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from rungbook.model.exercise import Exercise
from rungbook.model.library import Lever, Library

SURFACES = "chair|bench|table|counter|wall|couch|plinth|bars?|rail"
HANDS = r"body weight on (?!the other)|fingertips|without the hands"
OF_WEIGHT = r"\s+of \d+(?:\.\d+)? ?kg"
# What a title says of a lever: a clause after a comma, or the end of its first clause.
SAYS = {
    "assistance": r"carr(?:y|ied|ies|ying)|help\w*|assist\w*|sling|pulley|strap|stick|hands?"
    r"|fingertips?|lean\w*",
    "resistance": r"\d+\s*kg|kilos?|weights?|weighted|rucksack|band|dumbbells?|cuff|heavy|heavier",
    "volume": r"\d+ ?(?:s|seconds?|min(?:utes?)?|times|sets)\b|held",
    "range": r"degrees|°|small(?:er)?|half way|part way",
    "lever-arm": r"straight|bent",
    "position": rf"\d+ ?(?:cm|m)\b|high(?:er|est)?|low(?:er|est)?|seat|floor|step|box|{SURFACES}",
}
BODY = (
    r"standing|lying|sitting|kneeling|reclined|on hands and knees|half lying|on the (?:back|side)"
)
OPENING = r"(?:with|from|on|at|to|against|in|and|by|over)"
JOINED = ("with ", "from ", "on ", "against ", "to ")
PARTS = {0.25: "a quarter of", 0.5: "half", 0.75: "three quarters of", 1.0: "all of"}


def title_with(base: Exercise, settings: Sequence[tuple[Lever, str]]) -> str:
    """The title of an exercise with some settings: (lever, words) each."""
    title = base.title
    for lever, words in settings:
        title = _without_the_same(title, lever, words)
    for number, (_, words) in enumerate(settings):
        close = number == 0 and ", " not in title and words.startswith(JOINED)
        title += f"{' ' if close or _is_position(words) else ', '}{words}"
    return title


def _without_the_same(title: str, lever: Lever, words: str) -> str:
    """A title without what it says of what is set."""
    if _is_position(words):
        return _without(title, BODY, rf"\s+(?:{BODY})\b[^,]*$")
    if "other foot" in words:
        both = "(?:both|two) (?:legs|feet)"
        return _without(title, both, rf"\s+{both}\b[^,]*$")
    says = SAYS[lever]
    if re.search(HANDS, words):
        says += f"|{SURFACES}"
    if lever == "resistance":
        title = re.sub(OF_WEIGHT, "", title)
    return _without(title, says, rf"\s+{OPENING}\b(?:(?! with | from )[^,])*?\b(?:{says})[^,]*$")


def _is_position(words: str) -> bool:
    return bool(re.match(rf"(?:{BODY})", words))


def _without(title: str, says: str, ending: str) -> str:
    """Without the clauses, and the end of the first one, that say something."""
    first, *clauses = title.split(", ")
    kept = [one for one in clauses if not re.search(rf"\b(?:{says})", one, re.IGNORECASE)]
    return ", ".join([re.sub(ending, "", first, flags=re.IGNORECASE) or first, *kept])


def part_of(share: float, whole: str) -> str:
    """`half the arm`, `a quarter of the arm`, `60 % of the arm`."""
    return f"{PARTS.get(round(share, 4), f'{100 * share:.0f} % of')} {whole}"


def thing(key: str, library: Library) -> str:
    """What helps or carries, with its article: `a sling over a pulley`, `the other arm`."""
    if key in ("other-arm", "other-leg", "therapist", "floor", "wall"):
        return f"the {key.replace('-', ' ')}"
    term = library.vocabulary.equipment.get(key)
    title = term.title if term else key.replace("-", " ")
    title = title.split(" or ")[0].split(" (")[0]
    name = title if title[1:2].isupper() else title[:1].lower() + title[1:]
    if name.endswith("bars") or (name.endswith("s") and not name.endswith("ss")):
        return f"the {name}"
    return f"{'an' if name[:1] in 'aeio' else 'a'} {name}"
