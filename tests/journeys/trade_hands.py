"""Hands that enter a whole vehicle into the running window: keys into fields, else the mouse.

In: the window and a vehicle as it is to become. Every field that differs from what the window has
is typed into, chosen or ticked where it stands on the screen; nothing is handed to the document.
"""

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QSpinBox,
    QTabWidget,
    QWidget,
)

from fusemap.vehicle import STATES, Accessory, Cable, Feed, Fuse, Slot, Tap, Vehicle
from fusemap.window.forms.feed_page import NOTHING_ELSE
from fusemap.window.forms.fields import ChoiceField
from fusemap.window.forms.line_fields import NumberField
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_view import PanelView

Key = Qt.Key
PLAIN = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton


def settle() -> None:
    """Let what was asked for come about."""
    QTest.qWait(5)


class Hands:
    """Two hands at one window."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window
        self._asked = ""

    @property
    def vehicle(self) -> Vehicle:
        """What the window has by now."""
        return self.window.document.vehicle

    # --- single touches -------------------------------------------------------------------------

    def press(self, *keys: Qt.Key | str, held: Qt.KeyboardModifier = PLAIN) -> None:
        """Keys one by one, where the keyboard is."""
        for key in keys:
            for each in key if isinstance(key, str) else [key]:
                popup = QApplication.activePopupWidget()
                at = (popup.focusWidget() or popup) if popup else QApplication.focusWidget()
                QTest.keyClick(at or self.window, each, held)
        settle()

    def find(self, name: str) -> QWidget:
        """What is seen under a name, as soon as it is."""
        for _ in range(60):
            found = [w for w in self.window.findChildren(QWidget, name) if w.isVisible()]
            if found:
                return found[0]
            QTest.qWait(20)
        raise AssertionError(name)

    def seen(self, name: str) -> bool:
        """Whether it is seen."""
        return any(w.isVisible() for w in self.window.findChildren(QWidget, name))

    def click(self, name: str) -> None:
        """The mouse on a button, or on the box of a tick."""
        widget = self.find(name)
        assert isinstance(widget, QAbstractButton)
        at = QPoint(8, widget.height() // 2) if isinstance(widget, QCheckBox) else QPoint()
        QTest.mouseClick(widget, LEFT, PLAIN, at)
        settle()

    def go_to(self, words: str) -> None:
        """Anywhere, by a few letters."""
        self.window.activateWindow()
        QTest.keyClick(self.window, Key.Key_G, CTRL)
        settle()
        self.press(words, Key.Key_Return)

    def put(self, name: str, value: Any) -> None:
        """Make a field say this: typed, chosen by the arrow keys, or ticked."""
        field = self.find(name)
        if isinstance(field, QCheckBox):
            if field.isChecked() != value:
                self.click(name)
        elif isinstance(field, ChoiceField):
            self._choose(field, value)
        elif isinstance(field, NumberField):
            shown = None if value is None else value / field._scale
            self._type(field, "" if shown is None else f"{shown:.10g}")
        elif isinstance(field, QPlainTextEdit):
            field.setFocus()
            field.selectAll()
            self.press(str(value))
            field.clearFocus()
            settle()
        else:
            assert isinstance(field, QLineEdit)
            self._type(field, str(value))

    def _type(self, field: QLineEdit, text: str) -> None:
        field.setFocus()
        field.selectAll()
        self.press(Key.Key_Delete, text, Key.Key_Return)

    def _choose(self, field: QComboBox, value: Any) -> None:
        assert isinstance(field, ChoiceField)
        field.setFocus()
        wanted = field._values.index(value)
        if field.objectName().endswith("_source"):  # each step with the arrows would be an edit
            self._open_and_choose(field, wanted)
            return
        for _ in range(3 * field.count()):
            if field.currentIndex() == wanted:
                return
            self.press(Key.Key_Down if field.currentIndex() < wanted else Key.Key_Up)
            if value not in field._values:
                break
            wanted = field._values.index(value)
        assert field.currentIndex() == wanted, (field.objectName(), value)

    def _open_and_choose(self, field: QComboBox, row: int) -> None:
        self.press(Key.Key_F4)
        rows = field.view()
        assert rows.isVisible()
        while rows.currentIndex().row() != row:
            self.press(Key.Key_Down if rows.currentIndex().row() < row else Key.Key_Up)
        self.press(Key.Key_Return)

    def fields(self, key: str, now: Any, wanted: Any, names: Iterable[str]) -> None:
        """Every one of these fields that differs."""
        for name in names:
            if getattr(now, name) != getattr(wanted, name):
                self.put(f"{key}_{name}", getattr(wanted, name))

    def fuse(self, key: str, now: Fuse | None, wanted: Fuse | None) -> None:
        """A fuse by its family and rating."""
        if now == wanted:
            return
        self.put(f"{key}fuse", None if wanted is None else wanted.family)
        if wanted is not None:
            self.put(f"{key}rating", wanted.rating)
            if wanted.resistance_mohm is not None:
                self.put(f"{key}mohm", wanted.resistance_mohm)

    def cable(self, key: str, now: Cable | None, wanted: Cable | None) -> None:
        """A cable with its way through places."""
        if now == wanted:
            return
        if (now is None) != (wanted is None):
            self.click(f"{key}_there")
        if wanted is None:
            return
        self.put(f"{key}_section_mm2", wanted.section_mm2)
        self.put(f"{key}_length_m", wanted.length_m)
        self.put(f"{key}_place", wanted.place)
        self.put(f"{key}_insulation", wanted.insulation)
        for at, part in enumerate(wanted.further):
            if not self.seen(f"{key}_way_{at}_length_m"):
                self.click(f"{key}_way_more")
            self.put(f"{key}_way_{at}_length_m", part.length_m)
            self.put(f"{key}_way_{at}_place", part.place)

    # --- a whole vehicle ------------------------------------------------------------------------

    def enter(self, wanted: Vehicle) -> None:
        """All of it, from the start page's door of a new vehicle on."""
        self._new(wanted)
        self._whole(wanted)
        self._feeds(wanted)
        self._slots(wanted)
        self._earths(wanted)
        for each in wanted.accessories:
            self._accessory(each)
        for tap in wanted.taps:
            self._tap(wanted, tap)
        for each in wanted.accessories:
            if each.supplied_by is not None:
                self._behind(each)

    def _new(self, wanted: Vehicle) -> None:
        new, panel = self.window.start.new, wanted.panels[0]
        for box, count in ((new.rows, panel.rows), (new.columns, panel.columns)):
            box.setFocus()
            box.selectAll()
            self.press(str(count))
        new.name.setFocus()
        self.press(wanted.name, Key.Key_Return)
        QTest.qWait(50)

    def page(self, key: Qt.Key, held: Qt.KeyboardModifier = CTRL) -> None:
        """A page by its key."""
        self.window.activateWindow()
        QTest.keyClick(self.window, key, held)
        settle()

    def _whole(self, wanted: Vehicle) -> None:
        self.go_to("name and voltage")
        self.fields("vehicle", self.vehicle, wanted, ("system_v",))
        self.page(Key.Key_B)
        battery = wanted.battery
        names = ("chemistry", "capacity_ah", "cca_a", "label_standard", "soh", "start_soc",
                 "rest_v")  # fmt: skip
        self.fields("battery", self.vehicle.battery, battery, names)
        for reading in battery.crank_readings:
            for name in ("rest_v", "crank_v", "temperature_c", "response"):
                self.put(f"crankReading_{name}", getattr(reading, name))
            self.click("crankReading_note")
        if wanted.second_battery is not None:
            self._second(wanted)
        self.page(Key.Key_K)
        names = (
            "starts_by", "stand_days", "rest_current_a", "awake_current_a", "sleep_after_min",
            "temperature_c", "coldest_c", "engine_fuel", "engine_l", "night_logged", "topped_up",
            "alternator_a", "alternator_idle_a", "spare_a",
            "top_up_min", "top_up_times", "top_up_a",
        )  # fmt: skip
        self.fields("parking", self.vehicle.parking, wanted.parking, names)
        sun = wanted.parking.maintainer
        if sun is not None:
            self.put("maintainer_kind", sun.kind)
            now = self.vehicle.parking.maintainer
            names = ("current_a", "from_h", "to_h", "battery")
            self.fields("maintainer", now, sun, names)

    def _second(self, wanted: Vehicle) -> None:
        self.click("second_switch")
        now, then = self.vehicle.second_battery, wanted.second_battery
        assert now is not None
        assert then is not None
        names = ("chemistry", "capacity_ah", "soh", "start_soc", "link", "rest_v",
                 "resistance_mohm", "charger_a")  # fmt: skip
        self.fields("second", now, then, names)
        self.fuse("second_near_fuse_", None, then.near_fuse)
        self.fuse("second_far_fuse_", None, then.far_fuse)
        self.cable("second_link_cable", None, then.link_cable)

    def _feeds(self, wanted: Vehicle) -> None:
        blocks = {p.slots[0].feed: p for p in wanted.panels if p.kind == "block"}
        for feed in wanted.feeds:
            block = blocks.get(feed.id)
            self.page(Key.Key_F)
            if block is None:
                self.click("feed_add")
            else:
                ways = self.find("block_ways")
                assert isinstance(ways, QSpinBox)
                ways.setFocus()
                ways.selectAll()
                self.press(str(len(block.slots)))
                self.click("block_add")
            self._feed(next(f for f in self.vehicle.feeds if f.id == feed.id), feed)

    def _long(self, name: str) -> None:
        """Everything about what is chosen, where a field of it is not seen yet."""
        if not self.seen(name):
            self.click("chosenMore")

    def _feed(self, now: Feed, wanted: Feed) -> None:
        self._long("feed_name")
        if now.parent != wanted.parent:
            self.put("feed_parent", wanted.parent)
        self.fields("feed", now, wanted, ("name", "place", "added", "limit_a", "resistance_mohm"))
        if now.battery != wanted.battery:
            self.put("feed_battery", wanted.battery)
        self.fuse("feed_", now.fuse, wanted.fuse)
        self.cable("feed_cable", now.cable, wanted.cable)
        self.fields("feed", now, wanted, ("unfused_m", "sleeve"))
        if wanted.other_load != now.other_load:
            assert wanted.other_load == NOTHING_ELSE
            self.click("feed_nothing_else")

    def _slots(self, wanted: Vehicle) -> None:
        for panel in wanted.panels:
            now = next(p for p in self.vehicle.panels if p.id == panel.id)
            names = ("name", "place", "ambient_c")
            if any(getattr(now, each) != getattr(panel, each) for each in names):
                self.window.document.select("panel", panel.id)
                settle()
                self._long("panel_name")
                self.fields("panel", now, panel, names)
            for slot in panel.slots:
                mine = next(s for s in now.slots if s.id == slot.id)
                if mine != slot:
                    self._slot(panel.id, mine, slot)

    def _slot(self, panel_id: str, now: Slot, wanted: Slot) -> None:
        self.page(Key.Key_1, ALT)
        view = next(v for v in self.window.findChildren(PanelView) if v.panel_id == panel_id)
        if view.isVisible():
            at = view.visualRect(view.panel_model.index_of(wanted.id)).center()
            QTest.mouseClick(view.viewport(), LEFT, PLAIN, at)
        else:
            self.window.document.select("slot", wanted.id)
        settle()
        self._long("slot_circuit")
        names = ("circuit", "family", "feed_class", "feed", "live_side", "contact_limit_a")
        self.fields("slot", now, wanted, names)
        if wanted.fuse is not None and wanted.fuse != now.fuse:
            self.put("slot_rating", wanted.fuse.rating)
        if wanted.function != now.function:
            self.put("slot_function", wanted.function)
        for state in STATES:
            value = getattr(wanted.own_load, state)
            if value != getattr(now.own_load, state) and self.seen(f"slot_load_{state}"):
                self.put(f"slot_load_{state}", value)

    def _earths(self, wanted: Vehicle) -> None:
        self.go_to("earth points")
        names = ("name", "place", "stud_mm", "others", "sensitive", "kind", "sensor",
                 "resistance_mohm")  # fmt: skip
        for at, point in enumerate(wanted.earths):
            self.click("earth_add")
            self.fields("earth", self.vehicle.earths[at], point, names)

    def _accessory(self, wanted: Accessory) -> None:
        self.page(Key.Key_A, CTRL | SHIFT)
        self.press(f"{wanted.name} of mine", Key.Key_Return)
        QTest.qWait(10)
        now = next(a for a in self.vehicle.accessories if a.id == wanted.id)
        self._form(0)
        self.fields("accessory", now, wanted, ("name", "kind"))
        if wanted.amperes is not None:
            self.put("accessory_unit", "A")
        self.put("accessory_amount", wanted.watts if wanted.amperes is None else wanted.amperes)
        self.fields("accessory", now, wanted, ("rated_v", "load_kind", "needs"))
        if "sense" in wanted.leads:
            self.put("accessory_sense", True)
            self.put("accessory_sense_a", wanted.sense_a)
        for state in STATES:
            self.put(f"accessory_works_{state}", state in wanted.works_in)
        self.fields("accessory", now, wanted, ("short_s", "duty", "duty_period_s", "battery"))
        self.fields("accessory", now, wanted, ("current_spread", "standby_a", "run_on_min"))
        if wanted.cut_off is not None:
            self.put("accessory_cut_off", True)
            for name in ("off_v", "on_v", "delay_s"):
                self.put(f"accessory_cut_off_{name}", getattr(wanted.cut_off, name))
        if wanted.converter is not None:
            self.put("accessory_converter", True)
            for name in ("output_v", "rating_a", "efficiency"):
                self.put(f"accessory_converter_{name}", getattr(wanted.converter, name))
        names = ("min_voltage_v", "largest_fuse_a", "inrush_multiple", "inrush_s")
        self.fields("accessory", now, wanted, names)
        self.put("accessory_figures_from", wanted.figures_from)
        self.fields("accessory", now, wanted, ("note",))

    def _form(self, tab: int) -> None:
        """The long form of what is chosen, on one of its tabs."""
        if not self.seen("accessoryTabs"):
            self.click("chosenMore")
        tabs = self.find("accessoryTabs")
        assert isinstance(tabs, QTabWidget)
        bar = tabs.tabBar()
        QTest.mouseClick(bar, LEFT, PLAIN, bar.tabRect(tab).center())
        settle()

    # --- what is wrong, and the way out ----------------------------------------------------------

    def lead_of(self, kind: str, tab: int = 1) -> None:
        """How the accessory of a kind is connected, on the screen; with tab 0 itself."""
        found = next(a for a in self.vehicle.accessories if a.kind == kind)
        self._choose_accessory(found.id)
        self._form(tab)

    def feed_of(self, name: str) -> None:
        """The form of a feed."""
        found = next(f for f in self.vehicle.feeds if f.name == name)
        self.page(Key.Key_F)
        self.window.document.select("feed", found.id)
        settle()
        self._long("feed_name")

    def way_out(self, code: str) -> None:
        """Go to a finding in the list, and press the first of its ways out."""
        self.page(Key.Key_7, ALT)
        found = self.window.work
        assert found is not None
        view = found.findings
        for _ in range(40):
            codes = [each.code for each in view.model.findings]
            if code in codes:
                break
            QTest.qWait(25)
        view.list.setFocus()
        self.press(Key.Key_Home)
        for _ in range(codes.index(code)):
            self.press(Key.Key_Down)
        assert view.current().code == code
        for _ in range(400):  # the ways are tried while the cursor rests
            if self.seen("fix_1"):
                break
            QTest.qWait(50)
        self.click("fix_1")

    def _choose_accessory(self, accessory_id: str) -> None:
        name = next(a.name for a in self.vehicle.accessories if a.id == accessory_id)
        self.go_to(f"accessory {name}")
        selection = self.window.document.selection
        assert selection is not None
        assert selection.id == accessory_id, (selection, accessory_id)

    def _tap(self, vehicle: Vehicle, wanted: Tap) -> None:
        self._choose_accessory(wanted.accessory)
        self._form(1)
        key = f"{wanted.lead}Lead"
        source = ("feed", wanted.feed) if wanted.slot is None else ("slot", wanted.slot)
        self.put(f"{key}_source", source)
        now = self.vehicle.taps[-1]
        assert (now.id, now.accessory) == (wanted.id, wanted.accessory)
        if wanted.slot is not None:
            self.fields(key, now, wanted, ("kind", "way_round"))
        if wanted.relay:
            self.put(f"{key}_relay", True)
        self.fuse(f"{key}_", now.fuse, wanted.fuse)
        self.cable(f"{key}_cable_out", now.cable_out, wanted.cable_out)
        if wanted.lead == "power":
            after = next(t for t in self.vehicle.taps if t.id == wanted.id)
            self.cable(f"{key}_cable_back", after.cable_back, wanted.cable_back)
        self.fields(key, now, wanted, ("switch",))
        if wanted.switch_limit_a is not None:
            self.put(f"{key}_switch_limit_a", wanted.switch_limit_a)
        self.fields(key, now, wanted, ("joint",))
        if wanted.earth is not None:
            self.put(f"{key}_earth", wanted.earth)

    def _behind(self, wanted: Accessory) -> None:
        self._choose_accessory(wanted.id)
        self._form(1)
        self.put("powerLead_source", ("converter", wanted.supplied_by))
        self.fuse("outputLead_", None, wanted.lead_fuse)
        self.cable("outputLead_lead_cable", None, wanted.lead_cable)
        now = next(a for a in self.vehicle.accessories if a.id == wanted.id)
        self.cable("outputLead_lead_back", now.lead_back, wanted.lead_back)
