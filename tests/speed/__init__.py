"""How fast the program is, as ratios of two things timed in turn in the same run.

`python -m tests.speed [ROW…] [--quick] [--exercises N]`. Nothing here is a test, and pytest
collects none of it: seconds are the machine's, and a ratio of two timings judges a design.
"""
