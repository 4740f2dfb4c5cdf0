"""Sockets, timers, short runs and an amplifier's output, entered with keys and mouse."""

from typing import Any

from PySide6.QtWidgets import QComboBox, QLineEdit

from fusemap.vehicle import Pin, Vehicle, VoltageCutOff, edits
from fusemap.window.document import Document
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.feed_page import FeedPage
from fusemap.window.forms.socket_page import SocketPage
from fusemap.window.forms.tap_form import TapForm
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot
from tests.window.form_hands import choose, click, enter, shown


def visible(form: Any, key: str) -> bool:
    field = form.findChild(QLineEdit, key) or form.findChild(QComboBox, key)
    assert field is not None, key
    return bool(field.isVisible())


class TestSocketPage:
    def test_a_lighter_socket_and_the_slot_that_feeds_it(self, qtbot: Any) -> None:
        document = Document(edits.change_slot(one_slot(), "slot-1", label="F3", circuit="Socket"))
        page = shown(SocketPage(document, LIGHT), qtbot)
        click(page, qtbot, "socket_add")
        enter(page, qtbot, "socket_name", "socket in the boot")
        choose(page, "socket_slot", "F3 Socket")
        enter(page, qtbot, "socket_limit_a", "15")
        (socket,) = document.vehicle.sockets
        assert (socket.name, socket.slot, socket.limit_a) == ("socket in the boot", "slot-1", 15.0)
        assert not visible(page, "socket_module")
        assert not visible(page, "socket_pin_5")
        click(page, qtbot, "socket_remove")
        assert document.vehicle.sockets == ()

    def test_a_tow_socket_pin_by_pin(self, qtbot: Any) -> None:
        vehicle = edits.add_accessory(Vehicle(name="Van"), "Tow module", amperes=10.0)
        document = Document(vehicle)
        page = shown(SocketPage(document, LIGHT), qtbot)
        click(page, qtbot, "socket_add")
        choose(page, "socket_kind", "Tow socket, 13 pins")
        choose(page, "socket_module", "Tow module")
        choose(page, "socket_returns_joined", "No")
        enter(page, qtbot, "socket_pin_6", "42")
        enter(page, qtbot, "socket_pin_8", "21")
        (socket,) = document.vehicle.sockets
        assert socket.module == "accessory-1"
        assert socket.returns_joined == "no"
        assert socket.pins == (Pin(number=6, watts=42.0), Pin(number=8, watts=21.0))
        assert not visible(page, "socket_slot")
        enter(page, qtbot, "socket_pin_8", "")
        choose(page, "socket_kind", "Tow socket, 7 pins")
        assert document.vehicle.sockets[0].pins == (Pin(number=6, watts=42.0),)
        assert not visible(page, "socket_pin_8")


class TestTapForm:
    def test_a_lead_is_plugged_into_a_socket(self, qtbot: Any) -> None:
        vehicle = edits.add_socket(one_slot(), "Rear socket", slot="slot-1")
        vehicle = edits.add_accessory(vehicle, "Box", amperes=4.0)
        document = Document(vehicle)
        form = shown(TapForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        choose(form, "powerLead_source", "Plugged into: Rear socket")
        (tap,) = document.vehicle.taps
        assert (tap.kind, tap.socket, tap.slot) == ("plug", "socket-1", "slot-1")
        source = form.findChild(QComboBox, "powerLead_source")
        assert source is not None
        assert source.currentText() == "Plugged into: Rear socket"
        assert not visible(form, "powerLead_kind")

    def test_an_own_feed_ends_at_a_pin(self, qtbot: Any) -> None:
        vehicle = edits.add_socket(one_slot(), "Tow socket", kind="tow_13")
        vehicle = edits.add_accessory(vehicle, "Caravan", amperes=4.0)
        vehicle = edits.place(vehicle, "accessory-1")
        document = Document(vehicle)
        form = shown(TapForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        choose(form, "powerLead_ends", "Tow socket, pin 9: permanent supply")
        (tap,) = document.vehicle.taps
        assert (tap.socket, tap.pin) == ("socket-1", 9)
        choose(form, "powerLead_ends", "No tow socket")
        assert document.vehicle.taps[0].socket is None

    def test_a_timer_and_its_minutes(self, qtbot: Any) -> None:
        vehicle = edits.add_accessory(one_slot(), "Fan", amperes=4.0)
        document = Document(edits.place(vehicle, "accessory-1", slot="slot-1"))
        form = shown(TapForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        assert not visible(form, "powerLead_timer_min")
        choose(form, "powerLead_switch", "A timer, from the ignition going off")
        enter(form, qtbot, "powerLead_timer_min", "30")
        (tap,) = document.vehicle.taps
        assert (tap.switch, tap.timer_min) == ("timer", 30.0)


class TestAccessoryForm:
    def test_the_longest_run_of_a_winch(self, qtbot: Any) -> None:
        document = Document(edits.add_accessory(one_slot(), "Winch", amperes=200.0))
        form = shown(AccessoryForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        enter(form, qtbot, "accessory_short_s", "90")
        assert document.vehicle.accessories[0].short_s == 90.0
        enter(form, qtbot, "accessory_short_s", "")
        assert document.vehicle.accessories[0].short_s is None

    def test_an_amplifier_is_entered_by_its_output(self, qtbot: Any) -> None:
        vehicle = edits.add_accessory(one_slot(), "Amplifier", amperes=20.0, kind="amplifier")
        document = Document(vehicle)
        form = shown(AccessoryForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        enter(form, qtbot, "accessory_output_w", "200")
        (it,) = document.vehicle.accessories
        assert (it.output_w, it.watts, it.amperes) == (200.0, 400.0, None)
        choose(form, "accessory_kind", "Fan")
        assert visible(form, "accessory_output_w")
        enter(form, qtbot, "accessory_output_w", "")
        assert not visible(form, "accessory_output_w")


def test_a_cut_off_in_a_feed(qtbot: Any) -> None:
    document = Document(edits.add_feed(Vehicle(name="Van"), "Block"))
    page = shown(FeedPage(document, LIGHT), qtbot)
    document.select("feed", "feed-1")
    click(page, qtbot, "feed_cut_off")
    enter(page, qtbot, "feed_cut_off_off_v", "11.8")
    assert document.vehicle.feeds[0].cut_off == VoltageCutOff(off_v=11.8, on_v=12.6)
    click(page, qtbot, "feed_cut_off")
    assert document.vehicle.feeds[0].cut_off is None
