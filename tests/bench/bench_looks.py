"""Every page of the window looked at by program, in all sizes, fonts, languages and themes.

Run by hand: nice python tests/bench/bench_looks.py [LANGUAGE …]. Needs no display. For each
language, at usual and at double type, every page is opened once and brought to each size; light
and dark take turns. Out: how many looks, and every fault with the first page where it is; colours
that are too faint to somebody who sees them otherwise; with `--focus` the stops of the keyboard
that do not show it. Ten minutes a language and more.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["FUSEMAP_SETTINGS_DIR"] = tempfile.mkdtemp(prefix="fusemap-looks-")

from PySide6.QtWidgets import QApplication, QWidget

from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import LANGUAGES
from tests.window import all_pages, looked_at
from tests.window.looks import MAY_BE_FAINT, SIZES, faults_of

FONTS = (1.0, 2.0)


def main(codes: list[str], *, focus: bool) -> None:
    """Each language and font in a process of its own: none of them sees the other's look."""
    for number, code in enumerate(codes):
        for font in FONTS:
            theme = "dark" if (number + int(font)) % 2 else "light"
            given = [code, str(font), theme, *(["--focus"] if focus else [])]
            subprocess.run([sys.executable, __file__, "one", *given], check=False)


def one(code: str, font: str, theme: str, *, focus: bool) -> None:
    """All pages in one language, font and theme, at every size."""
    app = QApplication([])
    letters = app.font()
    letters.setPointSizeF(letters.pointSizeF() * float(font))
    app.setFont(letters)
    settings = Settings()
    settings.kept.language, settings.kept.theme = code, theme  # type: ignore[assignment]
    window = MainWindow(Document(), settings)
    window.resize(*SIZES[0])
    window.show()
    window.files.open_demo("")
    begun, looks = time.monotonic(), 0
    found: dict[str, str] = {}
    for name, page in all_pages.every_page(window):
        for where in _sized(window, page, name):
            looks += 1
            for fault in _faults(window, page, focus=focus):
                found.setdefault(fault, where)
    print(f"{code}, type × {font}, {theme}: {looks} looks, {len(found)} faults, "
          f"{time.monotonic() - begun:.0f} s")  # fmt: skip
    for fault, where in found.items():
        print(f"    {where}: {fault}")
    sys.stdout.flush()
    os._exit(0)


def _sized(window: MainWindow, page: QWidget, name: str) -> Iterator[str]:
    """The page at every size; a box beside the window has its own."""
    for size in SIZES if page is window else SIZES[:1]:
        if page is window and (window.width(), window.height()) != size:
            window.resize(*size)
            all_pages.settle(40)
        yield f"{name}, {size[0]}"
    if page is window:
        window.resize(*SIZES[0])
        all_pages.settle()


def _faults(window: MainWindow, page: QWidget, *, focus: bool) -> Iterator[str]:
    yield from faults_of(page)
    for ink, ground, large, words in looked_at.pairs(looked_at.look(page)):
        needed = looked_at.MARK_CONTRAST if large else looked_at.TEXT_CONTRAST
        for seeing in looked_at.WAYS_OF_SEEING:
            found = looked_at.contrast_seen(ink, ground, seeing)
            if found < needed - 0.05 and not any(each in words for each in MAY_BE_FAINT):
                yield f"{seeing}: {found:.2f}:1 {ink} on {ground} {words}"
    if focus:
        kept = QApplication.focusWidget()
        yield from (f"stop: {each}" for each in looked_at.unmarked_stops(page))
        if kept is not None:
            kept.setFocus()


if __name__ == "__main__":
    given = [each for each in sys.argv[1:] if each != "--focus"]
    if given[:1] == ["one"]:
        one(*given[1:4], focus="--focus" in sys.argv)
    else:
        main(given or list(LANGUAGES), focus="--focus" in sys.argv)
