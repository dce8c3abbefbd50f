"""Seeded damage to a sound library's text, and random sound exercises."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import strategies as st

from rungbook.model.body_point import POINT_WORDS
from rungbook.model.movement import MOVEMENTS
from rungbook.model.position import POSITIONS

NASTY = [
    "", " ", "\t", "\n", "---\n", "- ", ": ", "{", "}", "[", "]", '"', "'", "|", ">", "&a ", "*a",
    "!!python/object:os.system ", "!x ", "? ", "%YAML 9.9\n", "#", "\\", "\x00", "\x1b[31m",
    "\u2028", "\u202e", "\ufeff", "😀", "ä", "~", "null", "true", ".nan", ".inf", "-1", "0",
    "9" * 400, "1e999", "on", "<script>", "](javascript:x)", "../..", "/etc/passwd", "<<: *a\n",
    "a: &a [*a]\n", "title: x\n", "variation-of: raise\n", "variation-of: hop\n", "[" * 50,
]  # fmt: skip


def damaged(text: str, seed: int) -> str:
    """The text with one to four pieces cut, doubled, swapped or put in."""
    dice = random.Random(seed)
    for _ in range(dice.randint(1, 4)):
        at = dice.randrange(len(text) + 1)
        upto = min(len(text), at + dice.choice([1, 2, 5, 20, 80]))
        piece = text[at:upto]
        new = dice.choice(["", piece + piece, piece[::-1], *(dice.choice(NASTY) for _ in range(4))])
        text = text[:at] + new + text[upto:]
    return text


def _arcs(joint: str) -> st.SearchStrategy[dict[str, Any]]:
    angles = st.integers(0, 120)
    arc = st.tuples(angles, angles).map(list)
    return st.sampled_from(sorted(MOVEMENTS[joint])).flatmap(
        lambda name: st.fixed_dictionaries({joint: st.fixed_dictionaries({name: arc})})
    )


def _optional(**keys: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=keys)


NUMBERS = st.integers(1, 90)
WORDS = st.text("abcdefghijklmnopqrstuvwxyz äöü,.'-", min_size=1, max_size=30).filter(str.strip)
POINTS = st.sampled_from([point for point in POINT_WORDS if not point.startswith("other-")])
CONTACTS = st.fixed_dictionaries(
    {"at": POINTS},
    optional={
        "surface": st.sampled_from(["floor", "wall", "counter"]),
        "touch": st.just(True),
        "grip": st.booleans(),
        "during": st.sampled_from(["start", "up", "down", "end"]),
    },
)
RESISTANCE = st.one_of(
    st.fixed_dictionaries({"weight": NUMBERS.map("{} kg".format), "at": POINTS}),
    st.fixed_dictionaries(
        {
            "push": NUMBERS.map("{} N".format),
            "at": POINTS,
            "pulls": st.one_of(
                st.sampled_from(["up", "inward"]), POINTS.map(lambda point: {"toward": point})
            ),
        }
    ),
    st.fixed_dictionaries(
        {
            "band": st.fixed_dictionaries(
                {"start": st.just("0 N"), "end": NUMBERS.map("{} N".format)}
            ),
            "at": POINTS,
            "toward": POINTS,
        }
    ),
)
HELD = st.one_of(
    st.fixed_dictionaries(
        {"at": POINTS, "share": st.sampled_from(["10 %", "50 %", "100 %"])},
        optional={"by": st.sampled_from(["towel", "therapist"])},
    ),
    st.fixed_dictionaries(
        {"at": POINTS, "force": NUMBERS.map("{} N".format), "pulls": st.just("up")},
        optional={"during": st.sampled_from(["start", "up", "down", "end"])},
    ),
)
SURFACES = st.one_of(
    st.fixed_dictionaries(
        {"at": POINTS, "surface": st.just("counter"), "height": st.sampled_from(["0.4 m", "1 m"])}
    ),
    st.fixed_dictionaries(
        {"at": POINTS, "surface": st.just("wall"), "distance": st.sampled_from(["0.3 m", "60 cm"])}
    ),
    st.fixed_dictionaries(
        {"at": POINTS, "surface": st.just("floor"), "slides": st.just(True)},
        optional={"friction": st.sampled_from([0, 0.3, 1])},
    ),
)
CONTACTS = st.one_of(CONTACTS, SURFACES)
ONE_SIDED = _optional(
    posture=st.integers(-5, 60).map(lambda angle: {"other-hip": {"flexion": angle}}),
    **{
        "stands-on": st.sampled_from(["working", "other"]),
        "front": st.sampled_from(["working", "other"]),
        "stride": st.sampled_from(["0.3 m", "0.7 m"]),
    },
).map(lambda keys: {"sides": "one", **keys})
DOSE = _optional(
    sets=NUMBERS,
    reps=st.one_of(NUMBERS, st.integers(1, 9).map(lambda low: f"{low}-{low + 3}")),
    up=st.sampled_from(["2 s", "0.5 s", "1 min"]),
    pause=st.sampled_from(["0 s", "1 s"]),
    rest=st.just("60 s"),
    sessions=st.sampled_from(["3 per week", "2 per day"]),
    effort=st.sampled_from(["4-6 of 10", "7 of 10"]),
)
PLAIN = st.fixed_dictionaries(
    {
        "title": WORDS,
        "works": st.just(["ankle plantarflexion", "knee extension"]),
        "movement": st.sampled_from(sorted(MOVEMENTS)).flatmap(_arcs).map(lambda arc: [arc]),
    },
    optional={
        "position": st.sampled_from(POSITIONS),
        "also-called": st.lists(WORDS, max_size=3),
        "incline": st.integers(-30, 30),
        "contacts": st.lists(CONTACTS, max_size=3, unique_by=lambda contact: contact["at"]),
        "resistance": st.lists(RESISTANCE, max_size=2),
        "assist": st.lists(HELD, max_size=2),
        "dose": DOSE,
        "equipment": st.just(["counter"]),
        "cautions": st.just(["repair"]),
        "back-off": st.lists(WORDS, max_size=2),
        "progressions": st.just([{"to": "hop", "when": ["3 sets"], "after": "2 weeks"}]),
        "reviewed": st.just({"date": "2026-05-01", "by": "Physiotherapist"}),
    },
)
EXERCISES = st.builds(
    lambda plain, sides: {**plain, **sides}, PLAIN, st.one_of(st.just({}), ONE_SIDED)
)
