"""Reference packages and programs for the outside checks: a check that skips checks nothing.

On a machine of one's own what is not installed is skipped; where `CI` is set it has to be there.
"""

import importlib
import os
import shutil
from types import ModuleType

import pytest


def in_ci() -> bool:
    """Whether this is the run that everything is judged by."""
    return os.environ.get("CI", "").casefold() in ("1", "true", "yes")


def package(name: str) -> ModuleType:
    """A reference package. Raises ModuleNotFoundError in CI, else skips, where it is missing."""
    if in_ci():
        return importlib.import_module(name)
    found: ModuleType = pytest.importorskip(name)
    return found


def needs_program(name: str) -> pytest.MarkDecorator:
    """Skips without this program, but not in CI: there the check fails for want of it."""
    return pytest.mark.skipif(
        shutil.which(name) is None and not in_ci(), reason=f"{name} is not installed here"
    )
