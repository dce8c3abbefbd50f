"""Prints the table: `python -m tests.speed [ROW…] [--quick] [--exercises N]`."""

from __future__ import annotations

import argparse
import multiprocessing
import pathlib
import sys
import tempfile

from tests.speed.rows import ROWS, Setting, print_row

MEMORY = pathlib.Path("/dev/shm")  # files here cost no disk


def main() -> None:
    """Run the rows that were asked for, or all, and print each as it is known."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed", description=__doc__)
    parser.add_argument("rows", nargs="*", metavar="ROW", help=f"of {', '.join(ROWS)}")
    parser.add_argument("--quick", action="store_true", help="two rounds in place of five")
    parser.add_argument("--exercises", type=int, default=10_000, help="of the large library")
    arguments = parser.parse_args()
    unknown = [name for name in arguments.rows if name not in ROWS]
    if unknown:
        parser.error(f"there is no row {unknown[0]!r}: choose of {', '.join(ROWS)}")
    place = MEMORY if MEMORY.is_dir() else None
    with tempfile.TemporaryDirectory(prefix="rungbook-speed-", dir=place) as folder:
        rounds = 2 if arguments.quick else 5
        setting = Setting(arguments.exercises, rounds, pathlib.Path(folder))
        # A process of its own for each row: a child's greatest memory begins with its parent's.
        apart = multiprocessing.get_context("spawn")
        for name in arguments.rows or ROWS:
            print(f"{name} …", file=sys.stderr)
            process = apart.Process(target=print_row, args=(name, setting))
            process.start()
            process.join()
            if process.exitcode:
                raise SystemExit(process.exitcode)


if __name__ == "__main__":
    main()
