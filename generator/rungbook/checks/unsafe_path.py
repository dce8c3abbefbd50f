"""A path that leads out of the library.

A file named by an absolute path, by `..` or through a link to elsewhere would publish what was
never meant to be published.

Mend it by copying the file into the library's `pictures` folder and naming it from there.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    pictures: [{file: ../../secret.jpg, alt: The start}]

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
"""

from rungbook.model.finding import Level

name = "unsafe-path"
level: Level = "error"
