"""A picture that the site cannot show.

Photographs are published without what a camera writes into them, drawings without anything that
could act, videos without sound: a file in which that cannot be done is left out of the site.

Mend it by saving the picture again, smaller or in a usual format; a video by cutting it and by
saving it without its sound.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    pictures: [{file: squat.svg, alt: Knees bent}]
    [pictures/squat.svg]
    <html>no drawing</html>

Passes:

    [exercises/leg/squat.md]
    title: Squat
    pictures: [{file: squat.svg, alt: Knees bent}]
    [pictures/squat.svg]
    <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"/></svg>
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.reading.picture_files import shown_size
from rungbook.reading.pictures import UnusablePicture
from rungbook.reading.wording import shown

name = "unusable-picture"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each file, where an exercise names it; not where a variation inherits it."""
    library = measured.library
    for exercise in library.exercises.values():
        own = exercise.place("pictures").file == exercise.place("title").file
        for number, picture in enumerate(exercise.pictures if own else ()):
            for key, file in (("file", picture.file), ("still", picture.still)):
                paths = [folder / "pictures" / file for folder in library.folders] if file else ()
                path = next((one for one in paths if one.is_file()), None)
                if file is None or path is None:
                    continue
                try:
                    shown_size(file, path)
                except UnusablePicture as fault:
                    yield Finding(
                        name,
                        level,
                        f"'{shown(file)}' is left out of the site: {fault}",
                        exercise.place("pictures", number, key),
                        exercises=(exercise.id,),
                    )
