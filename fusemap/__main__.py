"""The command `fusemap`: the window, or with a sub-command a report on the terminal."""

import sys
from collections.abc import Sequence

from fusemap.terminal import COMMANDS


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program with this command line; gives the exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if arguments and arguments[0] == "--version":
        from importlib.metadata import version

        print(f"fusemap {version('fusemap')}")
        return 0
    if arguments and arguments[0] == "install-desktop":
        from fusemap.terminal.desktop import run as install

        return install(arguments[1:])
    if arguments and arguments[0] in COMMANDS:
        from fusemap.cli import run as answer

        return answer(arguments)
    from fusemap.window.app import run

    return run(arguments, COMMANDS)


if __name__ == "__main__":
    sys.exit(main())
