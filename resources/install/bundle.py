"""Builds the one-folder bundle: the program with everything it needs, no Python asked for.

Run by hand: python resources/install/bundle.py [FOLDER]. Needs pip, setuptools and PyInstaller in
the same environment. In: this project. Out: FOLDER/fusemap/ (default dist/), to be copied as it is.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("fusemap", "resources", "demo_vehicles", "pyproject.toml", "README.md")
LEFT_OUT = (
    "tkinter", "matplotlib", "IPython", "pytest", "hypothesis", "fluids", "PIL", "OpenGL",
    "PySide6.QtQml", "PySide6.QtQuick", "PySide6.QtNetwork", "PySide6.QtTest",
)  # fmt: skip
"""What others of the environment bring along and the program never loads."""
START = "import sys\nfrom fusemap.__main__ import main\nsys.exit(main())\n"


def install(work: Path) -> Path:
    """The project installed into a folder of its own; built from a copy, building leaves traces."""
    copy, site = work / "copy", work / "site"
    copy.mkdir()
    for part in PARTS:
        source = ROOT / part
        if source.is_dir():
            shutil.copytree(source, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, copy / part)
    options = ("--quiet", "--no-deps", "--no-build-isolation", "--target", str(site))
    subprocess.run((sys.executable, "-m", "pip", "install", *options, str(copy)), check=True)
    return site


def data_options(site: Path) -> list[str]:
    """Every file of the package that is no module, with its place inside the bundle."""
    options = []
    for path in sorted((site / "fusemap").rglob("*")):
        if path.is_file() and path.suffix not in (".py", ".pyc", ".pyi"):
            options += ["--add-data", f"{path}{os.pathsep}{path.parent.relative_to(site)}"]
    return options


def main() -> int:
    """Build it."""
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "dist").resolve()
    with tempfile.TemporaryDirectory(prefix="fusemap-bundle-") as folder:
        work = Path(folder)
        site = install(work)
        start = work / "start.py"
        start.write_text(START, encoding="utf-8")
        command = [
            sys.executable, "-m", "PyInstaller", "--noconfirm", "--onedir", "--windowed",
            "--name", "fusemap", "--distpath", str(target), "--workpath", str(work / "work"),
            "--specpath", str(work), "--paths", str(site), "--copy-metadata", "fusemap",
            "--collect-submodules", "fusemap",
            *(option for name in LEFT_OUT for option in ("--exclude-module", name)),
            *data_options(site), str(start),
        ]  # fmt: skip
        surroundings = os.environ | {"PYTHONPATH": str(site)}
        return subprocess.run(command, env=surroundings, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
