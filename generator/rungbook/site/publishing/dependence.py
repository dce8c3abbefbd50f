"""What a finished piece of the site depends on, as one key.

A page shows its exercise, those around it and the ladders they are on: all of these are in the
same part of the library (`rungbook.pipeline.parts`). Beside its part it depends on the settings,
the vocabulary, what files there are, and the program. Two pieces with one key are the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping

from rungbook.drawing.engine import NoEngine, find_engine
from rungbook.pipeline.parts import parts
from rungbook.pipeline.store import program
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.pictures import shown
from rungbook.site.publishing.made_piece import key_of


def _digest(parts: Iterable[str]) -> str:
    text = "\0".join(parts).encode("utf-8", "surrogatepass")
    return hashlib.blake2b(text, digest_size=24).hexdigest()


def _engine(name: str) -> str:
    try:
        path = find_engine(name)
        about = path.stat()
    except (NoEngine, OSError):
        return ""
    return f"{path} {about.st_size} {about.st_mtime_ns}"


def _ground(catalogue: Catalogue, frame: str) -> str:
    """What every piece depends on."""
    library = catalogue.library
    return _digest(
        [
            program(),
            _engine(library.settings.diagrams.engine),
            frame,
            repr(library.settings),
            *(
                repr(dict(words))
                for words in (
                    library.vocabulary.areas,
                    library.vocabulary.cautions,
                    library.vocabulary.equipment,
                    library.vocabulary.restrictions,
                    library.vocabulary.sources,
                )
            ),
            repr(list(library.exercises)),
            repr(sorted(library.withheld)),
            repr((catalogue.draft, catalogue.newest_review)),
        ]
    )


def _parts(catalogue: Catalogue) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """The part of every node that is joined to another, and a digest of every part."""
    library = catalogue.library
    of_node = parts(library, ())
    content: dict[str, list[str]] = {}
    for key, exercise in library.exercises.items():
        pictures = list(shown(library.root, exercise))
        relief = hashlib.blake2b(catalogue.relief.get(key, b"")).hexdigest()
        said = sorted(exercise.model_fields_set)  # a variation may say what is usual anyway
        told = repr((exercise, said, exercise.file, pictures)) + relief
        content.setdefault(of_node.get(key, key), []).append(told)
    for key, ladder in library.ladders.items():
        node = f"ladder {key}"
        content.setdefault(of_node.get(node, node), []).append(repr(ladder))
    for (easier, harder), accepted in sorted(catalogue.accepted_steps.items()):
        part = of_node.get(easier, easier)
        content.setdefault(part, []).append(repr((easier, harder, accepted)))
    return of_node, {part: _digest(told) for part, told in content.items()}


def keys(catalogue: Catalogue, pages: Iterable[Page], frame: str) -> dict[str, str]:
    """The key of the piece around each page of an exercise or ladder, by the page's path."""
    ground = _ground(catalogue, frame)
    of_node, digests = _parts(catalogue)
    found = {}
    for page in pages:
        id = key_of(page)
        node = id if page.kind == "exercise" else f"ladder {id}"
        found[page.path] = _digest([ground, page.path, digests.get(of_node.get(node, node), "")])
    return found
