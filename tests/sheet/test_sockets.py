"""Sockets, timers, cut-offs in a feed and short runs on paper."""

from math import inf

from fusemap.assess import assess
from fusemap.probing import final_check
from fusemap.sheet import SheetContent
from fusemap.sheet.circuit_layout import lay_out
from fusemap.sheet.circuit_parts import circuit
from fusemap.sheet.paint_circuit import WIDE_MM, PaperType
from fusemap.sheet.style import paper_style
from fusemap.sheet.subject import Subject
from fusemap.terminal.report_data import report_data
from fusemap.vehicle import Vehicle, VoltageCutOff, edits, reading_edits
from tests import trade_vehicles as trade
from tests.checks.test_sockets import towing
from tests.sheet.conftest import MADE, content_of
from tests.vehicles import one_slot


def plugged() -> Vehicle:
    """A box in the socket of the boot."""
    vehicle = edits.add_socket(one_slot(label="F3", circuit="Socket"), "boot socket", slot="slot-1")
    vehicle = edits.add_accessory(vehicle, "Box", amperes=4.0)
    return edits.plug_in(vehicle, "accessory-1", "socket-1", cable_out=trade.cable(1.5, 2.0))


def words(content: SheetContent) -> str:
    """All of it as one text."""
    return repr(list(content.sections)).replace(r"\u202f", " ")


def test_a_lead_says_the_pin_at_which_it_ends() -> None:
    text = words(content_of(towing()))
    assert "Tow socket, pin 9: permanent supply" in text
    assert "Tow socket, pin 10: supply switched by ignition" in text


def test_the_check_on_paper_has_each_lamp_pin_and_the_record_where_it_was_read() -> None:
    vehicle = towing()
    text = words(content_of(vehicle))
    assert "Pin 4 of Tow socket: right direction indicator" in text
    assert "meter at pin 4 of Tow socket against its pin 3" in text
    assert "Lamp pin of a tow socket" in text, "with likely causes where one differs"
    step = next(s for s in final_check.steps(vehicle, assess(vehicle)) if s.pin == 4)
    fields = final_check.fields(step) | {"when": "2025-05-17T10:00:00", "value": 12.1}
    read = reading_edits.add_reading(vehicle, **fields)
    assert "Tow socket, pin 4" in words(content_of(read, "record"))


def test_what_is_plugged_in_is_plugged_in_and_pulled_out() -> None:
    text = words(content_of(plugged()))
    assert "into boot socket." in text
    assert "Pull the plug of" in text


def test_plugs_and_terminals_of_spare_places_are_parts() -> None:
    assert "Plug for: lighter socket" in words(content_of(plugged()))
    vehicle = edits.add_accessory(one_slot(label="F3"), "Box", amperes=4.0)
    spare = edits.place(
        vehicle, "accessory-1", slot="slot-1", kind="terminal", cable_out=trade.cable(1.5, 2.0)
    )
    assert "Terminal of the box for mini, as its maker has it" in words(content_of(spare))


def test_timers_runs_and_cut_offs_are_said() -> None:
    vehicle = trade.pickup()
    tap = trade.tap_of(vehicle, "light_bar", "sense")
    vehicle = edits.change_tap(vehicle, tap.id, switch="timer", timer_min=15.0)
    text = words(content_of(vehicle))
    assert "a timer, from the ignition going off: 15 min" in text
    assert "at most 60 s" in text
    camper = trade.camper()
    cut_off = VoltageCutOff(off_v=12.0, on_v=12.8)
    camper = edits.change_feed(camper, camper.feeds[-1].id, cut_off=cut_off)
    assert "Low-voltage cut-off, in the feed" in words(content_of(camper))


def test_the_report_has_them() -> None:
    a = assess(towing())
    data = report_data(a, ())
    (socket,) = data["sockets"]
    pins = {pin["number"]: pin for pin in socket["pins"]}
    assert len(pins) == 13
    assert pins[6]["watts"] == 42.0
    assert len(pins[9]["taps"]) == len(pins[10]["taps"]) == 1
    on_nine = next(tap for tap in data["taps"] if tap["id"] == pins[9]["taps"][0])
    assert (on_nine["socket"], on_nine["pin"]) == ("socket-1", 9)
    (box,) = report_data(assess(plugged()), ())["sockets"]
    assert box["taps"] == ["tap-1"]
    winch = next(t for t in report_data(assess(trade.pickup()), ())["taps"] if t["short_s"] == 60.0)
    assert winch["lead"] == "power"


def test_the_diagram_draws_the_socket_by_its_pins() -> None:
    """Thirteen pins in a circle, the one at which the lead ends filled; its function beside it."""
    vehicle = towing()
    subject = Subject(assess(vehicle), (), paper_style("en"), MADE)
    made = circuit(subject)
    ends = {part.key: part for part in made.parts if part.pins}
    assert sorted((part.pins, part.pin) for part in ends.values()) == [(13, 9), (13, 10)]
    assert any("pin 9: permanent supply" in part.note for part in ends.values())
    (page,) = lay_out(made, WIDE_MM, inf, PaperType())
    drawn = {each.key: each for each in page.symbols if each.kind == "pins"}
    assert drawn.keys() == ends.keys()
    for key, symbol in drawn.items():
        assert (symbol.pins, symbol.pin) == (ends[key].pins, ends[key].pin)
        box = next(each for each in page.symbols if each.key == key and each.kind == "box")
        assert symbol.x + symbol.wide < box.x


def test_a_lighter_socket_has_no_circle_of_pins() -> None:
    made = circuit(Subject(assess(plugged()), (), paper_style("en"), MADE))
    assert not [part for part in made.parts if part.pins]
