"""No layout is asked for its items.

Asked for one, PySide (6.11) keeps what most layouts return for as long as they live, though Qt
deletes the item with its widget. Whatever comes to lie at the same place in memory is then taken
for it: a row of a list, for instance, and the program ends where the list is cleared.
"""

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
ASKS = {"itemAt", "itemAtPosition"}
LISTS = {"list", "view", "table", "tree"}
"""What is asked for its item at a place, and is no layout."""


def asked(source: str) -> Iterator[int]:
    """Lines that ask anything but a list for an item."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            of = node.func.value
            name = getattr(of, "attr", getattr(of, "id", ""))
            if node.func.attr in ASKS and name not in LISTS:
                yield node.lineno


def test_no_layout_of_the_window_or_of_a_sweep_is_asked() -> None:
    places = [*(ROOT / "fusemap").rglob("*.py"), *(ROOT / "tests" / "window").glob("*.py")]
    found = [
        f"{path.relative_to(ROOT)}:{line}"
        for path in places
        for line in asked(path.read_text(encoding="utf-8"))
    ]
    assert found == []
    assert [*asked("self.rows.itemAt(0).widget()\nself.list.itemAt(spot)")] == [1]


LOOKED = """
import os
from PySide6.QtWidgets import *
from tests.window import looked_at
app = QApplication([])
page, rows = QWidget(), QListWidget()
column = QVBoxLayout(page)
page.show()
for turn in range(60):
    labels = [QLabel(str(number)) for number in range(20)]
    for label in labels:
        column.addWidget(label)
    looked_at.forget()
    assert list(looked_at.overlapping(page)) == []
    looked_at.forget()
    for label in labels:
        label.setParent(None)
    for number in range(40):
        rows.addItem(QListWidgetItem(str(number)))
    rows.clear()
print("ended well", flush=True)
os._exit(0)
"""


def test_a_list_outlives_parts_that_were_looked_at_and_went() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", LOOKED], cwd=ROOT, capture_output=True, text=True,
        check=False, env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    assert ran.stdout == "ended well\n", (ran.returncode, ran.stderr[-500:])
