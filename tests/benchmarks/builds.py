"""How long start-up, a build and a large build take: `python -m tests.benchmarks.builds`.

Times are medians of whole processes, told as multiples of an empty Python process, so that figures
from different machines can be compared.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from cutlist.starter import starter_text

FIXTURES = Path(__file__).parent.parent.parent / "fixtures"
COMMAND = (sys.executable, "-c", "from cutlist.cli import main; main()")


def seconds(command: Sequence[str], repeat: int) -> float:
    """Return the median time of a command run several times [s]."""
    times = []
    for _ in range(repeat):
        begin = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def long_gable(folder: Path) -> Path:
    """Write a job with some thousand rafters and return its file."""
    text = starter_text("gable", "imperial")
    text = text.replace('length = "16ft"', 'length = "660ft"')
    text = text.replace('spacing = "24in"', 'spacing = "16in"')
    path = folder / "long.toml"
    path.write_text(text, encoding="utf-8")
    return path


def main() -> None:
    """Print the table."""
    empty = seconds((sys.executable, "-c", ""), 9)
    print(f"{'empty Python process':28} {empty:7.3f} s      1.0")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        out = ("--out", str(folder / "out"))
        rows: list[tuple[str, tuple[str, ...], int]] = [
            ("cutlist --help", ("--help",), 9),
            ("check post-gable", ("check", str(FIXTURES / "post-gable.toml")), 5),
            ("build post-gable", ("build", str(FIXTURES / "post-gable.toml"), *out), 5),
            ("build hip", ("build", str(FIXTURES / "hip.toml"), *out), 5),
            ("build of 994 rafters", ("build", str(long_gable(folder)), *out), 3),
        ]
        for title, arguments, repeat in rows:
            taken = seconds((*COMMAND, *arguments), repeat)
            print(f"{title:28} {taken:7.3f} s  {taken / empty:7.1f}")


if __name__ == "__main__":
    main()
