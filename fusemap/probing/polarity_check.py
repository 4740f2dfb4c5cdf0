"""Plus and minus at the open end of an accessory's lead, before it is connected: there a swapped
or missing minus harms nothing yet.

In: the planned vehicle, assessed; a tap. Out: one step of the check, which says how the key stands,
where the tips go and what the meter should show there. It is not asked of what is plugged into a
socket, nor once the volts at the accessory's own terminals were read with it at work.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.assess import Assessment
from fusemap.probing import evidence
from fusemap.probing.check_step import CheckStep, Expected, lead_volts
from fusemap.text import Text, in_row, say
from fusemap.vehicle import STATES, State, Tap, Vehicle, look_up
from fusemap.vehicle.words import CLOSED_BY

KEY: Final[dict[State, Text]] = {
    "awake": say("Key off"),
    "ignition": say("Ignition on, engine off"),
    "running": say("Engine running"),
}
"""How the key stands while it is read."""

WHAT_IT_SAYS: Final = say(
    "No sign before the volts: plus and minus are right. A minus sign: they are swapped, type it "
    "too. Near 0: nothing arrives."
)
"""What a reading means, told before it is taken."""

CONNECT: Final = say("If they are right: fuse out, connect it, fuse in.")
"""What is done once it was read; on paper behind the step itself."""


def step_of(vehicle: Vehicle, a: Assessment, tap: Tap, title: Text) -> Iterator[CheckStep]:
    """The step of a power lead; none where it has no supply in any state, or is connected."""
    state = _read_in(a, tap)
    if tap.lead != "power" or tap.socket is not None or state is None:
        return
    if _seen_at_work(vehicle, tap):
        return
    yield CheckStep(
        "polarity",
        title,
        say(
            "{key}, accessory not connected, its fuse in: red tip on plus, black on minus at the "
            "open end of its lead.",
            key=in_row([KEY[state], *_besides(vehicle, tap)]),
        ),
        "polarity",
        "V",
        state,
        "tap",
        tap.id,
        expected(a, tap, state),
        signed=True,
    )


def expected(a: Assessment, tap: Tap, state: State) -> Expected:
    """The volts of the supply with nothing drawn [V], see `lead_volts`.

    What the ignition switches on need not draw: the battery may be as high as at rest.
    """
    accessory = look_up.accessory(a.vehicle, tap.accessory)
    second = look_up.battery_of(a.vehicle, accessory) == "second"
    supply = a.currents.second_v if second else a.battery_v
    volts, rest = (float(supply[STATES.index(each)]) for each in (state, "awake"))
    share = a.rule("allowed_drop_share")
    return lead_volts(volts, a.vehicle.system_v, share, highest_v=rest)


def _read_in(a: Assessment, tap: Tap) -> State | None:
    """The state it is read in: with the key off where it is known to be live then, else with the
    ignition on, else with the engine running.
    """
    live = a.circuit.taps.live[:, a.taps.index[tap.id]]
    sure = tap.slot is None or look_up.slot(a.vehicle, tap.slot).feed_class == "permanent"
    wanted: tuple[State, ...] = ("awake", "ignition", "running")
    return next((s for s in wanted[0 if sure else 1 :] if live[STATES.index(s)]), None)


def _besides(vehicle: Vehicle, tap: Tap) -> Iterator[Text]:
    """What else has to be on, so that the lead is live."""
    if tap.slot is not None and look_up.slot(vehicle, tap.slot).feed_class == "lighting":
        yield say("lamps on")
    if tap.switch in CLOSED_BY:
        yield say("the switch of its lead on")


def _seen_at_work(vehicle: Vehicle, tap: Tap) -> bool:
    """Whether the volts at the accessory's own plus and minus were read, with no minus sign.

    It is connected then, and the right way round; what was read of its plug before still counts.
    """
    own = [
        each
        for each in evidence.standing(vehicle.readings)
        if (each.purpose, each.target, each.target_id) == ("check", "tap", tap.id)
    ]
    seen = any(each.quantity == "volts" and each.value > 0 for each in own)
    return seen and all(each.quantity != "polarity" for each in own)
