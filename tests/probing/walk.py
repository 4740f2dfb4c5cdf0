"""A probing walk without a window: keys in, the vehicle after them out."""

from datetime import datetime, timedelta

from msgspec.structs import replace

from fusemap.probing import keys, walking
from fusemap.probing.plan import Round
from fusemap.probing.session import Session
from fusemap.vehicle import Vehicle

MORNING = datetime(2025, 5, 17, 8, 0)
ASLEEP = Round(state="asleep")


class Walk:
    """Presses keys; `seconds` pass with each."""

    def __init__(self, vehicle: Vehicle, start: Session | None = None, seconds: float = 1.0):
        self.vehicle = vehicle
        self.session = start or walking.start(vehicle)
        self.now = MORNING
        self.seconds = seconds
        self.steps = 0

    def press(self, *pressed: str) -> "Walk":
        for key in pressed:
            done = keys.press(self.session, self.vehicle, key, self.now)
            self.session = done.session
            if done.vehicle is not None:
                self.vehicle = done.vehicle
                self.steps += 1
            self.now += timedelta(seconds=self.seconds)
        return self

    def type(self, text: str) -> "Walk":
        """Characters, then Enter."""
        return self.press(*text, "enter")

    def begin(self, one) -> "Walk":
        self.session = walking.begin(self.session, self.vehicle, one)
        return self

    def set(self, **fields) -> "Walk":
        self.session = replace(self.session, **fields)
        return self

    def wait(self, minutes: float) -> "Walk":
        self.now += timedelta(minutes=minutes)
        return self
