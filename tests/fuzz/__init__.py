"""Mutated libraries, tables, workbooks, addresses and preview requests, from a seed.

`python -m tests.fuzz [KIND…] [--seconds N] [--seed N]`. A case is a fault where a program crashes,
says that the fault is its own, takes longer or more memory than promised, writes where it may
not, or lets anything run in a page. The same seed makes the same case: `--case SEED` repeats one
and keeps its files. The tests run some seconds of it with the same seeds every time.
"""

import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parents[1]))  # for the builders
