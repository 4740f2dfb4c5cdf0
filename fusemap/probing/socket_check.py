"""The lamps of a tow socket after the job: each pin against its return, with its lamp switched on.

In: the planned vehicle, assessed. Out: one step of the check for each lamp pin of every tow socket
that the plan has to do with: one that a lead ends at, or whose lamps an accessory of it switches.
The supplies among the pins are checked with the leads that end there.
"""

from collections.abc import Iterator
from typing import Final

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.probing.check_step import CheckStep, Expected, lead_volts
from fusemap.text import Text, run_on, say
from fusemap.vehicle import STATES, Socket, State, Vehicle
from fusemap.vehicle.words import TOW

LIT: Final[State] = "ignition"
"""The state in which every lamp can be switched on, and the alternator gives nothing yet."""
LAMP_PIN: Final = say("Lamp pin of a tow socket")


def sockets_of(vehicle: Vehicle) -> Iterator[Socket]:
    """The tow sockets that the plan has to do with."""
    used = {tap.socket for tap in vehicle.taps}
    for socket in vehicle.sockets:
        if socket.kind in TOW and (socket.id in used or socket.module is not None):
            yield socket


def steps(vehicle: Vehicle, a: Assessment) -> Iterator[CheckStep]:
    """The lamp pins of these sockets, pin by pin."""
    for socket in sockets_of(vehicle):
        for pin in tables.socket_pins(socket.kind).values():
            if pin.role == "lamp" and pin.returns_by is not None:
                yield _step(a, socket, pin, pin.returns_by)


def _step(a: Assessment, socket: Socket, pin: tables.SocketPin, back: int) -> CheckStep:
    function = run_on(Text(pin.function))
    return CheckStep(
        "lamp_pin",
        say("Pin {pin} of {socket}: {function}", pin=pin.number, socket=socket.name,
            function=function),
        say(
            "Ignition on, this lamp switched on, a trailer or a test box with lamps coupled: meter "
            "at pin {pin} of {socket} against its pin {back}.",
            pin=pin.number, socket=socket.name, back=back,
        ),
        "volts", "V", LIT, "socket", socket.id, expected(a), pin=pin.number,
    )  # fmt: skip


def expected(a: Assessment) -> Expected:
    """The volts of a lit lamp [V], see `lead_volts`."""
    volts = float(a.battery_v[STATES.index(LIT)])
    return lead_volts(volts, a.vehicle.system_v, a.rule("allowed_drop_share"))
