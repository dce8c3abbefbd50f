"""Levers, the search for exercises that fill a step, rounding, drafts as data."""
