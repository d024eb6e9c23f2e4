"""Writing processes that are stopped at a random moment, and what they had said until then."""

from __future__ import annotations

import os
import random
import select
import signal
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field

Say = Callable[[str], None]
Work = Callable[[Say], None]


@dataclass
class Child:
    """A forked process that works and says lines; forked, so that it need not import anything first."""

    work: Work
    pid: int = field(init=False)
    heard: bytearray = field(init=False, default_factory=bytearray)

    def __post_init__(self) -> None:
        self._ear, mouth = os.pipe()
        self.pid = os.fork()
        if self.pid:
            os.close(mouth)
            return
        os.close(self._ear)
        code = 1
        try:
            self.work(lambda line: _say(mouth, line))
            code = 0
        except BaseException:
            _say(mouth, "failed " + traceback.format_exc().replace("\n", " | "))
        finally:
            os._exit(code)

    def listen(self, seconds: float) -> bool:
        """Wait for more to be said; False where nothing was."""
        if not select.select([self._ear], [], [], seconds)[0]:
            return False
        more = os.read(self._ear, 1 << 16)
        self.heard += more
        return bool(more)

    def stop(self) -> list[str]:
        """Kill it where it stands; give all that it had said."""
        os.kill(self.pid, signal.SIGKILL)
        return self.end()

    def end(self) -> list[str]:
        """Wait until it has ended; give all that it had said."""
        while self.listen(120):
            pass
        os.waitpid(self.pid, 0)
        os.close(self._ear)
        lines = bytes(self.heard).decode().splitlines()
        failed = [line for line in lines if line.startswith("failed")]
        assert not failed, failed
        return lines


def _say(mouth: int, line: str) -> None:
    os.write(mouth, line.encode() + b"\n")


@dataclass
class Tally:
    """What was counted while processes were stopped."""

    kills: int = 0
    in_the_middle: int = 0
    half_files_left: int = 0
    waiting: int = 0
    heard: list[str] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)
    begun: list[str] = field(default_factory=list)

    def take(self, lines: list[str]) -> None:
        """Take in what one process had said before it was stopped: "begin x" and "done x"."""
        begun = [line.removeprefix("begin ") for line in lines if line.startswith("begin ")]
        done = [line.removeprefix("done ") for line in lines if line.startswith("done ")]
        self.heard += lines
        self.kills += 1
        self.in_the_middle += len(begun) > len(done)
        self.begun += begun
        self.acknowledged += done


def stopped_at_random(work: Work, chance: random.Random, longest: float) -> list[str]:
    """Let it work, and kill it up to `longest` seconds after it has begun its first write."""
    child = Child(work)
    assert child.listen(60), "nothing was begun"
    end = time.monotonic() + chance.uniform(0, longest)
    while (left := end - time.monotonic()) > 0:
        child.listen(left)
    return child.stop()
