"""Two things timed in turn, as processes of their own."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cost:
    """What one run took: seconds by the clock, seconds of processors, most memory in bytes.

    Processes that the run started and waited for count too; the memory is the largest one's.
    """

    wall_s: float
    cpu_s: float
    memory: int

    def least(self, other: Cost) -> Cost:
        """Of two runs the smaller of each."""
        return Cost(
            min(self.wall_s, other.wall_s),
            min(self.cpu_s, other.cpu_s),
            min(self.memory, other.memory),
        )


# What is installed has its bytecode beside it; here it lies apart, and the first round makes it.
_bytecode = tempfile.TemporaryDirectory(prefix="rungbook-bytecode-")
_COMPILED = {"PYTHONPYCACHEPREFIX": _bytecode.name}


@dataclass(frozen=True, slots=True)
class Process:
    """A command to time, and what is done before each run of it, untimed.

    `statuses`: the exit statuses that count as success.
    """

    command: Sequence[str]
    before: Callable[[], object] = lambda: None
    environment: Mapping[str, str] | None = None
    statuses: tuple[int, ...] = (0,)

    def run(self) -> Cost:
        """One run.

        Raises:
            RuntimeError: it failed; a benchmark of a failure means nothing.
        """
        self.before()
        environment = {**os.environ, **_COMPILED, **(self.environment or {})}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        began = time.perf_counter()
        with subprocess.Popen(
            self.command,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        ) as process:
            assert process.stderr is not None
            words = process.stderr.read()
            _, status, used = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
        wall_s = time.perf_counter() - began
        if process.returncode not in self.statuses:
            last = words.decode(errors="replace")[-2000:]
            raise RuntimeError(f"{' '.join(self.command)}: status {process.returncode}\n{last}")
        unit = 1 if sys.platform == "darwin" else 1024
        return Cost(wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss * unit)


def interleaved(processes: Sequence[Process], rounds: int) -> list[Cost]:
    """Runs all in turn, `rounds` times: the least cost of each."""
    least: list[Cost | None] = [None] * len(processes)
    for _ in range(rounds):
        for number, process in enumerate(processes):
            cost, before = process.run(), least[number]
            least[number] = before.least(cost) if before else cost
    return [cost for cost in least if cost is not None]


def python(*arguments: str) -> tuple[str, ...]:
    """A command of this interpreter."""
    return (sys.executable, *arguments)


def installed(*arguments: str) -> tuple[str, ...]:
    """A command of the program, as it is installed beside this interpreter."""
    beside = shutil.which("rungbook", path=sysconfig.get_path("scripts"))
    return (beside, *arguments) if beside else python("-m", "rungbook.cli", *arguments)
