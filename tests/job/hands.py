"""A job made of a vehicle, as the window makes it; and one that only the check is left of."""

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files.demos import read_demo
from fusemap.job import Job
from fusemap.vehicle import Vehicle, edits


def job_of(vehicle: Vehicle) -> Job:
    """Assessed and checked."""
    a = assess(vehicle)
    return Job(vehicle, a, findings(vehicle, a))


def demo(key: str) -> Job:
    """The job of a demo vehicle."""
    return job_of(read_demo(key))


def sound() -> Vehicle:
    """A vehicle that holds and stands as long as planned, every circuit answered."""
    vehicle = read_demo("courier_van")
    for each in job_of(vehicle).unanswered:
        vehicle = edits.change_slot(vehicle, each.slot.id, function="comfort")
    return vehicle
