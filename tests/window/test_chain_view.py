"""The chain view: hop by hop, with load, limit, margin, and how each came about."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.assess.result import Basis, Chain, Hop
from fusemap.text import ENGLISH, Style, say
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, edits
from fusemap.window.chain.chain_hops import hop_look, load_words, margin_words, verdict
from fusemap.window.chain.chain_view import ChainView
from fusemap.window.document import Document
from fusemap.window.parts.headline import BasisView, basis_text
from fusemap.window.parts.row_list import Bar
from fusemap.window.style.theme import LIGHT

BASIS = Basis("a + b", (("a", "4 A"), ("b", "2 A")), "a book, clause 3")
FUSE = Fuse(family="mini", rating=10)


def hop(load: float, limit: float, unit: str = "A", **fields: Any) -> Hop:
    title, quantity = say("Host fuse"), say("current")
    return Hop("host_fuse", title, quantity, load, limit, unit, BASIS, **fields)


def strength(area_mm2: float) -> Hop:
    title, quantity = say("Cable, strength"), say("section")
    return Hop("section", title, quantity, area_mm2, 0.5, "mm²", BASIS, at_most=False, chosen=True)


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def two_on_a_slot(host_a: float = 5.0) -> Vehicle:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    loads = StateLoads(asleep=0.0, awake=0.0, accessory=0.0, ignition=host_a, running=host_a)
    vehicle = edits.change_slot(
        vehicle,
        "slot-1",
        fuse=FUSE,
        feed_class="ignition",
        own_load=loads,
        circuit="Mirror",
        live_side="left",
    )
    for name, slot_side in (("Lamp", "load_side"), ("Camera", "live_side")):
        vehicle = edits.add_accessory(vehicle, name, amperes=1.0, load_kind="constant_current")
        vehicle = edits.place(
            vehicle,
            vehicle.accessories[-1].id,
            slot="slot-1",
            fuse=Fuse(family="mini", rating=5),
            cable_out=Cable(section_mm2=1.5, length_m=2.0),
            way_round=slot_side,
        )
    return vehicle


@pytest.fixture
def shown(qtbot: Any) -> ChainView:
    view = ChainView(Document(two_on_a_slot()), LIGHT)
    qtbot.addWidget(view)
    view.resize(520, 700)
    with qtbot.waitExposed(view):
        view.show()
    view.document.select("slot", "slot-1")
    soon()
    return view


def soon() -> None:
    """Let happen what is done after the panel was painted."""
    QApplication.processEvents()


def row_of(view: ChainView, key: str) -> int:
    return next(r for r in range(view.model.rowCount()) if view.model.key(r) == key)


def text_at(view: ChainView, row: int) -> str:
    return plain(view.model.index(row, 0).data())


@pytest.mark.parametrize(
    ("of", "words"),
    [
        (hop(6.0, 7.5), "1.5 A left"),
        (hop(8.0, 7.5), "0.5 A too much"),
        (hop(11.0, 10.0, "V", at_most=False), "1 V to spare"),
        (hop(9.95, 10.0, "V", at_most=False), "50 mV too little"),
    ],
)
def test_a_margin_is_said_in_words(of: Hop, words: str) -> None:
    assert plain(margin_words(of)) == words


def test_a_margin_between_two_temperatures_is_a_difference() -> None:
    cable = hop(25.0, 105.0, "°C")
    assert plain(margin_words(cable)) == "80 °C left"
    hot = Style(temperature="°F")
    assert plain(hot.show(margin_words(cable))) == "144 °F left"
    assert plain(hot.show(margin_words(hop(105.0, 105.0, "°C")))) == "0 °F left"
    assert plain(hot.show(load_words(cable))) == "Current: 77 °F of at most 221 °F"


def test_the_least_section_that_may_be_is_no_alarm() -> None:
    """0.5 mm² where 0.5 mm² is the least: nothing is used up there, and nothing is tight."""
    least = strength(0.5)
    assert margin_words(least) == "as large as it has to be"
    assert not any(
        isinstance(line, Bar) for line in hop_look(least, opened=False, style=ENGLISH).lines
    )
    assert "tightest: Host fuse, 80 %" in plain(
        verdict(Chain("t", say("x"), (least, hop(6.0, 7.5))))
    )
    thin = strength(0.35)
    assert str(margin_words(thin)).endswith("too little")
    assert "Cable, strength" in verdict(Chain("t", say("x"), (thin, hop(6.0, 7.5))))


def test_a_load_is_said_with_its_limit_and_the_state_it_is_worst_in() -> None:
    words = plain(load_words(hop(6.0, 7.5, state="running")))
    assert words == "Current: 6 A of at most 7.5 A, worst with engine running"


def test_a_broken_hop_has_a_mark_of_its_own_and_a_full_bar() -> None:
    look = hop_look(hop(8.0, 7.5), opened=False, style=ENGLISH)
    assert look.mark == "shut fails"
    assert look.lines[1].share > 1  # type: ignore[union-attr]
    assert hop_look(hop(7.0, 7.5), opened=False, style=ENGLISH).mark == "shut holds"


def test_the_verdict_names_the_tightest_or_the_broken_hop() -> None:
    assert "tightest: Host fuse, 80 %" in plain(verdict(Chain("t", say("x"), (hop(6.0, 7.5),))))
    assert verdict(Chain("t", say("x"), (hop(8.0, 7.5),))) == "One hop does not hold: Host fuse."
    two = Chain("t", say("x"), (hop(8.0, 7.5), hop(9.0, 7.5)))
    assert str(verdict(two)).startswith("2 hops do not")
    assert "enter fuse and cable" in verdict(Chain("t", say("x"), ()))


def test_it_runs_from_the_battery_to_the_accessory_and_back(shown: ChainView) -> None:
    last = shown.model.rowCount() - 1
    assert text_at(shown, 0).startswith("Battery: ")
    assert text_at(shown, last) == "Back by the body"
    assert row_of(shown, "live_contact") < row_of(shown, "host_fuse")
    assert row_of(shown, "host_fuse") < row_of(shown, "accessory_fuse") < row_of(shown, "drop")


def test_a_host_fuse_carries_what_is_tapped_on_its_load_side_only(shown: ChainView) -> None:
    assert "Current: 6 A of at most" in text_at(shown, row_of(shown, "host_fuse"))
    assert "Current: 7 A of at most" in text_at(shown, row_of(shown, "live_contact"))


@pytest.mark.parametrize("key", [Qt.Key.Key_Right, Qt.Key.Key_Return])
def test_a_key_opens_how_a_hop_came_about_in_place(
    shown: ChainView, qtbot: Any, key: Qt.Key
) -> None:
    row = row_of(shown, "host_fuse")
    index = shown.model.index(row, 0)
    shown.list.setCurrentIndex(index)
    qtbot.wait(1)
    height = shown.list.visualRect(index).height()
    assert "Source:" not in text_at(shown, row)
    qtbot.keyClick(shown.list, key)
    assert "Own load: 5 A" in text_at(shown, row)
    assert "Source:" in text_at(shown, row)
    qtbot.waitUntil(lambda: shown.list.visualRect(index).height() > height * 2)
    qtbot.keyClick(shown.list, Qt.Key.Key_Left)
    assert "Source:" not in text_at(shown, row)


def test_a_click_on_the_mark_opens_and_closes(shown: ChainView, qtbot: Any) -> None:
    row = row_of(shown, "live_contact")
    rect = shown.list.visualRect(shown.model.index(row, 0))
    at = rect.topLeft() + QPoint(rect.height() // 4, rect.height() // 4)
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert "Source:" in text_at(shown, row)
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert "Source:" not in text_at(shown, row)


def test_an_opened_hop_stays_open_when_numbers_change(shown: ChainView) -> None:
    row = row_of(shown, "host_fuse")
    shown.model.set_open(row, True)
    shown.document.apply("More", edits.change_accessory, "accessory-1", amperes=3.0)
    soon()
    assert "Current: 8 A" in text_at(shown, row)
    assert "Source:" in text_at(shown, row)


def test_with_several_taps_on_a_slot_one_is_chosen(shown: ChainView, qtbot: Any) -> None:
    assert [shown.chooser.itemText(i) for i in range(2)] == [
        "Lamp: F1 Mirror",
        "Camera: F1 Mirror",
    ]
    assert shown.tap_id == "tap-1"
    qtbot.keyClick(shown.chooser, Qt.Key.Key_Down)
    assert shown.tap_id == "tap-2"
    assert shown.document.selection is not None
    assert shown.document.selection.kind == "slot"


def test_a_single_tap_needs_no_choice(shown: ChainView) -> None:
    shown.document.select("accessory", "accessory-2")
    soon()
    assert shown.tap_id == "tap-2"
    assert not shown.chooser.isVisible()


def test_a_selected_tap_is_the_one_shown(shown: ChainView) -> None:
    shown.document.select("tap", "tap-2")
    soon()
    assert shown.tap_id == "tap-2"


def test_a_slot_without_taps_says_so(shown: ChainView) -> None:
    shown.document.select("slot", "slot-2")
    soon()
    assert shown.tap_id == ""
    assert "Nothing is tapped here yet" in shown.verdict.text()
    assert not shown.list.isVisible()
    shown.document.select(None)
    soon()
    assert "Select a slot" in shown.verdict.text()


def test_taking_the_tap_off_empties_the_view(shown: ChainView) -> None:
    shown.document.select("accessory", "accessory-1")
    soon()
    shown.document.apply("Off", edits.unplace, "tap-1")
    soon()
    assert shown.tap_id == ""
    shown.document.stack.undo()
    soon()
    assert shown.tap_id == "tap-1"


def test_the_chain_can_be_copied_as_a_table(shown: ChainView, qtbot: Any) -> None:
    button = shown.findChild(QPushButton, "chainCopy")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].startswith("Hop\tQuantity\tLoad\tLimit\tMargin")
    assert len(lines) == shown.model.rowCount() - 2 + 1


def test_every_row_speaks_for_itself(shown: ChainView) -> None:
    index = shown.model.index(row_of(shown, "drop"), 0)
    spoken = plain(index.data(Qt.ItemDataRole.AccessibleTextRole))
    assert "Voltage drop" in spoken
    assert "left" in spoken


def test_a_basis_in_a_widget_opens_in_place(qtbot: Any) -> None:
    view = BasisView(Document(), ENGLISH, "Why", "why")
    qtbot.addWidget(view)
    view.show_text(basis_text(BASIS, ENGLISH))
    with qtbot.waitExposed(view):
        view.show()
    assert not view.label.isVisible()
    qtbot.keyClick(view.button, Qt.Key.Key_Space)
    assert view.label.isVisible()
    assert view.label.text() == "A + b\na: 4 A\nb: 2 A\nSource: a book, clause 3"


class TestWhatCouldNotBeChecked:
    def test_the_verdict_does_not_say_that_every_hop_holds(self) -> None:
        whole = Chain("tap-1", say("Lamp"), (hop(5.0, 10.0),))
        assert str(verdict(whole)).startswith("Every hop holds.")
        part = Chain("tap-1", say("Lamp"), (hop(5.0, 10.0), hop(5.0, float("nan"))))
        assert str(verdict(part)).startswith("Not every hop could be checked.")

    def test_it_stands_below_the_hops_and_goes_when_the_figure_is_entered(
        self, shown: ChainView
    ) -> None:
        said = [text_at(shown, row) for row in range(shown.model.rowCount())]
        assert not any("are not entered" in each for each in said)
        shown.document.apply("No cable", edits.change_tap, "tap-1", cable_out=None)
        soon()
        row = shown.model.rowCount() - 2
        assert "cannot be checked" in text_at(shown, row)
        assert "Section and length of the cable are not entered" in text_at(shown, row)
        assert shown.model.key(row) is None
        cable = Cable(section_mm2=1.5, length_m=2.0)
        shown.document.apply("Cable", edits.change_tap, "tap-1", cable_out=cable)
        soon()
        assert "are not entered" not in text_at(shown, shown.model.rowCount() - 2)
