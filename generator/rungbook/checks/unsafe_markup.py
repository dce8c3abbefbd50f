"""HTML in a text that Markdown would pass on.

Raw HTML is removed before anything is published, since a script in it would run in the reader's
browser; what stood in it is then missing from the page.

Mend it by writing the same in Markdown.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    ---
    ## Do
    Rise <script>alert(1)</script> slowly.

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
    ---
    ## Do
    Rise **slowly**.
"""

from rungbook.model.finding import Level

name = "unsafe-markup"
level: Level = "warning"
