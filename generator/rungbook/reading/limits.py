"""How large a library may be before reading it is refused, in one place.

They are far above what hands write, and low enough that a hostile file costs little.
"""

from __future__ import annotations

MOST_BASES = 5  # libraries that build on one another
MOST_FILES = 50_000  # files in the library's folders
MOST_FOLDERS_DEEP = 8
MOST_FOLDERS = 20_000  # in the library's folder, those that are not read included
MOST_ID = 100  # letters: a page, a sheet and a file beside each are named by it
MOST_BYTES = 1_000_000  # of one exercise, ladder or settings file
MOST_VOCABULARY_BYTES = 8_000_000
MOST_PICTURE_BYTES = 10_000_000
MOST_PIXELS = 36_000_000  # of a photograph: width times height
MOST_VIDEO_BYTES = 10_000_000
MOST_VIDEO_S = 60.0
MOST_SVG_BYTES = 2_000_000
MOST_SVG_ELEMENTS = 20_000  # copies by reference counted in full
MOST_SVG_DEPTH = 100  # elements inside one another
MOST_LETTERS = 20_000  # of the Markdown of one file, or of one text of a page
MOST_MARKS = 100  # brackets and underlined headings of one text: each costs the text's length
MOST_ITEMS = 500  # of one list
MOST_DEPTH = 24  # mappings and lists inside one another
MOST_NODES = 20_000  # values of one exercise, ladder or settings file, aliases counted in full
MOST_VOCABULARY_NODES = 400_000
MOST_ALIASES = 100
MOST_VARIATIONS = 50  # exercises in one chain of variation-of
MOST_FAULTS = 100  # findings of one file; the rest would say the same
