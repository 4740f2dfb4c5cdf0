"""All published tables on the screen: sources, what is from memory, and what a number cites."""

import csv
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication, QMainWindow, QToolButton

from fusemap import tables
from fusemap.files.demos import read_demo
from fusemap.text import ENGLISH, Style
from fusemap.vehicle import Cable, Fuse, Vehicle, edits
from fusemap.window.chain.chain_view import ChainView
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.pages.table_words import fitting
from fusemap.window.pages.tables_page import TablesPage, open_beside
from fusemap.window.parts import export
from fusemap.window.parts.headline import BasisView
from fusemap.window.parts.sources import open_tables, source_at
from fusemap.window.settings import Settings
from fusemap.window.style.theme import LIGHT


@pytest.fixture
def page(qtbot: Any) -> TablesPage:
    made = TablesPage(Document(Vehicle(name="Van")), LIGHT.style)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    return made


def listed(page: TablesPage) -> list[str]:
    return [page.list.item(row).data(Qt.ItemDataRole.UserRole) for row in range(page.list.count())]


def test_every_table_is_listed_with_all_its_rows(page: TablesPage) -> None:
    assert listed(page) == [info.key for info in tables.all_tables()]
    for info in tables.all_tables():
        page.show_table(info.key)
        assert page.model.rowCount() == len(info.rows)


def test_arrow_keys_go_from_table_to_table(page: TablesPage, qtbot: Any) -> None:
    first = page.key
    page.list.setFocus()
    qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert page.key == listed(page)[1] != first


def test_only_recalled_figures_are_left_with_a_tick(page: TablesPage, qtbot: Any) -> None:
    qtbot.mouseClick(page.memory, Qt.MouseButton.LeftButton, pos=page.memory.rect().center())
    if not page.memory.isChecked():
        page.memory.setFocus()
        qtbot.keyClick(page.memory, Qt.Key.Key_Space)
    wanted = [info.key for info in tables.all_tables() if info.by_status.get("memory")]
    assert listed(page) == wanted
    for key in wanted:
        page.show_table(key)
        status = page.model.columns.index("status")
        assert {row[status] for row in page.model.rows} == {"memory"}


def test_what_is_from_memory_is_slanted_and_said(page: TablesPage) -> None:
    page.show_table("insulations")
    model = page.model
    status = model.columns.index("status")
    row = next(r for r, cells in enumerate(model.rows) if cells[status] == "memory")
    assert model.index(row, status).data() == "from memory, unverified"
    assert model.index(row, 0).data(Qt.ItemDataRole.FontRole).italic()
    page.view.setCurrentIndex(model.index(row, 0))
    assert page.source.text().endswith("(from memory, unverified)")


def test_what_is_or_is_not_so_is_said_in_words(page: TablesPage) -> None:
    """A file's 1 and 0 are no figures."""
    page.show_table("fuse_families")
    model = page.model
    for key in ("has_two_fuse_tap", "bolted_or_cartridge"):
        column = model.columns.index(key)
        said = {model.index(row, column).data() for row in range(model.rowCount())}
        assert said == {"yes", "no"}


@pytest.mark.parametrize("table", ["fuse_families", "own_slots", "copper"])
def test_a_heading_stands_above_the_edge_of_its_cells(page: TablesPage, table: str) -> None:
    page.show_table(table)
    model, role = page.model, Qt.ItemDataRole.TextAlignmentRole
    for column in range(model.columnCount()):
        head = model.headerData(column, Qt.Orientation.Horizontal, role)
        cells = [model.index(row, column) for row in range(model.rowCount())]
        sides = {each.data(role) for each in cells if each.data()}
        assert head in sides or not sides, model.columns[column]


def test_typing_looks_through_all_tables(page: TablesPage, qtbot: Any) -> None:
    qtbot.keyClick(page, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(page.search, "fuseology")
    assert "rules" in listed(page)
    assert len(listed(page)) < len(tables.all_tables())
    page.show_table("rules")
    source = page.model.columns.index("source")
    assert page.model.rows
    assert all("Fuseology" in row[source] for row in page.model.rows)


def test_words_that_stand_nowhere_say_so(page: TablesPage, qtbot: Any) -> None:
    qtbot.keyClicks(page.search, "flux capacitor")
    assert page.list.count() == 0
    assert page.nothing.isVisible()
    assert not page.view.isVisible()


def test_quotes_keep_words_together() -> None:
    info = tables.table("conductors")
    loose, whole = fitting(info, "table conductor"), fitting(info, "“table conductor”")
    assert len(loose) > len(whole) == 0


def test_columns_are_named_with_their_units(page: TablesPage) -> None:
    page.show_table("conductors")
    across = Qt.Orientation.Horizontal
    titles = [page.model.headerData(n, across) for n in range(page.model.columnCount())]
    assert "Area [mm²]" in titles
    assert "R20 [mΩ/m]" in titles


def test_the_rows_shown_are_copied(page: TablesPage, qtbot: Any) -> None:
    page.show_table("copper")
    page.view.setFocus()
    qtbot.keySequence(page.view, QKeySequence(QKeySequence.StandardKey.Copy))
    head, *rows = QGuiApplication.clipboard().text().splitlines()
    assert head.split("\t") == list(tables.table("copper").columns)
    assert len(rows) == len(tables.table("copper").rows)


def test_the_rows_shown_are_saved(page: TablesPage, tmp_path: Path) -> None:
    page.show_table("copper")
    export.write_csv(tmp_path / "a.csv", page.model.columns, page.model.rows)
    with (tmp_path / "a.csv").open(encoding="utf-8-sig", newline="") as file:
        assert len(list(csv.DictReader(file))) == len(tables.table("copper").rows)


def test_escape_closes_them_beside_the_window(page: TablesPage, qtbot: Any) -> None:
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert not page.isVisible()


def test_titles_and_headings_are_in_the_language_of_the_page(qtbot: Any) -> None:
    german = TablesPage(Document(Vehicle(name="Van")), Style("de"))
    qtbot.addWidget(german)
    german.show_table("fuse_families")
    assert german.list.currentItem().text() == "Sicherungsbauformen"
    assert german.title.text().startswith("Sicherungsbauformen: ")
    across, shown = Qt.Orientation.Horizontal, Qt.ItemDataRole.DisplayRole
    heads = [
        german.model.headerData(column, across, shown)
        for column in range(len(german.model.columns))
    ]
    assert "Sicherungsabgriff" in heads
    assert "Höchste Spannung [V]" in heads


# --- from a number to its source ----------------------------------------------------------------


def tapped() -> Vehicle:
    v = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 1)
    v = edits.change_slot(v, "slot-1", fuse=Fuse(family="mini", rating=15), feed_class="ignition")
    v = edits.add_accessory(v, "Camera", amperes=2.0)
    return edits.place(v, "accessory-1", slot="slot-1", fuse=Fuse(family="mini", rating=5),
                       cable_out=Cable(section_mm2=1.0, length_m=2.0))  # fmt: skip


class Window(QMainWindow):
    """A window that has the tables, round one view."""

    def __init__(self, view: Any, style: Style = ENGLISH) -> None:
        super().__init__()
        self.setCentralWidget(view)
        self._document = view.document
        self._style = style

    def tables_page(self, source: str) -> TablesPage:
        return open_beside(self, self._document, self._style, source)


def test_a_source_that_a_number_names_opens_the_rows_that_have_it(qtbot: Any) -> None:
    view = ChainView(Document(tapped()), LIGHT)
    qtbot.addWidget(view)
    source = "IEC 60364-4-43; Littelfuse MINI blade fuse 32 V, series 297 data sheet"
    assert open_tables(view, source) is None, "no window round it has them"
    page = open_beside(view, view.document, ENGLISH, source)
    assert page.search.text() == "“Littelfuse MINI blade fuse 32 V, series 297 data sheet”"
    assert "fuse_times" in listed(page)
    assert "cautions" not in listed(page)


def test_there_is_one_window_of_tables(qtbot: Any) -> None:
    view = ChainView(Document(tapped()), LIGHT)
    qtbot.addWidget(view)
    page = open_beside(view, view.document, ENGLISH)
    assert open_beside(view, view.document, ENGLISH, "Littelfuse, Fuseology") is page


def test_in_another_language_the_tables_are_opened_anew(qtbot: Any) -> None:
    view = ChainView(Document(tapped()), LIGHT)
    qtbot.addWidget(view)
    english = open_beside(view, view.document, ENGLISH)
    german = open_beside(view, view.document, Style("de"))
    assert german is not english
    assert not english.isVisible()
    german.show_table("joints")
    assert "Zeilen" in german.title.text()
    assert view.findChildren(TablesPage) == [german]


def test_a_hops_menu_leads_to_the_tables_behind_it(qtbot: Any) -> None:
    view = ChainView(Document(tapped()), LIGHT)
    window = Window(view)
    qtbot.addWidget(window)
    window.resize(500, 600)
    with qtbot.waitExposed(window):
        window.show()
    view.document.select("tap", "tap-1")
    QApplication.processEvents()
    row = next(r for r in range(view.model.rowCount()) if view.model.key(r) == "host_fuse")
    view.list.setCurrentIndex(view.model.index(row, 0))
    assert source_at(view.list) == tables.rule_default("continuous_share").source.title
    menu = view.list.hop_menu()
    next(a for a in menu.actions() if a.objectName() == "hopTables").trigger()
    page = window.findChild(TablesPage)
    assert page is not None
    assert "rules" in listed(page)


def test_the_basis_of_a_number_has_a_button_to_its_tables(qtbot: Any) -> None:
    basis = BasisView(Document(tapped()), ENGLISH, "Why", "why")
    basis.document = Document(tapped())  # type: ignore[attr-defined]
    window = Window(basis)
    qtbot.addWidget(window)
    basis.show_text("a + b", "Littelfuse, Fuseology")
    with qtbot.waitExposed(window):
        window.show()
    button = basis.findChild(QToolButton, "whyTables")
    assert button is not None
    assert not button.isVisible()
    qtbot.mouseClick(basis.button, Qt.MouseButton.LeftButton)
    assert button.isVisible()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    page = window.findChild(TablesPage)
    assert page is not None
    assert page.search.text() == "“Littelfuse, Fuseology”"


def test_ctrl_t_opens_the_tables_from_the_main_window(qtbot: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.document.set_vehicle(tapped())
    QApplication.processEvents()
    qtbot.keyClick(window, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    page = window.findChild(TablesPage)
    assert page is not None
    assert page.isVisible()


def test_in_a_rule_ctrl_t_shows_where_its_default_is_from(qtbot: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.document.set_vehicle(tapped())
    window.show_page("rules")
    field = window.findChild(object, "rule_continuous_share")
    assert field is not None
    field.setFocus()
    window.show_tables()
    page = window.findChild(TablesPage)
    assert page is not None
    assert page.search.text() == "“Littelfuse, Fuseology”"


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("limit as entered for this slot", ""),
        ("Littelfuse, Fuseology", "Littelfuse, Fuseology"),
        ("", ""),
    ],
)
def test_only_sources_of_the_tables_are_cited(text: str, title: str) -> None:
    assert tables.cited(text) == title


def test_the_words_in_circuit_names_are_readable(page: TablesPage) -> None:
    """Abbreviation, what it stands for, what follows, and where that is from."""
    page.look_for("srs")
    page.show_table("circuit_words")
    heads = [page.model.headerData(n, Qt.Orientation.Horizontal) for n in range(4)]
    assert heads == ["Word or abbreviation", "Language", "Function", "What it stands for"]
    cells = [page.model.data(page.model.index(0, n)) for n in range(4)]
    assert cells == ["srs", "en", "leave alone", "airbag and belt tensioner"]
    assert "common practice" in page.source.text()
    page.look_for("zund")
    page.show_table("circuit_words")
    words = [page.model.data(page.model.index(n, 0)) for n in range(page.model.rowCount())]
    assert any(word.startswith("…zund") for word in words)


def test_the_abbreviations_in_circuit_names_are_readable(page: TablesPage) -> None:
    """What is written on a lid, what it is short for, and where a word was found."""
    page.look_for("htr")
    page.show_table("circuit_short")
    heads = [page.model.headerData(n, Qt.Orientation.Horizontal) for n in range(3)]
    assert heads == ["Word or abbreviation", "Written out", "Language"]
    shown = [
        [page.model.data(page.model.index(row, n)) for n in range(3)]
        for row in range(page.model.rowCount())
    ]
    assert ["htr", "heater", "en"] in shown
    page.look_for("srs")
    page.show_table("circuit_words")
    heads = [page.model.headerData(n, Qt.Orientation.Horizontal) for n in range(5)]
    assert heads[4] == "Where it was found"
    assert page.model.data(page.model.index(0, 4)) == "usual in the trade"


# --- the vehicle's own tables ---------------------------------------------------------------------


@pytest.fixture
def own(qtbot: Any) -> TablesPage:
    made = TablesPage(Document(read_demo("family_estate")), LIGHT.style)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    return made


def cells(page: TablesPage, row: int) -> list[str]:
    columns = range(page.model.columnCount())
    return [str(page.model.index(row, column).data()) for column in columns]


def test_the_vehicles_own_tables_come_first_with_a_row_for_each_thing(own: TablesPage) -> None:
    vehicle = own.document.vehicle
    assert listed(own)[:3] == ["own_slots", "own_accessories", "own_feeds"]
    counts = []
    for key in listed(own)[:3]:
        own.show_table(key)
        counts.append(own.model.rowCount())
    slots = sum(len(panel.slots) for panel in vehicle.panels)
    assert counts == [slots, len(vehicle.accessories), len(vehicle.feeds)]


def test_a_slot_says_both_ends_of_its_load_and_its_verdict(own: TablesPage) -> None:
    own.show_table("own_slots")
    row = own.model.places.index(("slot", "dash-f11"))
    label, circuit, load, verdict, fuse = cells(own, row)[:5]
    assert (label, circuit, verdict) == ("F11", "Climate control panel", "does not hold")
    assert load.replace("\u202f", " ") == "121–146 %"
    assert fuse.replace("\u202f", " ").startswith("7.5 A mini")


def test_what_was_never_read_is_not_nothing(own: TablesPage) -> None:
    """F26 has no reading at all: up to what its fuse carries."""
    own.show_table("own_slots")
    row = own.model.places.index(("slot", "dash-f26"))
    told = [cell.replace("\u202f", " ") for cell in cells(own, row)]
    assert "0–100 %" in told
    assert "not known when it is live" in told


def test_typing_looks_through_the_own_tables_too(own: TablesPage, qtbot: Any) -> None:
    qtbot.keyClicks(own.search, "climate")
    assert listed(own)[0] == "own_slots"
    assert [place for _, place in own.model.places] == ["dash-f11"]
    own.memory.setChecked(True)
    assert "own_slots" not in listed(own), "nothing of one's own is from memory"


def test_enter_on_an_own_row_asks_for_its_place(own: TablesPage, qtbot: Any) -> None:
    own.show_table("own_feeds")
    own.view.setFocus()
    asked: list[tuple[str, str]] = []
    own.place_wanted.connect(lambda *place: asked.append(place))
    qtbot.keyClick(own.view, Qt.Key.Key_Down)
    qtbot.keyClick(own.view, Qt.Key.Key_Return)
    assert asked == [("feed", own.document.vehicle.feeds[1].id)]


def test_an_edit_is_in_the_own_tables_at_once(own: TablesPage) -> None:
    own.show_table("own_slots")
    assert own.document.apply("Circuit", edits.change_slot, "dash-f11", circuit="Fan")
    assert cells(own, own.model.places.index(("slot", "dash-f11")))[1] == "Fan"


def test_with_a_vehicle_in_hand_the_tables_are_a_page_of_the_window(qtbot: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.show_tables()
    beside = window.findChild(TablesPage)
    assert beside is not None
    assert beside.isWindow(), "no vehicle is in hand yet"
    beside.close()
    window.document.set_vehicle(tapped())
    window.show_tables()
    assert window.work is not None
    assert window.work.page == "tables"
    assert not window.work.tables.isWindow()
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert window.work.page == "lid"
