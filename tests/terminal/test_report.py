"""The report on the terminal says what could not be checked."""

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.terminal.command import as_words
from fusemap.terminal.report_data import report_data
from fusemap.terminal.report_words import report_lines
from fusemap.text import ENGLISH
from fusemap.vehicle import Fuse
from tests.vehicles import one_slot, with_accessory


def test_what_could_not_be_checked_is_told_among_the_hops() -> None:
    vehicle = with_accessory(one_slot(), 2.0, fuse=Fuse(family="mini", rating=5.0))
    a = assess(vehicle)
    data = report_data(a, findings(vehicle, a))
    open_ = {h["key"]: h["missing"] for h in data["taps"][0]["hops"] if h["verdict"] == "unchecked"}
    assert set(open_) >= {"section", "heat_out", "overload", "short", "far_end", "drop"}
    assert set(open_.values()) == {"section and length of the cable are not entered"}
    assert data["verdict"] == "unchecked"
    shown = as_words(tuple(report_lines(data)), ENGLISH)
    assert shown.count("section and length of the cable are not entered") == len(open_)
