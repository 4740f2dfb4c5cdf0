"""One step of the check after the job: what should come out, what came out, and the verdict.

Where a reading differs from what was predicted, the likely causes are named, the likeliest first.
They are common practice of the trade; no source of their own.
"""

from typing import Final, Literal

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.probing import evidence
from fusemap.probing.entry import read_entry
from fusemap.probing.loads import band_words
from fusemap.text import Amount, Text, say
from fusemap.vehicle import Reading, State
from fusemap.vehicle.words import Quantity, TargetKind

Verdict = Literal["open", "agrees", "differs"]


LOAD_SPREAD: Final = 0.20
"""How far an accessory's current may be from its label [-]; ours."""

SUPPLY_BAND_V: Final = 0.5
"""How far the supply of a 12 V vehicle may be from what was reckoned with [V]; ours: charge of the
battery when parked, kind of regulator while running. Doubled for 24 V."""

SWAPPED_V: Final = 1.0
"""A minus sign before more than this is no stray voltage [V]; ours."""

SWAPPED: Final = say(
    "plus and minus are swapped: change the two at the lead, connect nothing, and read it again"
)
"""The one thing to do where a minus sign was read."""


class Expected(Struct, frozen=True):
    """A prediction with the band in which a reading agrees; for yes or no all three are 1 or 0."""

    typical: float
    low: float
    high: float


def supply_band_v(nominal_v: float) -> float:
    """How far a supply of so many volts may be from what was reckoned with [V]; see SUPPLY_BAND_V.

    >>> supply_band_v(24)
    1.0
    """
    return SUPPLY_BAND_V * nominal_v / 12


def lead_volts(
    volts: float, nominal_v: float, drop_share: float, *, highest_v: float | None = None
) -> Expected:
    """The volts at the end of a lead [V]: its supply's, less what a cable may lose at the most.

    `nominal_v` is the supply's kind, 12 or 24 V, `drop_share` the rule `allowed_drop_share` [-];
    `highest_v` what the supply may have in another state, where that counts.

    >>> lead_volts(12.6, 12, 0.05)
    Expected(typical=12.6, low=11.5, high=13.1)
    """
    band = supply_band_v(nominal_v)
    highest = volts if highest_v is None else max(volts, highest_v)
    return Expected(volts, volts - drop_share * nominal_v - band, highest + band)


class CheckStep(Struct, frozen=True):
    """One step of the check: what to do, what should come out, what came out.

    A step without `expected` is read for the record, or for a later step. `agrees` are the lowest
    and the highest reading that agree, in the step's unit: the band and what the meter may be off
    there. They are the same before it is read and afterwards.
    """

    key: str
    title: Text
    how: Text
    quantity: Quantity
    unit: str
    state: State
    target: TargetKind
    target_id: str
    expected: Expected | None
    fuse_out: str | None = None
    reading: Reading | None = None
    agrees: tuple[float, float] = (0.0, 0.0)
    causes: tuple[Text, ...] = ()
    pin: int = 0
    """The contact of a tow socket, 0 elsewhere."""
    unsure: bool = False
    """What comes out is not known, since a reading that it hangs on is missing: `expected` is then
    what comes out where the work sits as planned."""
    signed: bool = False
    """Whether a minus sign tells something: that plus and minus are swapped. Elsewhere it only says
    that the meter's leads are the other way round."""

    @property
    def counted(self) -> float | None:
        """The reading as it is held to the band, in the step's unit; `None` while there is none."""
        if self.reading is None:
            return None
        value = self.reading.value
        return abs(value) if self.unit and not self.signed else value

    @property
    def swapped(self) -> bool:
        """Whether it was read that plus and minus are swapped."""
        return self.signed and self.counted is not None and self.counted <= -SWAPPED_V

    @property
    def verdict(self) -> Verdict:
        """Whether it was read, and agrees within the band and the meter's error."""
        value = self.counted
        if value is None:
            return "open"
        if self.expected is None:
            return "agrees"
        low, high = self.agrees
        return "agrees" if low - 1e-9 <= value <= high + 1e-9 else "differs"

    @property
    def predicted_words(self) -> Text:
        """The prediction as it is said beside the reading, with what a reading may show there."""
        if self.expected is None:
            return say("–")
        if not self.unit:
            answer = evidence.NO_YES[bool(self.expected.typical)]
            return say("not known; as planned {answer}", answer=answer) if self.unsure else answer
        typical, (low, high) = self.expected.typical, self.agrees
        if self.expected.low <= 0:
            return say(
                "at most {limit}", limit=Amount(self.expected.high, self.unit, significant=2)
            )
        if low <= 0:
            return say(
                "{typical} (at most {high})",
                typical=Amount(typical, self.unit),
                high=Amount(high, self.unit, significant=2),
            )
        # volts are told to a tenth, everything else to two digits
        return band_words(typical, low, high, self.unit, 3 if self.unit == "V" else 2)

    @property
    def measured_words(self) -> Text:
        """The reading as it is said; empty while there is none."""
        return Text("") if self.reading is None else evidence.value_words(self.reading)


_CAUSES: Final[dict[tuple[str, bool], tuple[Text, ...]]] = {
    ("stays_on", False): (
        say(
            "the tap is the wrong way round: the accessory’s current also goes through the host "
            "fuse. Turn the tap by half a turn."
        ),
        say("the live side of the slot was noted on the wrong contact: read both contacts again"),
        say("the accessory fuse is missing or open"),
    ),
    ("stays_on", True): (
        say("the tap sits on the live side after all: mend the plan, the host fuse is relieved"),
        say("the accessory has a source of its own, a battery or a second feed"),
    ),
    ("polarity", False): (
        say(
            "its fuse is out or open, the tap is not in, or what switches it is off: then nothing "
            "arrives"
        ),
        say(
            "read from its plus to the battery’s minus: with the supply there, its minus or the "
            "earth point is open"
        ),
        say("a few volts alone: a joint or contact has resistance, go back piece by piece"),
    ),
    ("polarity", True): (
        say("the engine runs, or a charger is connected: read it again without"),
        say("the meter is on alternating voltage: set it to direct voltage"),
    ),
    ("current", False): (
        say("the accessory was not at full work: charge state, thermostat, volume, brightness"),
        say("the clamp was not zeroed, or held plus and minus together"),
        say("its label states the fuse or the peak, not what it draws"),
    ),
    ("current", True): (
        say("something else hangs on the same lead"),
        say("the label states output, not input: take the input"),
        say("a low voltage makes a converter or charger draw more: see the voltage at the device"),
    ),
    ("volts", False): (
        say(
            "a joint or contact has resistance: measure the drop piece by piece, the largest is it"
        ),
        say("the cable is thinner or longer than planned"),
        say("the earth point: see the earth drop"),
        say("the battery was lower than reckoned with: read it at its poles at the same moment"),
    ),
    ("volts", True): (
        say("the alternator was charging harder, or the battery was fuller than reckoned with"),
        say("the accessory drew less than planned: see the current"),
    ),
    ("output", False): (
        say("a joint or cable behind the converter loses too much: read at its output, then there"),
        say("the converter gives less than planned, or is overloaded: read its label"),
        say("its own supply is too low: see the voltage at the device"),
    ),
    ("output", True): (
        say(
            "the converter gives more than planned: take off what is made for less, read its label"
        ),
    ),
    ("earth", True): (
        say("paint or rust under the earth point: bare metal, lock washer, then protect it"),
        say("the return cable is thinner or longer than planned, or a crimp is poor"),
        say("the earth point is shared with a heavy load that is on"),
    ),
    ("earth_point", True): (
        say("paint, rust or a loose nut at the point: bare metal, tighten it, then protect it"),
        say("something else is on that goes back there: read it again without it"),
        say("the battery’s own minus cable or its clamp: measure from the post, not the clamp"),
    ),
    ("lamp_pin", False): (
        say("the module switches nothing without a trailer: couple one, or a test box with lamps"),
        say("its core sits at another pin: go through all pins with this lamp switched on"),
        say(
            "the return: read from the pin to the battery’s minus. Where that is right, the return "
            "is bad"
        ),
        say("an indicator flashes, or the module dims by pulses: the highest figure counts"),
    ),
    ("lamp_pin", True): (
        say("the engine ran, or a charger was connected: read it again with the ignition alone"),
    ),
    ("host_drop", True): (
        say("the feed carries more than planned: other loads are on, read it again without them"),
        say("a contact of the slot or of the tap is loose or dark: take the tap out and look"),
    ),
    ("grips", False): (
        say("the tap spread the contacts: another slot, a new contact, no bent blade"),
        say("the tap is of another family than the slot: compare the blades"),
    ),
    ("lamps", False): (
        say("the host fuse, or one beside it, is not in or is open"),
        say("a watched circuit sees the accessory: take the tap out and look whether it clears"),
    ),
    ("warm", True): (
        say("the tap does not grip in the contacts: take it out at once, look at the contacts"),
        say("more current than the fuse or contact carries for long: compare the current"),
        say("a crimp is poor"),
    ),
    ("host", False): (
        say("the host fuse was not put back, or is open: look at it against the light"),
        say("the tap spread a contact and the host fuse does not touch: take the tap out and look"),
        say("the circuit was in a mode that needs the ignition off and on again"),
    ),
    ("rest", True): (
        say("the vehicle was not asleep yet: wait, and read again"),
        say("the laptop or another charger is plugged in"),
        say("the accessory stays awake: its sense lead is live, or it has no parking mode"),
        say("the accessory keeps a bus or a module of the vehicle awake"),
    ),
    ("rest", False): (
        say("an accessory is off that should be on: its cut-off, its timer, its fuse"),
        say("the reading before the job was taken before the vehicle slept"),
    ),
    ("morning", False): (
        say("more is drawn than planned: see the rest current"),
        say("the battery holds less than its label says: age, or it was not full in the evening"),
        say("the vehicle woke during the night"),
    ),
    ("morning", True): (
        say("the evening’s voltage was read under load, or too soon after a drive"),
    ),
    ("cut_off", False): (
        say("the cut-off is set lower than planned, or for the other system voltage"),
        say("it waits longer than planned: note its delay"),
    ),
    ("cut_off", True): (
        say("the cut-off is set higher than planned"),
        say("it looks at the battery’s end: the cable’s drop is in between"),
    ),
}


def likely_causes(key: str, *, above: bool) -> tuple[Text, ...]:
    """Likely causes of a reading above (or below) the band of a step; yes for no is above.

    >>> str(likely_causes("earth", above=True)[0])
    'paint or rust under the earth point: bare metal, lock washer, then protect it'
    """
    again = say("read it again, with another meter if there is one")
    return _CAUSES.get((key, above), (again,))


SLIPPED: Final = 100.0
"""So many times the highest current predicted, and mA were more likely read as A; ours."""


def slip(step: CheckStep, value: float) -> Text | None:
    """Why a current was hardly typed in the step's unit [A]; `None` where it can well be.

    >>> amps = Expected(0.005, 0.004, 0.006)
    >>> step = CheckStep("current", Text("Radio"), Text(""), "inline_current", "A", "asleep",
    ...                  "tap", "tap-1", amps)
    >>> slip(step, 0.02) is None, slip(step, 5.0) is None
    (True, False)
    """
    if step.unit != "A" or step.expected is None:
        return None
    if abs(value) <= SLIPPED * step.expected.high or abs(value) < 0.1:
        return None
    return say(
        "{value} is far more than is predicted, {predicted} at most. If the meter shows mA, type "
        "mA behind the figure; if it is right, type it once more.",
        value=Amount(abs(value), "A"),
        predicted=Amount(step.expected.high, "A", significant=2),
    )


def read_answer(step: CheckStep, typed: str) -> tuple[float, float | None]:
    """What was typed for a step, in its unit. Raises `InputProblem` for what is no such reading."""
    entry = read_entry(typed, step.quantity)
    if not step.unit:
        if entry.live is None or entry.value is not None:
            raise InputProblem(say("this is answered by yes or no"), remedy=say("press Yes or No"))
        return float(entry.live), None
    if entry.value is None:
        raise InputProblem(say("this is a figure"), remedy=say("type it in {unit}", unit=step.unit))
    if entry.quantity != step.quantity:
        scale = {("millivolts", "V"): 1e-3, ("volts", "mV"): 1e3}.get((entry.quantity, step.unit))
        if scale is not None:
            return entry.value * scale, None
        raise InputProblem(
            say("“{typed}” is not in {unit}", typed=typed, unit=step.unit),
            remedy=say("type it in {unit}", unit=step.unit),
        )
    return entry.value, entry.highest
