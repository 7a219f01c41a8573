"""Processor time of a process and its children: what it costs, whoever else uses the machine."""

import os
from pathlib import Path

TICKS = os.sysconf("SC_CLK_TCK")
USER, SYSTEM = 11, 12
"""Places behind the name in /proc/PID/stat. Source: proc(5), utime and stime."""


def cpu_s(pid: int) -> float:
    """Seconds so far, children included; they must be alive."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    return _own(pid) + sum(cpu_s(int(child)) for child in children)


def _own(pid: int) -> float:
    behind_name = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(behind_name[USER]) + int(behind_name[SYSTEM])) / TICKS


def rss_mb(pid: int) -> float:
    """Megabytes of memory, children included."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    own = next(line for line in status.splitlines() if line.startswith("VmRSS"))
    return int(own.split()[1]) / 1024 + sum(rss_mb(int(child)) for child in children)
