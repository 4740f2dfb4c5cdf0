"""What a screen reader says of a box: where Qt tells it the value, a label has to tell the name."""

from typing import Any

from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QComboBox, QLabel, QWidget

from fusemap.window.main_window import MainWindow

PAGES = ("slot", "accessory", "battery", "parking", "rules", "vehicle", "panel")


def labels_of(box: QWidget) -> list[str]:
    """What the labels say that Qt relates to a box."""
    told = QAccessible.queryAccessibleInterface(box)
    related = told.relations(QAccessible.RelationFlag.Label)
    return [one.text(QAccessible.Text.Name) for one, _ in related]


def seen(within: QWidget) -> list[QComboBox]:
    return [box for box in within.findChildren(QComboBox) if box.isVisible()]


def test_every_box_to_choose_from_has_a_label_of_its_own(opened: MainWindow) -> None:
    tap = next(tap for tap in opened.document.vehicle.taps if tap.slot is not None)
    opened.document.select("tap", tap.id)
    boxes = set(seen(opened))
    opened.work.show_more()
    tabs = opened.work.details.page("accessory")
    for at in range(tabs.count()):
        tabs.setCurrentIndex(at)
        boxes |= set(seen(opened))
    for page in PAGES:
        opened.show_page(page)
        boxes |= set(seen(opened))
    for pane in ("shelf", "findings", "parked", "band"):
        opened.focus_pane(pane)
        boxes |= set(seen(opened))
    opened.show_start()
    boxes |= set(seen(opened))
    assert len(boxes) > 20
    assert {box.objectName() for box in boxes if not any(labels_of(box))} == set()
    assert {box.objectName() for box in boxes if len(labels_of(box)) > 1} == set()


def test_fuse_and_place_are_told_by_name(opened: MainWindow) -> None:
    tap = next(t for t in opened.document.vehicle.taps if t.slot and t.lead == "power")
    opened.document.select("tap", tap.id)
    page = opened.work.panels.current_page()
    page.name_button.click()
    told = {box.objectName(): labels_of(box) for box in seen(opened)}
    opened.work.show_more()
    told |= {box.objectName(): labels_of(box) for box in seen(opened)}
    assert told["powerLead_fuse"] == ["Fuse family"]
    assert told["powerLead_rating"] == ["Fuse rating"]
    assert told[f"panelPlace_{opened.panels.panel.id}"] == ["Where the panel sits"]


def test_a_chart_is_described_by_its_headline(opened: MainWindow, qtbot: Any) -> None:
    opened.focus_pane("parked")
    parked = opened.work.parked
    qtbot.waitUntil(lambda: "hours" in parked.headline.text())
    words = f"{parked.headline.text()} {parked.verdict.text()}"
    assert "days" in words
    assert parked.chart.accessibleDescription() == words
    opened.document.select("tap", opened.document.vehicle.taps[0].id)
    opened.focus_pane("band")
    band = opened.work.band
    assert isinstance(band.headline, QLabel)
    assert band.chart.accessibleDescription() == band.headline.text() != ""
