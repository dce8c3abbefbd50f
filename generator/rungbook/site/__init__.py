"""The site: MkDocs plugin, one page model a file, browser data, sheets, atomic publishing.

A page model is a frozen dataclass made from the analysis; a template of the same name in
`site_theme/pages/` loops over it and chooses. Templates are rendered here, in an auto-escaping
environment, so that any MkDocs theme may frame the result. With our own theme the whole page
is rendered here too, by several processes, and written into the site at once; MkDocs learns
that the file is there: no page costs more for every other page there is.
"""
