"""Compares a wheel with the tree, byte by byte: `python -m tests.house.shipped some.whl`."""

import sys
import zipfile
from pathlib import Path

from tests.house.tree import ROOT, SOURCE_ROOMS, files


def differences(wheel: Path, root: Path) -> list[str]:
    """Files of the source rooms that the wheel lacks, adds or changes."""
    with zipfile.ZipFile(wheel) as held:
        shipped = {name: held.read(name) for name in held.namelist() if ".dist-info/" not in name}
    standing = {
        path.relative_to(root).as_posix(): path.read_bytes()
        for room in SOURCE_ROOMS
        if (root / room).is_dir()
        for path in files(root / room)
    }
    return sorted(name for name in shipped | standing if shipped.get(name) != standing.get(name))


if __name__ == "__main__":
    found = differences(Path(sys.argv[1]), ROOT)
    sys.exit("\n".join(f"not shipped as it stands: {name}" for name in found) or None)
