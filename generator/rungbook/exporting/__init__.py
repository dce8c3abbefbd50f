"""The library, out to what others use: one file a format.

Exports are text made from the measured library alone: no clock, no folder, no order but the
library's own, so that the same library gives the same bytes.
"""
