"""Tries cases one after the other for so many seconds: `python -m tests.fuzz`."""

from __future__ import annotations

import argparse
import contextlib
import pathlib
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from functools import partial

from . import addresses, libraries, requests, tables
from .judging import command
from .requests import Case

KINDS = ("library", "table", "address", "request")
SHARES = {"library": 1, "table": 1, "address": 8, "request": 40}  # cases in a row


@contextlib.contextmanager
def _tried(kind: str, keep: pathlib.Path | None) -> Iterator[Case]:
    if kind == "request":
        with requests.opened() as case:
            yield case
    elif kind == "address":
        from playwright.sync_api import sync_playwright

        with tempfile.TemporaryDirectory(prefix="rungbook-fuzz-") as name, sync_playwright() as api:
            folder = pathlib.Path(name)
            site = small_site(folder)
            browser = api.chromium.launch(
                executable_path=shutil.which("chromium"), args=["--no-sandbox"]
            )
            with addresses.opened(browser, site) as case:
                yield case
            browser.close()
    else:
        yield partial(_in_a_folder, libraries.case if kind == "library" else tables.case, keep)


def small_site(folder: pathlib.Path) -> pathlib.Path:
    """A sound library's site."""
    from builders.library import library_folder
    from builders.sound import sound_files

    files: dict[str, str | bytes] = dict(sound_files())
    library_folder(folder, settings=str(files.pop("library.yml")), files=files)
    status, said, _ = command(["build", "--library", "library", "--site", "site"], folder)
    assert status == 0, said
    return folder / "site"


def _in_a_folder(case, keep: pathlib.Path | None, seed: int) -> list[str]:  # type: ignore[no-untyped-def]
    if keep is not None:
        keep.mkdir(parents=True)
        found: list[str] = case(seed, keep)
        return found
    with tempfile.TemporaryDirectory(prefix="rungbook-fuzz-") as name:
        found = case(seed, pathlib.Path(name))
    return found


def main() -> None:
    """Run; exit status 1 where a fault was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("kinds", nargs="*", metavar="KIND", help=f"of {', '.join(KINDS)}")
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=int(time.time()), help="of the first case")
    parser.add_argument("--case", type=int, help="this one alone")
    parser.add_argument("--keep", type=pathlib.Path, help="where that one's files stay")
    arguments = parser.parse_args()
    end, seed = time.monotonic() + arguments.seconds, arguments.seed
    count, faults = Counter[str](), 0
    with contextlib.ExitStack() as stack:
        tried = {
            kind: stack.enter_context(_tried(kind, arguments.keep))
            for kind in arguments.kinds or KINDS
        }
        while time.monotonic() < end:
            for kind, case in tried.items():
                for _ in range(SHARES[kind]):
                    number = seed if arguments.case is None else arguments.case
                    seed += 1
                    count[kind] += 1
                    for fault in case(number):
                        faults += 1
                        print(f"{kind} {number}: {fault}", flush=True)
            if arguments.case is not None:
                break
    cases = ", ".join(f"{number} {kind}" for kind, number in count.items())
    print(f"Seeds {arguments.seed} to {seed - 1}: {cases}; {faults} faults.")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
