"""The pane of the chosen thing: facts, stations, the way out, all of it by keys too."""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from fusemap.assess import assess
from fusemap.probing import final_check
from fusemap.vehicle import Cable, Fuse, SecondBattery, StateLoads, Vehicle, edits, look_up
from fusemap.window.chain.chain_hops import start_words
from fusemap.window.chosen.facts_view import FactsView
from fusemap.window.chosen.pane import ChosenPane
from fusemap.window.chosen.station_button import StationButton
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_drop import Payload, Placing
from fusemap.window.probe.check_way import stations as check_stations
from fusemap.window.style.theme import LIGHT
from tests import trade_vehicles as trade
from tests.vehicles import one_slot, with_accessory
from tests.window.keyboard_hands import focus, press

Opened = Callable[..., ChosenPane]
NARROW = "\N{NARROW NO-BREAK SPACE}"


def reversed_tap() -> Vehicle:
    """A lamp on the load side of a fuse that it overloads, by a cable of its own."""
    return with_accessory(
        one_slot(own_a=7.0),
        amperes=6.0,
        way_round="load_side",
        fuse=Fuse(family="mini", rating=10),
        cable_out=Cable(section_mm2=1.5, length_m=2.0),
    )


def two_panels() -> Vehicle:
    """The same with a second panel, whose one slot is not known at all."""
    return edits.add_panel(reversed_tap(), "Under the bonnet", 1, 1, place="engine_bay")


@pytest.fixture
def opened(qtbot: Any) -> Opened:
    def open_pane(vehicle: Vehicle, *chosen: str, size: tuple[int, int] = (315, 760)) -> ChosenPane:
        document = Document(vehicle)
        assert document.findings is not None  # as in a window that was painted
        pane = ChosenPane(document, LIGHT)
        qtbot.addWidget(pane)
        pane.resize(*size)
        with qtbot.waitExposed(pane):
            pane.show()
        pane.activateWindow()
        if chosen:
            document.select(*chosen)  # type: ignore[arg-type]
        qtbot.wait(20)
        return pane

    return open_pane


def tried(pane: ChosenPane, qtbot: Any) -> None:
    qtbot.waitUntil(lambda: pane.ways.main.isVisible())


def plain(text: str) -> str:
    return text.replace(NARROW, " ")


def station(pane: ChosenPane, key: str) -> StationButton:
    return pane.way.buttons[key]


# --- what it says ---------------------------------------------------------------------------------


def test_a_slot_has_five_facts(opened: Opened) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    assert [fact.key for fact in pane.facts.facts] == ["fuse", "feed", "side", "load", "parked"]
    values = {key: value.accessibleName() for key, value in pane.facts.values.items()}
    assert plain(values["fuse"]).startswith("Fuse: 15 A")
    assert "Main feed" in values["feed"]
    assert "left contact" in values["side"]
    assert "7 A" in plain(values["load"])
    assert "7 A" in plain(values["parked"])


def test_its_way_is_stations_with_load_limit_and_verdict(opened: Opened) -> None:
    """The figures are those of the assessment, which is reckoned here anew."""
    vehicle = reversed_tap()
    pane = opened(vehicle, "slot", "slot-1")
    assert [each.part for each in pane.way.stations][-4:] == ["tap", "cable", "device", "earth"]
    a = assess(vehicle)
    host = station(pane, "host").station
    assert host is not None
    assert host.verdict == "fails"
    assert host.share == pytest.approx(float(a.known.slots.worst_share[0]))
    load, limit = float(a.known.slots.host_a.max()), float(a.slots.host_limit_a[0])
    words = plain(station(pane, "host").accessibleName())
    assert "does not hold" in words
    assert f"{load:.3g} of {limit:.3g} A" in words
    assert "reversed" in station(pane, "tap").accessibleName()


def test_what_is_left_at_the_accessory_has_its_lower_end_first(opened: Opened) -> None:
    """Of a feed of unknown length more may be lost than is known."""
    pane = opened(reversed_tap(), "slot", "slot-1")
    device = station(pane, "device").station
    assert device is not None
    ends = [float(part) for part in plain(str(device.figure)).removesuffix(" V").split("–")]
    assert ends == sorted(ends)


def test_an_accessory_has_facts_and_the_way_of_its_own_feed(opened: Opened) -> None:
    vehicle = with_accessory(
        one_slot(),
        kind="own_feed",
        fuse=Fuse(family="mini", rating=10),
        cable_out=Cable(section_mm2=2.5, length_m=3.0),
    )
    pane = opened(vehicle, "accessory", "accessory-1")
    keys = [fact.key for fact in pane.facts.facts]
    assert keys == ["current", "needs", "inrush", "rest"]
    assert "host" not in pane.way.buttons
    own = station(pane, "tap").station
    assert own is not None
    assert plain(str(own.title)) == "Own fuse, 10 A"


def test_a_feed_has_its_slots_as_stations_and_enter_goes_to_one(opened: Opened) -> None:
    pane = opened(reversed_tap(), "feed", "feed-1")
    assert list(pane.way.buttons) == ["feed:feed-1", "slot:slot-1"]
    station(pane, "slot:slot-1").setFocus()
    press(Qt.Key.Key_Return)
    assert pane.document.selection == Selection("slot", "slot-1")


def test_a_slot_on_another_panel_of_which_nothing_is_known_asks(opened: Opened) -> None:
    vehicle = two_panels()
    slot = vehicle.panels[1].slots[0].id
    vehicle = edits.change_slot(vehicle, slot, fuse=Fuse(family="mini", rating=10))
    pane = opened(vehicle, "slot", slot)
    asked: list[tuple[str, ...]] = []
    pane.probe_wanted.connect(lambda *where: asked.append(where))
    assert pane.facts.values["feed"].accessibleName() == "Feed: not known when it is live"
    pane.facts.values["feed"].setFocus()
    press(Qt.Key.Key_Return)
    assert asked == [("slot", slot, "")]


def test_what_is_to_be_left_alone_leads_nowhere(opened: Opened, qtbot: Any) -> None:
    vehicle = one_slot(critical=True, critical_reason="airbags", own_load=StateLoads())
    pane = opened(vehicle, "slot", "slot-1")
    qtbot.wait(250)
    assert pane.head.lock.isVisible()
    assert not any(fact.ask for fact in pane.facts.facts)
    assert not pane.ways.main.isVisible()
    assert not pane.way.isVisible()


def test_where_nothing_is_chosen_it_answers_for_the_whole_and_leads_on(opened: Opened) -> None:
    pane = opened(reversed_tap())
    assert pane.head.accessibleName().startswith("The whole vehicle, Does not hold")
    assert not pane.head.more.isVisible()
    pane.ways.main.setFocus()
    press(Qt.Key.Key_Return)
    worst = pane.document.findings[0]
    assert pane.document.selection == Selection(worst.place, worst.place_id)


def test_an_empty_vehicle_says_how_to_begin(opened: Opened) -> None:
    pane = opened(Vehicle(name="New"))
    assert pane.head.name.text() == "Nothing is chosen"
    assert "Choose a slot" in pane.hint.text()
    assert not pane.ways.main.isVisible()


def test_what_is_not_placed_is_taken_up_by_enter(opened: Opened) -> None:
    vehicle = edits.add_accessory(one_slot(), "Lamp", amperes=2.0)
    pane = opened(vehicle, "accessory", "accessory-1")
    taken: list[dict[str, str]] = []
    pane.place_wanted.connect(taken.append)
    pane.ways.main.setFocus()
    press(Qt.Key.Key_Return)
    assert taken == [{"accessory": "accessory-1", "lead": "power"}]


# --- keys -----------------------------------------------------------------------------------------


def test_tab_goes_from_the_head_along_the_way_to_the_ways_out(opened: Opened, qtbot: Any) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    tried(pane, qtbot)
    pane.head.more.setFocus()
    met = []
    for _ in range(12):
        press(Qt.Key.Key_Tab)
        met.append(focus().objectName())
        if met[-1] == "chosenMain":
            break
    wanted = [f"station_{key}" for key in pane.way.buttons]
    assert [name for name in met if name.startswith("station_")] == wanted
    assert met[-1] == "chosenMain"


def test_tab_goes_into_a_sum_that_is_open_before_it_goes_on(opened: Opened) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    station(pane, "host").setFocus()
    press(Qt.Key.Key_Return, Qt.Key.Key_Tab)
    assert focus() is pane.way.opened["host"].words
    press(Qt.Key.Key_Tab, Qt.Key.Key_Tab)
    assert focus() is station(pane, "tap")


def test_enter_opens_the_sum_of_a_station_and_closes_it(opened: Opened) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    button = station(pane, "host")
    button.setFocus()
    press(Qt.Key.Key_Return)
    shown = pane.way.opened["host"]
    assert shown.isVisible()
    assert "Host fuse" in shown.words.text()
    assert "Limit:" in shown.words.text()
    press(Qt.Key.Key_Return)
    assert pane.way.opened == {}
    assert focus() is button


def test_down_goes_to_the_next_station(opened: Opened) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    keys = list(pane.way.buttons)
    station(pane, keys[0]).setFocus()
    press(Qt.Key.Key_Down)
    assert focus() is station(pane, keys[1])


def test_more_leads_to_the_long_form(opened: Opened) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    wanted: list[bool] = []
    pane.more_wanted.connect(lambda: wanted.append(True))
    pane.head.more.setFocus()
    press(Qt.Key.Key_Return)
    assert wanted == [True]


def test_the_main_way_out_is_one_step_and_says_what_comes_of_it(opened: Opened, qtbot: Any) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    before = pane.document.vehicle
    tried(pane, qtbot)
    assert pane.ways.main.words() == "Turn the tap round"
    said = plain(pane.ways.result.text())
    pane.ways.main.setFocus()
    press(Qt.Key.Key_Return)
    assert pane.document.vehicle.taps[0].way_round == "live_side"
    share = round(100 * float(assess(pane.document.vehicle).known.slots.worst_share[0]))
    assert said.startswith(f"to {share}")
    pane.document.stack.undo()
    assert pane.document.vehicle == before


def test_after_an_edit_the_way_out_is_pressed_only_when_it_is_told_anew(
    opened: Opened, qtbot: Any
) -> None:
    """The edit is painted first: until then what stands there is of the vehicle before."""
    pane = opened(reversed_tap(), "slot", "slot-1")
    tried(pane, qtbot)
    pane.setUpdatesEnabled(False)
    pane.document.apply("Cable", edits.change_slot, "slot-1", label="F9")
    qtbot.wait(20)
    before = pane.document.vehicle
    pane.ways.main.click()
    assert pane.document.vehicle is before
    pane.setUpdatesEnabled(True)
    qtbot.waitUntil(lambda: pane.document.findings_ready and bool(pane.document.trials))
    qtbot.wait(20)
    pane.ways.main.click()
    assert pane.document.vehicle != before


def test_a_way_out_is_tried_again_where_only_what_it_leads_to_is_another(
    opened: Opened, qtbot: Any
) -> None:
    """The finding stays word by word the same, and the vehicle does not."""
    pane = opened(reversed_tap(), "slot", "slot-1")
    tried(pane, qtbot)
    found = pane.document.findings
    pane.document.apply("Name", edits.change_panel, "panel-1", name="Another")
    assert pane.document.findings == found
    qtbot.waitUntil(lambda: bool(pane.document.trials))


def test_the_other_ways_stand_behind_a_button_and_are_gone_to(opened: Opened, qtbot: Any) -> None:
    vehicle = edits.add_panel(reversed_tap(), "Boot", 1, 2, ambient_c=25.0)
    for slot in vehicle.panels[1].slots:
        vehicle = edits.change_slot(
            vehicle, slot.id, fuse=Fuse(family="mini", rating=20), feed_class="permanent",
            feed="feed-1", live_side="left", circuit="Socket",
            own_load=StateLoads(asleep=0, awake=0, accessory=0, ignition=0, running=0),
        )  # fmt: skip
    pane = opened(vehicle, "slot", "slot-1")
    tried(pane, qtbot)
    shown = pane.ways.second.isVisible()
    number = int(pane.ways.all.words().split()[0])
    pane.ways.all.setFocus()
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: focus().objectName() == "fix_1")
    assert pane._all is not None
    assert len(pane._all.buttons) == number + 1 + shown


# --- in hand --------------------------------------------------------------------------------------


def test_while_it_is_in_hand_it_says_what_it_would_be(opened: Opened, qtbot: Any) -> None:
    vehicle = edits.add_accessory(one_slot(own_a=7.0), "Lamp", amperes=2.0)
    pane = opened(vehicle)
    placing = Placing(pane.document, LIGHT.style)
    pane.watch(placing)
    assert placing.begin(Payload(accessory="accessory-1"))
    placing.pointed.emit("slot-1")
    qtbot.waitUntil(lambda: pane.way.title.text() == "What it would be")
    feed = station(pane, "feed:feed-1").station
    assert feed is not None
    assert feed.share is not None
    assert feed.share > float(assess(vehicle).known.feeds.worst_share[0])
    assert "can take Lamp" in pane.head.name.text()
    assert pane.document.vehicle == vehicle
    placing.end()
    qtbot.waitUntil(lambda: not pane.way.isVisible())


# --- room -----------------------------------------------------------------------------------------


def cut(pane: ChosenPane) -> list[str]:
    """Words and stations that have less height than they need."""
    labels: list[QWidget] = [
        each for each in pane.findChildren(QLabel) if each.wordWrap() and each.text()
    ]
    stations: list[QWidget] = [*pane.findChildren(StationButton)]
    return [
        f"{each.objectName()} {each.height()} for {each.heightForWidth(each.width())}"
        for each in (*labels, *stations)
        if each.isVisible() and each.height() < each.heightForWidth(each.width()) - 1
    ]


@pytest.mark.parametrize("scale", [1, 2])
@pytest.mark.parametrize("wide", [300, 330])
@pytest.mark.parametrize("high", [420, 620, 900])
def test_nothing_is_cut_at_its_sizes(
    opened: Opened, qtbot: Any, scale: int, wide: int, high: int
) -> None:
    usual = QApplication.font()
    large = QFont(usual)
    large.setPixelSize(14 * scale)
    QApplication.setFont(large)
    try:
        size = (wide * scale, high * scale)
        for chosen in (("slot", "slot-1"), ("feed", "feed-1"), ("accessory", "accessory-1")):
            pane = opened(reversed_tap(), *chosen, size=size)
            qtbot.waitUntil(lambda shown=pane: "Looking" not in shown.ways.heading.text())
            assert pane.width() == wide * scale
            qtbot.waitUntil(lambda shown=pane: cut(shown) == [])
    finally:
        QApplication.setFont(usual)


def test_a_long_word_of_a_station_has_the_whole_line_and_its_figure_the_next(
    opened: Opened,
) -> None:
    vehicle = reversed_tap()
    vehicle = edits.change_accessory(vehicle, "accessory-1", name="Anhängersteckdosenmodul")
    pane = opened(vehicle, "slot", "slot-1", size=(284, 760))
    button = station(pane, "device")
    laid = button._laid_out(button.width())
    assert laid.below
    assert not station(pane, "tap")._laid_out(button.width()).below
    words = QFontMetrics(button._name_font()).horizontalAdvance("Anhängersteckdosenmodul")
    assert words <= laid.title_wide
    assert laid.name_high > laid.title_high


def test_where_there_is_little_height_the_facts_fold_to_a_line_that_opens(
    opened: Opened, qtbot: Any
) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1", size=(315, 460))
    tried(pane, qtbot)
    qtbot.wait(30)
    assert pane.facts.line.isVisible()
    assert "3 more facts" in pane.facts.line.words()
    pane.facts.line.setFocus()
    press(Qt.Key.Key_Return)
    assert pane.facts.values["side"].isVisible()


def test_it_tells_where_its_stations_stand_from_the_top(opened: Opened, qtbot: Any) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    tried(pane, qtbot)
    places = pane.station_places()
    assert [key for key, _ in places] == list(pane.way.buttons)
    heights = [point.y() for _, point in places]
    assert heights == sorted(heights)
    assert len({point.x() for _, point in places}) == 1
    for key, point in places:
        assert station(pane, key) is pane.childAt(point.toPoint())


def test_it_tells_when_they_moved(opened: Opened, qtbot: Any) -> None:
    pane = opened(reversed_tap(), "slot", "slot-1")
    tried(pane, qtbot)
    before = pane.station_places()
    with qtbot.waitSignal(pane.stations_moved):
        station(pane, next(iter(pane.way.buttons))).click()
    qtbot.wait(20)
    assert pane.station_places() != before


def test_the_way_of_what_hangs_on_the_second_battery_names_it(opened: Opened) -> None:
    vehicle = trade.camper()
    on_second = next(
        tap for tap in vehicle.taps
        if look_up.battery_of(vehicle, look_up.accessory(vehicle, tap.accessory)) == "second"
    )  # fmt: skip
    pane = opened(vehicle, "tap", on_second.id)
    ways = [(each.part, str(each.title)) for each in pane.content.way]
    assert ("battery", "Second battery") in ways[:2], "only what charges it is before it"
    feed = next(f for f in vehicle.feeds if f.battery == "second" and f.parent is None)
    pane.document.select("feed", feed.id)
    pane.refresh()
    assert "the second battery" in pane.facts.values["from"].accessibleName()


def straight_from_the_second_battery() -> Vehicle:
    """A cool box on a cable of its own, which its form says hangs on the second battery."""
    vehicle = edits.set_second_battery(one_slot(), SecondBattery(capacity_ah=100.0))
    vehicle = edits.add_accessory(vehicle, "Cool box", watts=45.0, battery="second")
    return edits.place(vehicle, vehicle.accessories[-1].id)


def test_a_feed_of_its_own_from_the_second_battery_is_told_of_that_battery(
    opened: Opened, qtbot: Any
) -> None:
    vehicle = straight_from_the_second_battery()
    (tap,) = vehicle.taps
    pane = opened(vehicle, "tap", tap.id)
    ways = [(each.part, str(each.title)) for each in pane.content.way]
    assert ("battery", "Second battery") in ways
    assert str(look_up.source_words(vehicle, tap)) == "second battery"
    a = assess(vehicle)
    head = str(start_words(a, tap))
    assert head.startswith("Second battery: ")
    assert f"{min(a.currents.second_v):.1f}" in head
    steps = final_check.steps(vehicle, a)
    of_tap = next(step for step in steps if step.target == "tap")
    assert str(check_stations(vehicle, steps, of_tap)[0].name) == "Second battery"


def test_without_facts_there_is_no_line_of_them(qtbot: Any) -> None:
    """Folded before there were any it would be a button without words."""
    facts = FactsView(LIGHT)
    qtbot.addWidget(facts)
    facts.fold(True)
    assert facts.isHidden()
