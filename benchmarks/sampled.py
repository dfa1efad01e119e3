"""Whose time a piece of work takes: the engine's, a library's, our Python's, or waiting.

Every 2 ms, for each running thread, the innermost frame says whose time it is. What the process
neither computed nor waited for a core is waiting: for files, or for another process.

`python -m benchmarks.sampled design SITE` samples one command line from its first import.
"""

import contextlib
import io
import sys
import threading
import time
from collections import Counter
from pathlib import Path

STEP_S = 0.002
# frames in which the compiled engines run: the frame is that of the caller
ENGINES = {("balance.py", "run_days"), ("balance.py", "run"), ("within_day.py", "run_lift")}
IDLE = {"wait", "select", "poll", "_worker", "accept", "get"}


class Sampled:
    """Whose time it is, sampled while the block runs; `told` says it in words."""

    def __enter__(self):
        self.counts, self.over = Counter(), threading.Event()
        self.thread = threading.Thread(target=self._watch, daemon=True)
        self.start, self.busy, self.queued = time.perf_counter(), time.process_time(), _queued_s()
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.over.set()
        self.thread.join()
        wall = time.perf_counter() - self.start
        busy, queued = time.process_time() - self.busy, _queued_s() - self.queued
        self.waiting = max(0.0, 1.0 - (busy + queued) / wall)

    def _watch(self):
        own = threading.get_ident()
        while not self.over.wait(STEP_S):
            for thread, frame in sys._current_frames().items():
                if thread != own and (whose := _whose(frame)):
                    self.counts[whose] += 1

    @property
    def told(self):
        """The shares from the largest down, and what was waited for files."""
        whole = sum(self.counts.values()) or 1
        shares = [f"{name} {count / whole:.0%}" for name, count in self.counts.most_common()]
        return ", ".join([*shares, f"waiting {self.waiting:.0%}"])


def _whose(frame):
    """Of the innermost frame: the engine, a library, loading modules, or our Python; "" idle."""
    code = frame.f_code
    file = Path(code.co_filename)
    if code.co_name in IDLE and "eavewell" not in code.co_filename:
        return ""
    if (file.name, code.co_name) in ENGINES:
        return "engine"
    while frame is not None:
        if frame.f_code.co_filename.startswith("<frozen importlib"):
            return "loading modules"
        frame = frame.f_back
    return "our Python" if "eavewell" in file.parts else "libraries"


def _queued_s():
    """Seconds that this process has waited for a core; 0 where the system does not tell."""
    try:
        tasks = Path("/proc/self/task").glob("*/schedstat")
        return sum(int(one.read_text().split()[1]) for one in tasks) / 1e9
    except (OSError, IndexError, ValueError):
        return 0.0


def main(words):
    """Sample a command line of Eavewell and print whose time it was."""
    with Sampled() as sampled, contextlib.redirect_stdout(io.StringIO()):
        from eavewell import cli

        sys.argv = ["eavewell", *words]
        with contextlib.suppress(SystemExit):
            cli.main()
    print(sampled.told)


if __name__ == "__main__":
    main(sys.argv[1:])
