"""How a site comes to stand: as parts, written in parallel, swapped in whole, previewed, in MkDocs.

A site is a row of parts (`parts`): which paths each makes, of what, and how. What a part depends
on is what it was given and what it looked up in the catalogue, noted while it was made
(`rungbook.model.watched`, `rungbook.pipeline.looks`): nobody keeps a list of it. A page model may
therefore look at nothing but its arguments and the catalogue, and what is remembered between
pages must note the looks it was found by, as `rungbook.model.latest` does.
"""
