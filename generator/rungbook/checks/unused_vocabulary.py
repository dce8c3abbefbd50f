"""A word of the vocabulary that nothing names.

A caution, restriction, piece of equipment, source or area that no exercise and no ladder names is
on its page and means nothing: often it is left from an exercise that went, or its key was mistyped
and the word that was meant is missing where it belongs.

Mend it by naming it where it belongs, or by removing its entry.

Fails:

    [vocabulary/cautions.yml]
    fever: Fever
    [exercises/calf/raise.md]
    title: Heel raise

Passes:

    [vocabulary/cautions.yml]
    fever: Fever
    [exercises/calf/raise.md]
    title: Heel raise
    cautions: [fever]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.model.place import base_of

name = "unused-vocabulary"
level: Level = "note"
ONE = {
    "areas": "the area",
    "cautions": "the caution",
    "equipment": "the piece of equipment",
    "restrictions": "the restriction",
    "sources": "the source",
}


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each entry of the library's own."""
    library = measured.library
    for kind, one in ONE.items():
        places = library.vocabulary.places.get(kind)
        for key in getattr(library.vocabulary, kind) if places else ():
            place = places.key_place((key,)) if places else None
            unused = key not in library.named.get(kind, {key})
            if place is not None and unused and not base_of(place.file):
                message = f"nothing names {one} '{key}': name it where it belongs, or remove it"
                yield Finding(name, level, message, place)
