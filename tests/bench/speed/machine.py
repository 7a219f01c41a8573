"""Names the machine that the numbers belong to."""

import os
import platform
import sqlite3
from pathlib import Path

PROCESSORS = Path("/proc/cpuinfo")


def machine(databases: tuple[str, ...]) -> str:
    """Processor, cores, load, versions; one line."""
    load = os.getloadavg()[0]
    return (
        f"{_processor()}, {os.cpu_count()} cores, load before the run {load:.1f}; "
        f"{platform.system()} {platform.release()}, Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}, {', '.join(databases)}"
    )


def _processor() -> str:
    if not PROCESSORS.is_file():
        return platform.processor() or platform.machine()
    lines = PROCESSORS.read_text(encoding="utf-8").splitlines()
    names = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(names, platform.machine())
