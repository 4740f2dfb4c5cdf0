"""At the table: a slot tells its evidence, a fuse is calibrated, meters have their page."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from fusemap.errors import InputProblem
from fusemap.probing import conclusions, travel
from fusemap.probing.loads import loads_of
from fusemap.probing.session import Session
from fusemap.text import ENGLISH
from fusemap.vehicle import BATTERY, Fuse, MeterRange, Vehicle, edits, look_up, reading_edits
from fusemap.window.document import Document
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.slot_evidence import CalibrateField, evidence_words, resistance
from fusemap.window.forms.slot_form import SlotForm
from fusemap.window.probe.meters_dialog import MetersDialog, changed_range
from fusemap.window.probe.page_words import known
from fusemap.window.style.theme import LIGHT
from tests.probing.vehicles import WHEN, bench, dead, live, mv, read, slot
from tests.vehicles import with_accessory

ENTER = Qt.Key.Key_Return


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(bench(15.0))


@pytest.fixture
def form(document: Document, qtbot: Any) -> SlotForm:
    made = SlotForm(document, LIGHT)
    qtbot.addWidget(made)
    made.show()
    document.select("slot", "slot-1")
    return made


def test_the_form_of_a_slot_tells_what_its_class_rests_on(
    form: SlotForm, document: Document
) -> None:
    assert not form._evidence.isVisible()
    document.apply("Read", read, live(), mv(1.0))
    assert form._evidence.isVisible()
    assert "permanent" in form._evidence.text()
    assert "1 mV across the 15" in form._evidence.text().replace("\u202f", " ")


def test_it_tells_what_contradicts_and_what_is_open(document: Document) -> None:
    vehicle = read(document.vehicle, live(), dead("ignition"))
    assert "one of them is wrong" in evidence_words(vehicle, slot(vehicle), ENGLISH)
    opened = read(document.vehicle, live("accessory"))
    assert "open: whether it is live asleep" in evidence_words(opened, slot(opened), ENGLISH)


def test_a_borrowed_slot_says_whose_word_it_is(document: Document) -> None:
    lent = conclusions.conclude(document.vehicle, read(document.vehicle, live()))
    mine = travel.take_in(Vehicle(name="Mine"), lent, "Kim")
    assert "Kim’s map, not read here" in evidence_words(mine, next(look_up.slots(mine)), ENGLISH)


class TestCalibration:
    def test_a_known_load_narrows_the_band_of_every_reading(
        self, form: SlotForm, document: Document
    ) -> None:
        document.apply("Read", read, mv(10.0))
        before = loads_of(document.vehicle, slot(document.vehicle))["asleep"]
        field = form.findChild(CalibrateField)
        QTest.keyClicks(field.millivolts, "9,2")
        QTest.keyClicks(field.amperes, "2")
        QTest.keyClick(field.amperes, ENTER)
        fuse = slot(document.vehicle).fuse
        # 9.2 mV / 2 A = 4.6 mΩ, less the little it was warm
        assert fuse.resistance_mohm == pytest.approx(4.6, rel=0.01)
        after = loads_of(document.vehicle, slot(document.vehicle))["asleep"]
        assert after.high_a - after.low_a < 0.5 * (before.high_a - before.low_a)
        assert field.forget.isVisible()
        field.forget.click()
        assert slot(document.vehicle).fuse.resistance_mohm is None

    def test_what_no_fuse_can_have_is_refused(self, form: SlotForm, document: Document) -> None:
        field = form.findChild(CalibrateField)
        QTest.keyClicks(field.millivolts, "6")
        QTest.keyClicks(field.amperes, "0.06")
        field.button.click()
        assert "no such fuse" in field.words.text()
        assert slot(document.vehicle).fuse.resistance_mohm is None
        with pytest.raises(InputProblem):
            resistance(Fuse(family="mini", rating=15.0), 6.0, 0.06)

    def test_both_figures_are_needed(self, form: SlotForm) -> None:
        field = form.findChild(CalibrateField)
        field.button.click()
        assert "both are needed" in field.words.text()

    def test_a_family_without_a_published_resistance_says_so(
        self, form: SlotForm, document: Document
    ) -> None:
        document.apply("Other", edits.change_slot, "slot-1", family="micro2",
                       fuse=Fuse(family="micro2", rating=10.0))  # fmt: skip
        assert "No resistance is published" in form.findChild(CalibrateField).words.text()


class TestMeters:
    @pytest.fixture
    def dialog(self, document: Document, qtbot: Any) -> Iterator[MetersDialog]:
        parent = QWidget()
        qtbot.addWidget(parent)
        made = MetersDialog(parent, document, ENGLISH)
        made.show()
        yield made  # while it is used, its parent is there too
        made.close()

    def test_a_usual_meter_is_shown_while_there_is_none(self, dialog: MetersDialog) -> None:
        assert dialog.table.item(0, 0).text() == "0.1\u202fmV"
        assert not dialog.table.isEnabled()

    def test_a_meter_is_added_named_and_given_its_figures(
        self, dialog: MetersDialog, document: Document
    ) -> None:
        dialog.add.click()
        dialog.name.setText("Bench meter")
        dialog.name.editingFinished.emit()
        dialog.table.item(0, 0).setText("0,01 mV")
        dialog.table.item(0, 1).setText("0.05 %")
        dialog.table.item(0, 2).setText("2")
        meter = document.vehicle.meters[0]
        assert meter.name == "Bench meter"
        assert (
            MeterRange(quantity="millivolts", resolution=0.01, share=0.0005, counts=2.0)
            in meter.ranges
        )
        assert len(meter.ranges) == 5

    def test_a_finer_meter_makes_the_same_reading_surer(self, document: Document) -> None:
        fine = [MeterRange(quantity="millivolts", resolution=0.01, counts=2.0)]
        vehicle = reading_edits.add_meter(document.vehicle, "Bench meter", fine)
        usual = loads_of(read(vehicle, mv(0.2)), slot(vehicle))["asleep"]
        better = loads_of(read(vehicle, mv(0.2, meter="meter-1")), slot(vehicle))["asleep"]
        assert usual.below_floor
        assert better.flows

    def test_a_figure_that_cannot_be_is_told_and_not_taken(
        self, dialog: MetersDialog, document: Document
    ) -> None:
        dialog.add.click()
        before = document.vehicle.meters
        for row, column, text in ((0, 0, "0"), (0, 1, "100"), (1, 2, "-1"), (0, 0, "soon")):
            dialog.table.item(row, column).setText(text)
            assert dialog.words.text()
        assert document.vehicle.meters == before
        with pytest.raises(InputProblem):
            changed_range(before[0].ranges[0], 1, "120")

    def test_a_meter_that_was_used_stays(self, dialog: MetersDialog, document: Document) -> None:
        refused = []
        document.refused.connect(refused.append)
        dialog.add.click()
        document.apply("Read", reading_edits.add_reading, when=WHEN, quantity="millivolts",
                       value=1.0, target_id="slot-1", meter="meter-1")  # fmt: skip
        dialog.remove.click()
        assert document.vehicle.meters
        assert "readings were taken" in refused[0].what


def test_what_earlier_owners_fitted_is_entered_as_found(document: Document, qtbot: Any) -> None:
    document.apply("Add", edits.add_accessory, "Old alarm", amperes=0.2)
    form = AccessoryForm(document, LIGHT)
    qtbot.addWidget(form)
    form.show()
    document.select("accessory", "accessory-1")
    field = form.findChild(QWidget, "accessory_found")
    field.setCurrentIndex(field.findData("unknown"))
    field.activated.emit(field.currentIndex())
    assert document.vehicle.accessories[0].found == "unknown"


def test_at_a_tapped_slot_it_is_open_which_feed_supplies_it(document: Document) -> None:
    at_hand = Session(slot="slot-1")
    tapped = with_accessory(edits.change_slot(document.vehicle, "slot-1", feed_class="permanent"))
    assert "Open: which feed is not known" in ENGLISH.show(known(at_hand, tapped))
    straight = edits.change_slot(tapped, "slot-1", feed=BATTERY)
    assert "which feed" not in ENGLISH.show(known(at_hand, straight))
    assert "which feed" not in ENGLISH.show(known(at_hand, document.vehicle))
