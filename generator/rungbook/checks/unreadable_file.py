"""A file that cannot be read.

What is not UTF-8 text, not YAML, larger than the limit or nested too deeply cannot be understood,
so nothing in it is checked or published.

Mend what the message names: save the file as UTF-8, close the bracket, end the front matter with
a line of three dashes.

Fails:

    [exercises/calf/raise.md]
    title: [Heel raise

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
"""

from rungbook.model.finding import Level

name = "unreadable-file"
level: Level = "error"
