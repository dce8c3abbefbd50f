"""A picture without words for those who cannot see it.

A screen reader then says the name of the file, and a printed sheet without the picture says
nothing.

Mend it by describing in `alt` what the picture shows of the exercise.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    pictures: [{file: squat.jpg}]
    [pictures/squat.jpg]

Passes:

    [exercises/leg/squat.md]
    title: Squat
    pictures: [{file: squat.jpg, alt: "Standing, hands on the counter, knees bent"}]
    [pictures/squat.jpg]
"""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.model.place import Path

name = "missing-alt-text"
level: Level = "warning"


_IN_TEXT = re.compile(r"!\[([^\]]*)\]\(\s*<?([^)\s>]+)")


def _says_nothing(alt: str, file: str) -> bool:
    path = pathlib.PurePosixPath(file)
    return not re.search(r"\w", alt) or alt.strip().lower() in (
        path.name.lower(),
        path.stem.lower(),
    )


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each picture, of the front matter or in the text, without a description."""
    for exercise in measured.library.exercises.values():
        faults: list[tuple[str, Path]] = [
            (picture.file, ("pictures", index))
            for index, picture in enumerate(exercise.pictures)
            if _says_nothing(picture.alt, picture.file)
        ]
        faults += [
            (file, ("text", heading))
            for heading, text in exercise.text.items()
            if "![" in text
            for alt, file in _IN_TEXT.findall(text)
            if _says_nothing(alt, file)
        ]
        for file, path in faults:
            yield Finding(
                name,
                level,
                f"the picture {file} has no description: say in words what it shows.",
                exercise.place(*path),
                exercises=(exercise.id,),
                details={"file": file},
            )
