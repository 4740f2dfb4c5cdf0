"""The command `fusemap`: the window, or with a sub-command a report on the terminal."""

import gc
import os
import sys
from collections.abc import Sequence

from fusemap.terminal import COMMANDS

THREADS = (
    "OPENBLAS_NUM_THREADS", "GOTO_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS",
    "BLIS_NUM_THREADS", "VECLIB_MAXIMUM_THREADS",
)  # fmt: skip
"""What the libraries of linear algebra that numpy may stand on ask for, once, when loaded."""


def one_thread() -> None:
    """Let linear algebra run in one thread; to be called before numpy is loaded.

    A vehicle is some hundred unknowns: threads that wait for each other cost far more than they
    share out (`tests/bench/bench_threads.py`). Whoever has set a number already has it.
    """
    if not any(name in os.environ for name in THREADS):
        os.environ.update(dict.fromkeys(THREADS, "1"))


def load_first() -> None:
    """Load, before Qt, what the window needs and knows no Qt.

    PySide6 reads the source of every module that is imported after it, to see whether it asks for
    one of its features.
    """
    # as said: before Qt, and not for the commands that answer without a window
    import fusemap.advise.library
    import fusemap.circuits
    import fusemap.files
    import fusemap.photo.jpeg
    import fusemap.vehicle.edits  # noqa: F401


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program with this command line; gives the exit code."""
    one_thread()
    arguments = list(sys.argv[1:] if argv is None else argv)
    if arguments and arguments[0] == "--version":
        # loaded when it is first needed: the start stays short
        from importlib.metadata import version

        print(f"fusemap {version('fusemap')}")
        return 0
    if arguments and arguments[0] == "install-desktop":
        # loaded when it is first needed: the start stays short
        from fusemap.terminal.desktop import run as install

        return install(arguments[1:])
    if arguments and arguments[0] in COMMANDS:
        # loaded when it is first needed: the start stays short
        from fusemap.cli import run as answer

        return answer(arguments)
    # Nothing made at the start is rubbish yet; looking for some would cost a tenth of the time.
    gc.disable()
    load_first()
    # loaded when it is first needed: the start stays short
    from fusemap.window.app import run

    return run(arguments, COMMANDS)


if __name__ == "__main__":
    sys.exit(main())
