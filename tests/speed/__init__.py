"""How fast the program is, as ratios of two things timed in turn in the same run.

`python -m tests.speed [ROW…] [--quick] [--exercises N]`. Nothing here is a test, and pytest
collects none of it: seconds are the machine's, and a ratio of two timings judges a design. Where the program works in
several processes, ratios are of seconds by the clock, the note has those of processors too, and
memory is that of the largest process. `python -m tests.speed.loads` times the engine alone.
"""
