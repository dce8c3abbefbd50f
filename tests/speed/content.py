"""A large library as files, the same for the same size.

Of N exercises a third stand on contacts and half are variations; there are about 3 N
progressions, front matters of some 41 lines, and one ladder a family. Where content is `own`,
as a library of many hands is, no two arcs are the same and ladders lead into one another;
else postures repeat and families stand apart.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from string import Template

from tests.speed.kinds import Kind, kind_of

ACROSS = 4  # rungs in a layer of a family; each leads to three or four of the next layer
RUNGS = 6 * ACROSS  # in a family
KINDS = 18  # families until the same kind comes again
LEAVES, ENTERS = 5, 8  # rungs where one ladder leads into the next of its kind
SETTINGS = """\
name: A library to time
language: en
person: {mass: 70 kg, stature: 1.7 m, body: female}
contact: The practice, on weekdays from 8 to 17.
urgent: Call the emergency number for chest pain, trouble breathing or fainting.
"""
WORDS = [
    "the",
    "patient",
    "keeps",
    "an",
    "even",
    "pace",
    "and",
    "breathes",
    "on",
    "while",
    "the",
    "limb",
    "moves",
    "to",
    "the",
    "end",
    "of",
    "its",
    "arc",
    "stop",
    "where",
    "the",
    "movement",
    "becomes",
    "jerky",
    "rest",
    "between",
    "the",
    "sets",
    "and",
    "ask",
    "how",
    "it",
    "feels",
    "the",
    "next",
    "morning",
    "the",
    "surface",
    "is",
    "firm",
    "and",
    "does",
    "not",
    "slide",
    "the",
    "therapist",
    "stands",
    "beside",
    "the",
    "working",
    "side",
]
TITLES = {
    "areas": ("hip", "knee", "shoulder", "arm", "calf"),
    "equipment": ("mat", "cuff", "dumbbell", "bar"),
    "cautions": ("fresh-wound", "clot-signs", "poor-balance", "chest-pain", "new-numbness"),
    "sources": ("common-practice", "house-rules"),
}


def _id(family: int, rung: int) -> str:
    return f"f{family:04d}-rung-{rung:02d}"


def _number(value: float) -> str:
    return f"{value:g}"


def _arc(kind: Kind, family: int, rung: int, own: bool) -> str:
    start, end = kind.arc
    shift = family // 18 % 8 * 2.5 * (1 if end > start else -1)
    if own:
        shift += (family * RUNGS + rung) % 2003 * 0.001
    further = kind.further * rung / ACROSS
    return f"[{_number(start + shift)}, {_number(end + shift + further)}]"


def _sentence(seed: int, words: int) -> str:
    some = [WORDS[(seed * 7 + n * (1 + seed % 5)) % len(WORDS)] for n in range(words)]
    return " ".join(some).capitalize() + "."


def _ahead(rung: int, count: int) -> list[int]:
    """Where a rung leads: to the next layer; at both ends of the family to and from one alone."""
    layer, place = divmod(rung, ACROSS)
    if rung == 0:
        ahead = [1, 2, 3]
    elif layer == (count - 1) // ACROSS:
        ahead = [count - 1] if rung < count - 1 else []
    else:
        some = ACROSS if layer % 2 == 0 else ACROSS - 1
        ahead = [(layer + 1) * ACROSS + (place + n) % ACROSS for n in range(some)]
    return [to for to in dict.fromkeys(ahead) if to < count]


def _progressions(family: int, rung: int, count: int, last: int | None) -> Iterator[str]:
    """`last`: the last family of the library, where ladders lead into one another."""
    ahead = [(family, to) for to in _ahead(rung, count)]
    if last is not None and rung == LEAVES and family + KINDS <= last:
        ahead.append((family + KINDS, ENTERS))
    yield "progressions:" if ahead else "progressions: []"
    for where, to in ahead:
        yield f"  - to: {_id(where, to)}"
        yield "    when:"
        yield f"      - 3 sets of {12 + to % 4} with effort 4 of 10 or less"
        yield "      - pain 2 of 10 or less, settled by the next morning"
        yield f"    after: {4 + to - rung} sessions"
        yield f"    because: {_sentence(family + to, 6)[:-1].lower()}"
        yield "    sources: [common-practice]"


def _front_matter(family: int, rung: int, count: int, last: int | None) -> Iterator[str]:
    kind = kind_of(family)
    cautions = TITLES["cautions"]
    weight, height = 1 + 0.1 * rung + family // 18 % 3 * 0.5, 0.4 + family % 10 * 0.05
    varies = rung % 2 == 1
    yield f"title: {kind.name} {family + 1}.{rung + 1}, {_number(weight)} kg"
    if varies:
        yield f"variation-of: {_id(family, rung - 1)}"
    yield f"also-called: [{kind.name.lower()} of row {family + 1}]"
    yield "purpose: [endurance, load tolerance]"
    if not varies:
        yield f"area: {kind.area}"
        yield f"sides: {kind.sides}"
        yield f"position: {kind.position}"
        yield f"works: {kind.works}"
    yield f"movement: [{{{kind.joint}: {{{kind.movement}: {_arc(kind, family, rung, last is not None)}}}}}]"
    for line in kind.extra:
        yield Template(line).substitute(weight=_number(weight), height=_number(height))
    yield (
        f"dose: {{sets: 3, reps: {10 + rung % 3}, up: 2 s, pause: 1 s, down: 3 s, rest: 60 s,"
        " sessions: 3 per week, effort: 4-6 of 10}"
    )
    yield f"equipment: [{kind.equipment}]"
    yield f"cautions: [{', '.join(cautions[(family + n) % 5] for n in range(2))}]"
    yield "sources: [common-practice, house-rules]"
    yield "reviewed: {date: 2026-05-01, by: Senior physiotherapist}"
    yield "back-off:"
    yield "  - pain above 5 of 10"
    yield "  - still worse the morning after"
    yield from _progressions(family, rung, count, last)


def body(family: int, rung: int) -> str:
    """The Markdown under the front matter, some 120 words."""
    seed = family * RUNGS + rung
    points = "\n".join(f"- {_sentence(seed + n, 8)}" for n in range(3))
    return (
        f"## Set up\n{_sentence(seed, 20)} {_sentence(seed + 1, 15)}\n\n"
        f"## Do\n{_sentence(seed + 2, 25)}\n\n## Watch for\n{points}\n\n"
        f"## For the patient\n{_sentence(seed + 3, 12)} {_sentence(seed + 4, 12)}\n"
    )


def _ladder(family: int, count: int) -> str:
    kind = kind_of(family)
    ids = [_id(family, rung) for rung in (0, min(1, count - 1), min(5, count - 1), count - 1)]
    entries = f"{{high: {ids[0]}, moderate: {ids[1]}, low: {ids[2]}}}"
    return (
        f"---\ntitle: {kind.name}, row {family + 1}\nworks: {kind.works}\ncondition: deconditioned\n"
        f"goal: {ids[3]}\ngoal-met:\n  - 3 sets of 15\nentries: {entries}\n---\n"
        f"{_sentence(family, 30)}\n"
    )


def library_files(exercises: int, own: bool = False) -> Iterator[tuple[str, str]]:
    """(path, text) of every file of a library of that many exercises."""
    yield "library.yml", SETTINGS
    for name, keys in TITLES.items():
        yield (
            f"vocabulary/{name}.yml",
            "".join(f"{key}: {{title: {key.capitalize()}}}\n" for key in keys),
        )
    last = exercises // RUNGS - 1 if own else None  # the last whole family
    for first in range(0, exercises, RUNGS):
        family, count = first // RUNGS, min(RUNGS, exercises - first)
        for rung in range(count):
            front = "\n".join(_front_matter(family, rung, count, last))
            yield (
                f"exercises/{kind_of(family).area}/{_id(family, rung)}.md",
                f"---\n{front}\n---\n{body(family, rung)}",
            )
        yield f"ladders/row-{family + 1}.md", _ladder(family, count)


def write_library(folder: pathlib.Path, exercises: int, own: bool = False) -> pathlib.Path:
    """Write such a library into a folder that is not there yet."""
    for path, text in library_files(exercises, own):
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return folder
