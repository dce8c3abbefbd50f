"""The tests; a package only so that `python -m tests.speed` finds its own."""
