"""Everything with Qt.

PySide6 puts an import of its own over Python's: it reads the source of every module that comes
after it, to see whether it asks for a feature of Qt by `__feature__`. Nothing here does, and that
reading is a third of what loading numpy and `assess` takes. So the one it put its own over is put
back before anything else is loaded.
"""

import builtins

import PySide6.QtCore  # noqa: F401  # what puts it there

if "__orig_import__" in vars(builtins):
    vars(builtins)["__import__"] = vars(builtins)["__orig_import__"]
