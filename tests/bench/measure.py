"""Timing and verdicts: what a bench is, and how its figures are judged."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from statistics import median
from typing import NamedTuple

FAIL_ABOVE = 1.5  # times the goal; shared machines drift by that much


class Result(NamedTuple):
    """One line of the report.  ``goal`` is a ratio to the baseline; None where only absolute times are reported."""

    name: str
    figure_ms: float
    baseline: str
    baseline_ms: float | None
    goal: float | None
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """Figure over baseline."""
        return None if self.baseline_ms is None else self.figure_ms / self.baseline_ms

    @property
    def verdict(self) -> str:
        """``met``, ``above goal`` (within the machine's drift) or ``FAILED``; ``reported`` without a goal."""
        if self.goal is None or self.ratio is None:
            return "reported"
        if self.ratio <= self.goal:
            return "met"
        return "above goal" if self.ratio <= FAIL_ABOVE * self.goal else "FAILED"


def call_ms(function: Callable[[], object], repeat: int) -> float:
    """Median time of one call, after a warm-up. [ms]"""
    for _ in range(3):
        function()
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return median(times) * 1000


def interleaved_ms(first: Callable[[], object], second: Callable[[], object], repeat: int) -> tuple[float, float]:
    """Median times of two calls that take turns, so that both see the same drift of the machine. [ms]"""
    times: tuple[list[float], list[float]] = ([], [])
    for function in (first, second):
        function()
    for _ in range(repeat):
        for which, function in enumerate((first, second)):
            start = time.perf_counter()
            function()
            times[which].append(time.perf_counter() - start)
    return median(times[0]) * 1000, median(times[1]) * 1000


def process_ms(*arguments: str) -> Callable[[], None]:
    """A call that runs Python with these arguments to its end, as a user's Python would: with its compiled modules."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}

    def run() -> None:
        subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, env=environment)

    return run
