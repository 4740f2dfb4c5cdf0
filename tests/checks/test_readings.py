"""What is planned has to stand on readings of this vehicle that agree."""

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.probing import conclusions, travel
from fusemap.vehicle import Vehicle, edits
from tests.probing.vehicles import bench, dead, live, read


def codes(vehicle: Vehicle) -> set[str]:
    return {finding.code for finding in findings(vehicle, assess(vehicle))}


def tapped(vehicle: Vehicle) -> Vehicle:
    vehicle = edits.add_accessory(vehicle, "Lamp", watts=5.0)
    return edits.place(vehicle, "accessory-1", slot="slot-1")


def test_a_tap_on_a_slot_whose_readings_contradict_is_cautioned():
    good = read(tapped(bench()), live(), live("ignition"))
    assert "readings_contradict" not in codes(good)
    assert "readings_contradict" in codes(read(good, dead("accessory")))
    assert "readings_contradict" not in codes(read(bench(), live(), dead("accessory")))


def test_a_tap_on_a_borrowed_slot_is_cautioned_until_it_is_read_here():
    lent = travel.take_in(Vehicle(name="Mine"), read(bench(), live()), "Kim")
    job = tapped(lent)
    assert "somebody_elses_word" in codes(job)
    here = conclusions.conclude(job, read(job, live()))
    assert "somebody_elses_word" not in codes(here)


def test_what_an_earlier_owner_fitted_is_named_until_it_is_kept_or_gone():
    vehicle = tapped(bench())
    for found, told in (("no", False), ("keep", False), ("remove", True), ("unknown", True)):
        now = edits.change_accessory(vehicle, "accessory-1", found=found)
        assert ("found_fitted" in codes(now)) is told
