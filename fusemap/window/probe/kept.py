"""Where a probing session, a hunt or a check stands, kept in a file at every key.

Nothing that was typed is lost, whenever the program ends.

One small JSON file of each per vehicle file in the user's state folder (`kept_of`); a vehicle
without a file has them under what its document goes by. No Qt.
"""

from pathlib import Path

from msgspec.structs import replace

from fusemap.probing import hunt
from fusemap.probing.hunt import Hunt
from fusemap.probing.session import Session, resume
from fusemap.vehicle import Vehicle
from fusemap.vehicle.parts import Value
from fusemap.window.probe.kept_file import HUNT
from fusemap.window.probe.kept_of import KeptOf


class KeptSession(KeptOf[Session]):
    """The session of one vehicle, on disk."""

    def __init__(self, folder: Path, path: Path | None, goes_by: str) -> None:
        super().__init__(folder, path, goes_by, Session, "probing")

    def read(self, vehicle: Vehicle) -> Session | None:
        """The session as it was left, as far as it still fits the vehicle."""
        found = self.found()
        return None if found is None else resume(found, vehicle)


class Held(Value, frozen=True, kw_only=True):
    """A hunt as it is in hand: with what is typed, and the rows of a night typed so far.

    `seen_in`: somebody said that what was to be pulled is in.
    """

    hunt: Hunt
    typed: str = ""
    rows: tuple[str, ...] = ()
    seen_in: bool = False


class KeptHunt(KeptOf[Held]):
    """The hunt of one vehicle, on disk."""

    def __init__(self, folder: Path, path: Path | None, goes_by: str) -> None:
        super().__init__(folder, path, goes_by, Held, HUNT)

    def read(self, vehicle: Vehicle) -> Held | None:
        """The hunt as it was left, as far as it still fits the vehicle."""
        found = self.found()
        return None if found is None else replace(found, hunt=hunt.take_up(found.hunt, vehicle))


class HeldCheck(Value, frozen=True, kw_only=True):
    """A check as it is in hand: which step by its key and place, what is typed, by whom.

    `entered` are the ids of the readings that can be taken back, the oldest first.
    """

    key: str = ""
    target: str = ""
    target_id: str = ""
    typed: str = ""
    by: str = ""
    entered: tuple[str, ...] = ()
    pin: int = 0


class KeptCheck(KeptOf[HeldCheck]):
    """The check of one vehicle, on disk."""

    def __init__(self, folder: Path, path: Path | None, goes_by: str) -> None:
        super().__init__(folder, path, goes_by, HeldCheck, "checking")

    def read(self, vehicle: Vehicle) -> HeldCheck:
        """The check as it was left, as far as the vehicle has its readings; else a new one."""
        there = {reading.id for reading in vehicle.readings if not reading.withdrawn}
        found = self.found() or HeldCheck()
        return replace(found, entered=tuple(each for each in found.entered if each in there))
