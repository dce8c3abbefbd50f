"""The library, out to what others use and in from what people have: one file a format.

Exports are text made from the measured library alone: no clock, no folder, no order but the
library's own, so that the same library gives the same bytes. What comes in is turned to drafts
that reading accepts; whatever cannot be understood stays in the draft, word for word.
"""
