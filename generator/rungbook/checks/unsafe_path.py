"""A path that leads out of the library, or a folder that git would take for a repository.

A file named by an absolute path, by `..` or through a link to elsewhere would publish what was
never meant to be published. A folder with `HEAD`, `objects` and `refs` is a repository to git,
which runs the programs that its `config` names for anybody who calls git in there.

Mend it by copying the file into the library's `pictures` folder and naming it from there; by
removing the folder's `HEAD`, `config`, `objects` and `refs`.

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
