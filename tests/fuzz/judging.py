"""Running a command in a process of its own, and what of its outcome is a fault."""

from __future__ import annotations

import os
import pathlib
import resource
import signal
import sys
import time
import traceback
from collections.abc import Sequence
from html.parser import HTMLParser

MOST_S = 20.0  # that any command may take over any file, by the processor
MOST_MB = 500
BARE_MB = 60  # of the program before it does anything
MEMORY = "\0memory "
OWN_FAULT = ("fault of its own", "Traceback (most recent call last)")
_ADDRESSES = {"href", "src", "action", "formaction", "data", "xlink:href"}


def command(arguments: Sequence[str], folder: pathlib.Path) -> tuple[int, str, list[str]]:
    """Exit status, what was said, and faults; the command runs forked, in `folder`."""
    said = folder / "said.txt"
    child = os.fork()
    if child == 0:
        _become(arguments, folder, said)
    status, seconds = _waited(child)
    text, _, megabytes = said.read_text("utf-8", "replace").rpartition(MEMORY)
    said.unlink()
    faults = [f"{arguments[0]}: {line}" for line in text.splitlines() if _is_own(line)]
    if os.WIFSIGNALED(status):
        faults.append(f"{arguments[0]}: ended by signal {os.WTERMSIG(status)}")
    elif os.WEXITSTATUS(status) not in (0, 1, 2):
        faults.append(f"{arguments[0]}: exit status {os.WEXITSTATUS(status)}")
    if seconds > MOST_S:
        faults.append(f"{arguments[0]}: {seconds:.0f} s of the processor")
    if megabytes and float(megabytes) > MOST_MB:
        faults.append(f"{arguments[0]}: {megabytes} MB")
    return os.waitstatus_to_exitcode(status), text, faults


def _is_own(line: str) -> bool:
    return any(words in line for words in OWN_FAULT)


def _become(arguments: Sequence[str], folder: pathlib.Path, said: pathlib.Path) -> None:
    """Turn this process into the command; never returns."""
    from rungbook.cli import main

    status, held = 70, _megabytes("VmRSS")
    try:
        os.setpgid(0, 0)
        resource.setrlimit(resource.RLIMIT_CPU, (int(2 * MOST_S), int(3 * MOST_S)))
        os.chdir(folder)
        handle = os.open(said, os.O_WRONLY | os.O_CREAT, 0o600)
        for stream in (1, 2):
            os.dup2(handle, stream)
        sys.stdout = sys.stderr = os.fdopen(1, "w", encoding="utf-8", closefd=False)
        os.environ["RUNGBOOK_CACHE"] = "off"
        main(list(arguments))
    except SystemExit as ended:
        status = ended.code if isinstance(ended.code, int) else 0 if ended.code is None else 1
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        os.write(1, f"{MEMORY}{_megabytes('VmHWM') - held + BARE_MB:.0f}".encode())
        os._exit(status)


def _megabytes(what: str) -> float:
    """Memory of this process: now (`VmRSS`), or at its most (`VmHWM`)."""
    lines = pathlib.Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(what)) / 1024


def _waited(child: int) -> tuple[int, float]:
    """The outcome of a process; one that waits for ever is killed, the machine may be busy."""
    late = time.monotonic() + 20 * MOST_S
    while True:
        ended, status, about = os.wait4(child, os.WNOHANG)
        if ended:
            return status, about.ru_utime + about.ru_stime
        if time.monotonic() > late:
            os.killpg(child, signal.SIGKILL)
            _, status, about = os.wait4(child, 0)
            return status, about.ru_utime + about.ru_stime
        time.sleep(0.005)


class _Page(HTMLParser):
    """What in a page could run, or fetch from elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self.faults: list[str] = []
        self._in_script = False

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self._in_script = tag == "script" and ("type", "application/ld+json") not in attributes
        for name, value in attributes:
            word = "".join((value or "").split()).lower()
            if name.startswith("on") or name in ("style", "srcdoc", "ping"):
                self.faults.append(f"<{tag} {name}=…>")
            elif name in _ADDRESSES and word.startswith(("javascript:", "vbscript:", "data:text")):
                self.faults.append(f"<{tag} {name}={word[:20]}…>")
            elif name == "src" and "//" in word:
                self.faults.append(f"<{tag} src={word[:20]}…> from elsewhere")
        if tag in ("iframe", "object", "embed", "base", "style"):
            self.faults.append(f"<{tag}>")

    def handle_endtag(self, tag: str) -> None:
        self._in_script = False

    def handle_data(self, data: str) -> None:
        if self._in_script and data.strip():
            self.faults.append("a script within the page")


def page_faults(site: pathlib.Path) -> list[str]:
    """What could run in the pages of a site, beside its own scripts."""
    found: list[str] = []
    for page in site.rglob("*.html"):
        parser = _Page()
        parser.feed(page.read_text("utf-8"))
        found += [f"{page.relative_to(site)}: {fault}" for fault in parser.faults]
    return found[:5]
