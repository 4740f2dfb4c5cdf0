"""The frame: a rail of stages with one next step, and a verdict that is always there and true."""

import itertools
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QFontMetrics, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton

from fusemap.job import STAGES, Cell, days_cell, holds_cell, stage_states
from fusemap.job.next_step import Lead, NextStep
from fusemap.job.standing_of import Standing
from fusemap.text import NOTHING, run_on, say
from fusemap.vehicle import Vehicle, edits
from fusemap.window.chosen.stations import worst_of
from fusemap.window.document import Document
from fusemap.window.frame.job_state import JobState
from fusemap.window.frame.lid_page import LidPage
from fusemap.window.frame.rail_buttons import NextButton, two_lines
from fusemap.window.frame.verdict_strip import VerdictStrip
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.add_panel import AddPanelDialog
from fusemap.window.panel.panel_model import LOOK
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings
from fusemap.window.style.colours import THEMES, contrast
from fusemap.window.style.letters import BODY, SMALL, letters
from fusemap.window.style.theme import LIGHT, PROBE
from tests.vehicles import one_slot, with_accessory
from tests.window.looked_at import Written, watched

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def make(qtbot: Any) -> Callable[..., MainWindow]:
    def made(demo: str = "family_estate", size: tuple[int, int] = (1280, 720)) -> MainWindow:
        window = MainWindow(Document(), Settings())
        qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
        window.resize(*size)
        window.show()
        if demo:
            window.files.open_demo(demo)
        return window

    return made


@pytest.fixture
def window(make: Callable[..., MainWindow], qtbot: Any) -> MainWindow:
    made = make()
    known(made, qtbot)
    return made


@pytest.fixture
def twice(qapp: Any) -> Iterator[None]:
    """Letters of twice their size."""
    font = qapp.font()
    large = qapp.font()
    large.setPointSizeF(font.pointSizeF() * 2)
    qapp.setFont(large)
    yield
    qapp.setFont(font)


def known(window: MainWindow, qtbot: Any) -> None:
    """Wait until everything is reckoned, and laid out."""
    state = window.frame_.state
    qtbot.waitUntil(lambda: state.standing is not None and state.title is not None, timeout=20000)
    qtbot.wait(30)


# --- the rail -------------------------------------------------------------------------------------


def test_every_stage_says_what_was_counted_of_it(window: MainWindow) -> None:
    job, standing = window.frame_.state.job, window.frame_.state.standing
    assert job is not None
    shown = {key: button.words for key, button in window.frame_.rail.stages.items()}
    assert shown == {each.stage: str(each.words) for each in stage_states(job, standing)}
    assert tuple(shown) == STAGES


def test_the_stage_that_is_shown_stands_out_three_to_one(window: MainWindow) -> None:
    for theme in (*THEMES, PROBE):
        assert contrast(theme.accent, theme.base) >= 3.0
        assert contrast(theme.accent, theme.accent_text) >= 4.5
    stage = window.frame_.rail.stages["plan"]
    image: QImage = stage.grab().toImage()
    ground = image.pixelColor(image.width() // 2, 4)
    assert ground == window.look.theme.colour("accent")
    other_stage = window.frame_.rail.stages["check"].grab().toImage()
    assert other_stage.pixelColor(other_stage.width() // 2, 4) != ground


def test_a_click_on_a_stage_goes_there(window: MainWindow) -> None:
    for key in STAGES:
        QTest.mouseClick(window.frame_.rail.stages[key], Qt.MouseButton.LeftButton)
        assert window.tasks.shown == key


def test_the_arrow_keys_walk_along_the_stages_and_enter_goes_there(window: MainWindow) -> None:
    rail = window.frame_.rail
    rail.stages["plan"].setFocus()
    QTest.keyClick(rail.stages["plan"], Key.Key_Right)
    assert rail.stages["standing"].hasFocus()
    assert window.tasks.shown == "plan", "looked at, not gone to"
    QTest.keyClick(rail.stages["standing"], Key.Key_Return)
    assert window.tasks.shown == "standing"
    tab = Qt.FocusPolicy.TabFocus
    stops = [key for key, each in rail.stages.items() if each.focusPolicy() & tab]
    assert stops == ["standing"], "one stop for the Tab key"


def test_the_menu_of_everything_opens_by_its_button_and_by_f10(window: MainWindow) -> None:
    menu = window.actions_.menu
    titles = [action.text().replace("&", "") for action in menu.actions()]
    assert {"File", "Vehicle", "Panel", "Accessory", "View", "Help"} <= set(titles)
    window.setFocus()
    QTest.keyClick(window, Key.Key_F10)
    assert menu.isVisible()
    menu.hide()
    QTest.mouseClick(window.frame_.rail.menu, Qt.MouseButton.LeftButton)
    assert menu.isVisible()
    menu.hide()


def test_undo_and_search_do_what_the_menu_does(window: MainWindow) -> None:
    rail = window.frame_.rail
    assert not rail.undo.isEnabled()
    window.document.apply("Name", edits.change_vehicle, name="Bus")
    assert rail.undo.isEnabled()
    assert not rail.undo.icon().isNull(), "the words of a step leave the arrow where it is"
    QTest.mouseClick(rail.undo, Qt.MouseButton.LeftButton)
    assert window.document.vehicle.name != "Bus"
    QTest.mouseClick(rail.search, Qt.MouseButton.LeftButton)
    assert window.search.isVisible()
    window.search.close()


# --- the next step --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("vehicle", "stage", "where"),
    [
        (one_slot(), "plan", "shelf"),
        (edits.add_panel(Vehicle(name="Bench"), "Dash", 1, 2), "panel", "panel"),
        (with_accessory(one_slot()), "plan", "findings"),
    ],
    ids=["nothing to place", "nothing said of the panel", "no fuse"],
)
def test_a_click_on_the_next_step_goes_where_it_is_done(
    make: Callable[..., MainWindow], qtbot: Any, vehicle: Vehicle, stage: str, where: str
) -> None:
    window = make(demo="")
    window.document.set_vehicle(vehicle)
    known(window, qtbot)
    QTest.mouseClick(window.frame_.rail.next, Qt.MouseButton.LeftButton)
    assert window.tasks.shown == stage
    assert window.work is not None
    assert window.work.focused_pane() == where


def test_the_first_step_asks_what_the_lid_shows(
    make: Callable[..., MainWindow], qtbot: Any
) -> None:
    window = make(demo="")
    window.document.set_vehicle(edits.add_accessory(Vehicle(name="Bench"), "Lamp", amperes=1.0))
    known(window, qtbot)
    window.actions_.trigger("next_step")
    (dialog,) = window.findChildren(AddPanelDialog)
    assert dialog.isVisible()
    assert window.work is not None
    dialog.close()
    window.document.select("accessory", window.document.vehicle.accessories[0].id)
    QApplication.processEvents()
    assert not window.work.lid.pane.pane.ways.main.isVisible(), "there is nothing to place it on"


def test_the_next_step_takes_what_it_names_in_hand(
    make: Callable[..., MainWindow], qtbot: Any
) -> None:
    window = make(demo="")
    window.document.set_vehicle(edits.add_accessory(one_slot(), "Lamp", amperes=1.0))
    known(window, qtbot)
    assert window.frame_.rail.next.words == "Place Lamp"
    window.actions_.trigger("next_step")
    assert window.work is not None
    assert window.work.panels.placing.active
    window.work.panels.placing.end()


@pytest.mark.parametrize(
    ("lead", "field"),
    [
        (Lead("panel", "tell", "panel", "panel-1"), "panel_ambient_c"),
        (Lead("panel", "field", "rules", "rule_ambient_boot_c"), "rule_ambient_boot_c"),
        (Lead("standing", "field", "parking", "parking_alternator_a"), "parking_alternator_a"),
    ],
)
def test_what_is_to_be_said_next_has_its_field_open_and_the_keyboard_in_it(
    make: Callable[..., MainWindow], qtbot: Any, lead: Lead, field: str
) -> None:
    window = make(demo="")
    window.document.set_vehicle(one_slot())
    known(window, qtbot)
    window.frame_.state.step = NextStep(say("Say it"), lead)
    window.frame_.follow()
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.objectName() == field
    assert focused.isVisible()


def test_a_reading_that_comes_next_is_in_hand_on_the_probing_page(
    make: Callable[..., MainWindow], qtbot: Any
) -> None:
    window = make("little_hatchback")
    known(window, qtbot)
    asked = window.frame_.state.job.asked[0]  # type: ignore[union-attr]
    QTest.keyClick(window, Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert window.tasks.shown == "probe"
    assert window.tasks.probe is not None
    assert window.tasks.probe.session.slot == asked.place_id


# --- the verdict ----------------------------------------------------------------------------------


def test_the_verdict_is_the_one_the_job_gives_and_each_cell_leads_to_its_reason(
    window: MainWindow,
) -> None:
    cells, job = window.frame_.verdict.cells, window.frame_.state.job
    assert job is not None
    assert cells["holds"].figure == str(holds_cell(job).figure)
    QTest.mouseClick(cells["holds"], Qt.MouseButton.LeftButton)
    assert window.work is not None
    assert window.work.page == "findings"
    QTest.mouseClick(cells["days"], Qt.MouseButton.LeftButton)
    assert window.tasks.shown == "standing"
    QTest.mouseClick(cells["open"], Qt.MouseButton.LeftButton)
    ways = [action.text() for action in window.frame_.open_menu.actions()]
    assert len(ways) == 3, "to answer, to place, to measure"
    window.frame_.open_menu.hide()
    window.frame_.open_menu.actions()[2].trigger()
    assert window.tasks.shown == "probe"


def test_no_cell_shows_a_figure_of_the_vehicle_before(
    window: MainWindow, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    cells = window.frame_.verdict.cells
    monkeypatch.setattr(JobState, "_find_now", lambda state: None)  # nothing new comes meanwhile
    assert cells["days"].figure
    window.document.apply("Load", edits.change_accessory, "accessory-cool-box", standby_a=0.1)
    assert window.frame_.state.job is None, "nothing is known from here on"
    qtbot.waitUntil(lambda: [cell.figure for cell in cells.values()] == ["", "", ""])
    assert not any(cell.reckoned for cell in cells.values())
    assert not any(button.words for button in window.frame_.rail.stages.values())
    monkeypatch.undo()
    window.frame_.state.catch_up()
    known(window, qtbot)
    assert all(cell.reckoned for cell in cells.values())


def test_the_stages_keep_their_places_while_an_edit_is_reckoned(
    window: MainWindow, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    known(window, qtbot)
    monkeypatch.setattr(JobState, "_find_now", lambda state: None)  # nothing new comes meanwhile
    rail = window.frame_.rail
    parts = (*rail.stages.values(), rail.next)
    places = [part.geometry() for part in parts]
    slot = window.document.vehicle.panels[0].slots[0]
    assert window.document.apply("Name", edits.change_slot, slot.id, circuit="Wipers")
    qtbot.waitUntil(lambda: rail.next.words is None)  # it is being reckoned
    assert [part.geometry() for part in parts] == places
    monkeypatch.undo()
    window.frame_.state.catch_up()
    known(window, qtbot)


def test_no_card_shows_a_load_before_it_is_reckoned(
    qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Document, "numbers_ready", property(lambda document: False))
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.files.open_demo("")
    window.show()
    view = window.findChild(PanelView)
    assert view is not None
    model = view.model()
    looks = [
        model.index(row, column).data(LOOK)
        for row in range(model.rowCount())
        for column in range(model.columnCount())
    ]
    shown = [look for look in looks if look is not None]
    assert len(shown) > 12, "drawn from the vehicle alone"
    assert not any(look.assessed for look in shown)


@pytest.mark.parametrize("page", ["probe", "check", "standing", "paper", "findings", "joint"])
def test_the_verdict_is_on_every_page_at_the_same_place(window: MainWindow, page: str) -> None:
    strip = window.frame_.verdict
    at = strip.mapTo(window, QPoint())
    if page in STAGES:
        window.tasks.show(page)  # type: ignore[arg-type]
    else:
        window.show_whole(page)
    QApplication.processEvents()
    assert strip.isVisible()
    assert strip.mapTo(window, QPoint()) == at
    assert window.frame_.height() == strip.mapTo(window.frame_, QPoint()).y() + strip.height()


def test_the_first_page_has_no_frame(make: Callable[..., MainWindow]) -> None:
    assert not make(demo="").frame_.isVisible()


# --- pages one comes back from --------------------------------------------------------------------


@pytest.mark.parametrize("page", ["findings", "band", "joint", "compare"])
def test_escape_and_the_arrow_lead_back_to_where_one_was(window: MainWindow, page: str) -> None:
    work = window.work
    assert work is not None
    work.focus_pane("shelf")
    focus, selection = QApplication.focusWidget(), window.document.selection
    for leave in ("key", "button"):
        window.show_whole(page)
        assert work.page == page
        back = work.findChild(QToolButton, f"back_{page}")
        assert back is not None
        assert back.text() == "Plan"
        window.document.select("battery")
        if leave == "key":
            QTest.keyClick(QApplication.focusWidget(), Key.Key_Escape)
        else:
            QTest.mouseClick(back, Qt.MouseButton.LeftButton)
        assert work.page == "lid"
        assert QApplication.focusWidget() is focus
        assert window.document.selection == selection


def test_a_page_opened_from_the_check_leads_back_to_the_check(window: MainWindow) -> None:
    window.tasks.show("check")
    QTest.keyClick(window, Key.Key_7, ALT)
    assert window.work is not None
    assert window.work.page == "findings"
    assert window.work.findChild(QToolButton, "back_findings").text() == "Check"  # type: ignore[union-attr]
    QTest.keyClick(QApplication.focusWidget(), Key.Key_Escape)
    assert window.tasks.shown == "check"


# --- room -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1440, 900), (1600, 900)])
def test_the_lid_has_its_share_of_the_width(qtbot: Any, size: tuple[int, int]) -> None:
    document = Document(one_slot())
    document.select("slot", "slot-1")
    page = LidPage(document, LIGHT)
    qtbot.addWidget(page)
    page.resize(*size)
    page.show()
    qtbot.wait(30)
    assert page.beside
    assert page.panels.width() >= 0.73 * size[0] - 1
    short = page.pane.width()
    page.pane.show_circuits()
    qtbot.waitUntil(lambda: page.pane.width() > short, timeout=2000)
    assert page.panels.width() > 0.6 * size[0], "while the list of circuits is seen"
    page.pane.show_chosen()
    qtbot.waitUntil(lambda: page.pane.width() == short)


def test_the_pane_goes_under_the_lid_where_letters_are_large(
    twice: None, make: Callable[..., MainWindow], qtbot: Any
) -> None:
    window = make()
    known(window, qtbot)
    assert window.size().toTuple() == (1280, 720), "it does not ask for more"
    assert window.work is not None
    page = window.work.lid
    assert not page.beside
    assert page.panels.width() > 0.95 * window.width() - 40


@pytest.mark.usefixtures("twice")
@pytest.mark.parametrize("size", [(1280, 720), (1366, 768)])
def test_rows_of_cards_and_the_verdict_of_what_is_chosen_are_in_sight_in_large_letters(
    make: Callable[..., MainWindow], qtbot: Any, size: tuple[int, int]
) -> None:
    window = make(size=size)
    known(window, qtbot)
    tap = next(each for each in window.document.vehicle.taps if each.way_round == "load_side")
    window.document.select("tap", tap.id)
    page = window.work.lid  # type: ignore[union-attr]
    qtbot.waitUntil(lambda: page.pane.pane.head.worst.isVisible(), timeout=5000)
    qtbot.wait(30)
    view = page.panels.current_view()
    assert view is not None
    whole = QRect(view.viewport().mapTo(window, QPoint()), view.viewport().size())
    assert window.rect().contains(whole)
    rows = view.viewport().height() // view.visualRect(view.model().index(0, 0)).height()
    assert rows >= min(2, view.model().rowCount())
    head = page.pane.pane.head
    assert window.rect().contains(QRect(head.mapTo(window, QPoint()), head.size()))
    worst = worst_of(page.pane.pane.content.way)
    assert worst is not None
    assert worst.verdict == "fails"
    assert head.worst.text() == str(worst.figure)
    lid = page.panels.height()
    window.document.select(None, "")
    qtbot.waitUntil(lambda: not head.worst.isVisible(), timeout=5000)
    qtbot.wait(30)
    assert page.panels.height() == lid, "whatever is chosen"
    assert page.pane.height() <= page.pane.pane.height_wanted, "no empty room before the shelf"


@pytest.mark.usefixtures("twice")
def test_another_vehicle_is_shown_from_the_head_of_its_lid(
    make: Callable[..., MainWindow], qtbot: Any
) -> None:
    window = make()
    known(window, qtbot)
    assert window.work is not None
    window.focus_pane("shelf")
    qtbot.wait(30)
    bar = window.work.lid.parent().parent().verticalScrollBar()
    bar.setValue(bar.maximum())
    assert bar.value() > 0
    window.document.stack.setClean()
    window.files.open_demo("little_hatchback")
    qtbot.wait(60)
    bar = window.work.lid.parent().parent().verticalScrollBar()
    assert bar.value() == 0


@pytest.mark.parametrize("language", ["en", "de", "es", "fr", "nl"])
@pytest.mark.parametrize("wide", [1280, 1000, 800])
def test_nothing_of_the_rail_is_cut_or_covered(
    twice: None, make: Callable[..., MainWindow], qtbot: Any, language: Any, wide: int
) -> None:
    window = make(size=(wide, 720))
    window.look.set_language(language)
    known(window, qtbot)
    rail = window.frame_.rail
    assert window.width() == wide
    parts = [rail.menu, *rail.stages.values(), rail.next, rail.undo, rail.search]
    places = [part.geometry() for part in parts]
    assert all(rail.rect().contains(place) for place in places)
    for one, other in itertools.combinations(places, 2):
        assert not one.intersects(other)
    for stage in rail.stages.values():
        words = QFontMetrics(letters(stage, SMALL if stage.small else BODY, strong=True))
        assert words.horizontalAdvance(stage.shown) < stage.width()
    found: list[Written] = []
    with watched(found):
        rail.next.grab()
    said = " ".join(each.text for each in found if each.text != rail.next.tr("Next"))
    assert wide < 1000 or said == rail.next.words, "the next step is whole"
    window.look.set_language("en")


@pytest.mark.usefixtures("twice")
def test_another_step_moves_nothing_below_the_rail(
    make: Callable[..., MainWindow], qtbot: Any
) -> None:
    """Whether the step has a line of its own is said by the width alone."""
    window = make(size=(1280, 720))
    known(window, qtbot)
    rail = window.frame_.rail
    high = rail.height()
    for words in ("Place Lamp", "Fit an accessory fuse of 15 A and a cable of 3 mm² " * 2, None):
        rail.show_job((), None if words is None else run_on(words))
        qtbot.wait(20)
        assert rail.height() == high


def test_the_rail_is_said_anew_in_another_language(window: MainWindow) -> None:
    window.look.set_language("de")
    rail = window.frame_.rail
    said = [stage.text() for stage in rail.stages.values()]
    assert said == ["Kasten", "Messen", "Planen", "Standzeit", "Papier", "Prüfen"]
    assert rail.menu.toolTip() == "Menü"
    window.look.set_language("en")
    assert rail.stages["panel"].text() == "Panel"


def test_a_long_step_stands_in_two_lines_before_it_is_cut(window: MainWindow) -> None:
    metrics = QFontMetrics(letters(window.frame_.rail.next, SMALL, strong=True))
    words = "Tow socket module: fit an accessory fuse of 15 A"
    half = metrics.horizontalAdvance(words) * 6 // 10
    assert " ".join(two_lines(words, metrics, half)) == words
    assert two_lines(words, metrics, half // 3)[1].endswith("…")


@pytest.mark.parametrize("demo", ["family_estate", "light_truck", "little_hatchback"])
@pytest.mark.parametrize("size", [(1280, 720), (900, 640)])
def test_the_figures_of_the_verdict_are_never_cut(
    make: Callable[..., MainWindow], qtbot: Any, demo: str, size: tuple[int, int]
) -> None:
    window = make(demo, size)
    known(window, qtbot)
    for cell in window.frame_.verdict.cells.values():
        assert cell.width_for(large=cell.large) <= cell.width(), cell.key


@pytest.mark.usefixtures("twice")
def test_a_cell_of_small_figures_takes_the_room_that_the_others_leave(qtbot: Any) -> None:
    """What has no figure has a second line of more words: it is not cut beside empty room."""
    strip = VerdictStrip(LIGHT)
    qtbot.addWidget(strip)
    strip.resize(1366, strip.height())
    strip.show_cells(
        {
            "holds": Cell("holds", run_on("87 %"), run_on("It holds"), run_on("F2 Radio")),
            "days": Cell("holds", run_on("36 d or more"), run_on("Stands 7 days"), run_on("half")),
            "open": Cell("holds", NOTHING, run_on("Nothing open"), run_on("no more to ask " * 2)),
        }
    )
    strip.show()
    qtbot.wait(20)
    for cell in strip.cells.values():
        assert not cell.large
        assert cell.sizeHint().width() <= cell.width(), cell.key


def test_the_button_to_undo_keeps_its_sign_when_there_is_something_to_undo(
    window: MainWindow, qtbot: Any
) -> None:
    """Its action is called anew at each step, and has no sign of its own."""
    undo = window.frame_.rail.undo
    assert not undo.icon().isNull()
    vehicle = window.document.vehicle
    assert window.document.apply("Name", edits.change_vehicle, name=f"{vehicle.name} 2")
    qtbot.wait(20)
    assert undo.isEnabled()
    assert not undo.icon().isNull()
    window.document.stack.undo()
    qtbot.wait(20)
    assert not undo.icon().isNull()


def test_the_lane_between_lid_and_pane_is_broad_enough_to_be_taken_hold_of(
    window: MainWindow,
) -> None:
    """It shows nothing at rest but the way: the pointer over all of it says that it moves."""
    split = window.findChildren(LidPage)[0].split
    handle = split.handle(1)
    assert handle.isVisible()
    assert min(handle.width(), split.handleWidth()) >= 16
    assert handle.cursor().shape() == Qt.CursorShape.SplitHCursor
    before = split.sizes()
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=handle.rect().center())
    QTest.mouseMove(handle, handle.rect().center() - QPoint(60, 0))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=handle.rect().center())
    assert split.sizes() != before


def test_a_step_that_fits_in_small_letters_stands_in_the_middle_of_its_button(
    window: MainWindow,
) -> None:
    button = window.frame_.rail.next
    button.show_words("Tow socket module: fit a fuse of 15 A and a cable of 3 mm²")
    strong = QFontMetrics(letters(button, strong=True)).horizontalAdvance(button.words)
    small = QFontMetrics(letters(button, SMALL, strong=True)).horizontalAdvance(button.words)
    assert small < strong - 4
    button.setFixedWidth(button.width_for(1.0) - (strong - small) // 2)
    picture = button.grab().toImage()
    ground = picture.pixelColor(picture.width() // 2, 4)
    rows = [
        y
        for y in range(4, picture.height() - 4)
        if any(
            picture.pixelColor(x, y) != ground
            for x in range(picture.width() // 3, picture.width() // 2)
        )
    ]
    assert abs((rows[0] + rows[-1]) / 2 - picture.height() / 2) <= 3 * picture.devicePixelRatio()


def test_a_line_below_a_verdict_says_the_same_short_before_it_is_cut(window: MainWindow) -> None:
    cell = window.frame_.verdict.cells["days"]
    names = ("Cool box", "Phone charger", "Heated blanket for the dog")
    standing = Standing(0.0, 21.0, 33.0, 1440.0, 9, False, names, 211.0)
    cell.show_cell(days_cell(standing))
    whole = QFontMetrics(letters(cell, SMALL)).horizontalAdvance(cell.note)
    assert cell.note_in(whole) == cell.note
    short = cell.note_in(whole - 1)
    assert short == "with 3 unplaced; else usually 8.8 days"
    assert "Heated blanket" in cell.accessibleName(), "who does not see it is told all of it"


def test_what_cannot_be_undone_looks_so_beside_the_vehicle_too(
    window: MainWindow, qtbot: Any
) -> None:
    window.files.open_demo("family_estate")
    window.tasks.show("probe")
    qtbot.wait(50)
    undo, search = window.frame_.rail.undo, window.frame_.rail.search
    assert window.document.stack.canUndo() == undo.isEnabled()
    undo.defaultAction().setEnabled(False)
    window.frame_.set_theme(window.frame_.rail.theme)
    size = undo.iconSize()

    def ink(button: QToolButton) -> int:
        picture = button.icon().pixmap(size).toImage()
        return max(
            picture.pixelColor(x, y).lightness() * picture.pixelColor(x, y).alpha() // 255
            for x in range(picture.width())
            for y in range(picture.height())
        )

    assert ink(undo) < ink(search) - 20


@pytest.mark.parametrize("spare", [0.0, 0.02, 0.05, 0.4])
def test_a_step_a_little_too_long_for_its_line_stands_in_the_middle(
    qtbot: Any, spare: float
) -> None:
    """In small letters it is one line again, or two: in either case as far from both edges."""
    button = NextButton(LIGHT)
    qtbot.addWidget(button)
    button.show_words("Lead from the battery: own feed from the battery for the radio")
    button.setFixedWidth(round(button.width_for(1.0) * (1 - spare)))
    button.show()
    found: list[Written] = []
    with watched(found):
        button.grab()
    lines = [each.place for each in found if each.text != "Next"]
    middle = (min(each.top() for each in lines) + max(each.bottom() for each in lines)) / 2
    assert middle == pytest.approx(button.height() / 2, abs=1.5)


@pytest.mark.usefixtures("twice")
@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_a_verdict_without_a_figure_is_whole_in_large_type(
    make: Callable[..., MainWindow], qtbot: Any, code: Any
) -> None:
    """What is said more of it yields to the verdict itself."""
    window = make(size=(1280, 720))
    window.look.set_language(code)
    window.document.set_vehicle(edits.add_panel(Vehicle(name="Van"), "Cabin", 3, 6))
    known(window, qtbot)
    strip = window.frame_.verdict
    for cell in strip.cells.values():
        found: list[Written] = []
        with watched(found):
            cell.grab()
        said = " ".join(each.text for each in found)
        assert cell.title in said, said
    window.look.set_language("en")
