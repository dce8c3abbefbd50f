"""Progressions as a graph: ladders, rungs, steps and their sizes, routes, easier options."""
