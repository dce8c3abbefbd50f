"""A library to build on that is not there, or has errors of its own.

What a library extends is half of what it publishes: without it nothing else can be judged, and
with errors in it nothing of it is fit for a patient. A base lies beside the library in the same
repository, or the command says where it is with `--base DIR`: else a change that somebody sends
could publish what lies elsewhere on the machine that builds.

Mend it by correcting `extends`, by naming the folder with `--base`, or by telling the people who
keep the base what `rungbook check --library` says of it.

Fails:

    [library.yml]
    extends: ../nowhere
    [exercises/calf/raise.md]
    title: Heel raise

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
"""

from rungbook.model.finding import Level

name = "unusable-base"
level: Level = "error"
