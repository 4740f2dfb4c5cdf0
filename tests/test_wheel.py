"""The wheel, installed outside the checkout, has everything in it. Needs no network."""

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PARTS = ("fusemap", "resources", "demo_vehicles", "pyproject.toml", "README.md")


def run(*command: str, cwd: Path, site: Path | None = None, status: int = 0) -> str:
    """Run a command with nothing of the checkout in reach; gives what it prints."""
    surroundings = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    if site is not None:
        surroundings["PYTHONPATH"] = str(site)
    done = subprocess.run(
        command, cwd=cwd, env=surroundings, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout


NOT_SHIPPED = (".po",)
"""What translators edit; the program reads what is compiled from it."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from a copy: building leaves traces."""
    folder = tmp_path_factory.mktemp("wheel")
    for part in PARTS:
        source = ROOT / part
        if source.is_dir():
            shutil.copytree(source, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, folder / part)
    options = ("--no-deps", "--no-build-isolation", "--no-index", "--wheel-dir", "dist")
    run(sys.executable, "-m", "pip", "wheel", *options, ".", cwd=folder)
    (made,) = (folder / "dist").glob("*.whl")
    return made


@pytest.fixture(scope="module")
def site(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel installed into a folder of its own."""
    folder = tmp_path_factory.mktemp("installed")
    target = folder / "site"
    options = ("--no-deps", "--no-index", "--target", str(target))
    run(sys.executable, "-m", "pip", "install", *options, str(wheel), cwd=folder)
    return target


def test_every_module_table_and_demo_vehicle_is_in_the_wheel(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder, place in (
        ("fusemap", "fusemap"),
        ("resources/tables", "fusemap/resources/tables"),  # the pictures are the README's
        ("resources/help", "fusemap/resources/help"),
        ("resources/languages", "fusemap/resources/languages"),
        ("resources/install", "fusemap/resources/install"),
        ("demo_vehicles", "fusemap/demo_vehicles"),
    ):
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in NOT_SHIPPED or "__pycache__" in path.parts:
                continue
            if path.is_file():
                assert f"{place}/{path.relative_to(ROOT / folder).as_posix()}" in names


def test_the_wheel_holds_no_tests(wheel: Path) -> None:
    assert not [name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("tests")]


def test_an_installed_fusemap_reports_on_a_demo_vehicle(site: Path) -> None:
    where = run(
        sys.executable, "-c", "import fusemap; print(fusemap.__file__)", cwd=site.parent, site=site
    )
    assert Path(where.strip()).is_relative_to(site)
    demo = site / "fusemap" / "demo_vehicles" / "family_estate.fusemap"
    shutil.copy(demo, site.parent / "estate.fusemap")
    command = (sys.executable, "-m", "fusemap", "report", "estate.fusemap")
    # this vehicle has something to stop for
    report = run(*command, cwd=site.parent, site=site, status=1)
    assert "Family estate" in report


def test_an_installed_fusemap_opens_its_window(site: Path) -> None:
    code = (
        "from PySide6.QtWidgets import QApplication\n"
        "app = QApplication([])\n"
        "from fusemap.window.app import make_window, open_first\n"
        "window = make_window()\n"
        "open_first(window, None, '')\n"
        "window.show()\n"
        "app.processEvents()\n"
        "print(window.windowTitle(), len(window.document.vehicle.panels), flush=True)\n"
    )
    said = run(sys.executable, "-c", code, cwd=site.parent, site=site)
    assert said.startswith("Family estate")
