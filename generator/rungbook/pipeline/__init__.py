"""Read, compute, check: once, in that order, with a cache."""
