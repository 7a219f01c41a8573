"""README's two commands, read from README: `python -m tests.house.commands first` prints one."""

import re
import sys

from tests.house.tree import ROOT


def command(which: str, readme: str) -> str:
    """The one line of the block marked `<!-- first command -->`, or second; else LookupError."""
    marked = rf"^<!-- {which} command -->\n```sh\n([^\n]+)\n```$"
    found = re.findall(marked, readme, flags=re.MULTILINE)
    if len(found) != 1:
        message = (
            f"README.md holds {len(found)} blocks of one line marked '<!-- {which} command -->'; "
            "one is needed, so that what a newcomer types is what is tested."
        )
        raise LookupError(message)
    return str(found[0])


if __name__ == "__main__":
    sys.stdout.write(command(sys.argv[1], (ROOT / "README.md").read_text(encoding="utf-8")) + "\n")
