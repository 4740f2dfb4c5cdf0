"""The sockets: a list of them, over the form of the one chosen, a tow socket's pin by pin."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtWidgets import QWidget

from fusemap import tables
from fusemap.text import Argument, Text, in_row, many, run_on, say
from fusemap.vehicle import Socket, Vehicle, edits, look_up
from fusemap.vehicle.words import SOCKET, TOW, SocketKind
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.fields import NumberField
from fusemap.window.forms.form import PartForm
from fusemap.window.forms.list_page import ListPage
from fusemap.window.style.theme import Theme

PIN_KEYS: Final = {"tow_13": "socket_pin", "tow_15": "socket_pin_of_15"}
"""The kinds whose pins have fields, and how the keys of these begin."""
LIKE: Final[dict[SocketKind, str]] = {"tow_13": "tow_13", "tow_7": "tow_13", "tow_15": "tow_15"}
"""Whose pins a kind has: the seven are the first seven of 13."""


class SocketPage(ListPage):
    """List and form, and buttons to add and remove sockets."""

    kind = "socket"

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        names, add = self.tr("Sockets"), self.tr("Add socket")
        self.build(SocketForm(document, theme), names, add, self.tr("Remove socket"), 3)

    def empty_words(self) -> Text:
        """What a socket is for."""
        return say(
            "No socket is entered yet. It is where something is plugged in, or a trailer. Add it "
            "with the slot that feeds it: then a lead can end there, and it is reckoned what it "
            "and each of its pins carry."
        )

    def parts(self, vehicle: Vehicle) -> Sequence[Socket]:
        """The sockets in their order."""
        return vehicle.sockets

    def words(self, vehicle: Vehicle, part: Socket) -> Argument:
        """A socket, its kind, and how many leads end in it."""
        there = sum(tap.socket == part.id for tap in vehicle.taps)
        said: list[Argument] = [part.name, SOCKET[part.kind]]
        if there:
            said.append(many("{n} lead in it", "{n} leads in it", there))
        return in_row(said)

    def add_part(self) -> bool:
        """One more socket, with a number for a name."""
        name = self.tr("Socket {n}").format(n=len(self._document.vehicle.sockets) + 1)
        return self._document.apply(self.tr("Add socket"), edits.add_socket, name)

    def remove_part(self) -> bool:
        """Without the socket in the form."""
        text = self.tr("Remove socket {name}").format(name=self.form.part_name())
        return self._document.apply(text, edits.remove_socket, self.form.part_id)


class SocketForm(PartForm):
    """The socket that was chosen last; its pins only where it is a tow socket."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.part_id = ""
        name = self.tr("Socket")
        super().__init__(document, theme, "socket", name, self._socket, self._change)
        self.text("name", self.tr("Name"), placeholder=self.tr("socket in the boot"))
        self.choice("kind", self.tr("It is"), choices.socket_kinds(theme.style))
        self.choice("place", self.tr("Where it sits"), choices.places())
        self._slot = self.choice("slot", self.tr("Fed by slot"), [])
        self._slot.keep_narrow()
        self.number(
            "limit_a",
            self.tr("Carries for long"),
            "A",
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("What is written on it or in the manual; of a tow socket for each pin"),
        )
        self._module = self.choice("module", self.tr("Its lamps are switched by"), [])
        self._module.keep_narrow()
        self._returns = self.choice(
            "returns_joined", self.tr("Trailer joins 3, 11, 13"), choices.yes_no()
        )
        self._bridged = self.choice(
            "lamps_joined",
            self.tr("Trailer joins its tail lamps"),
            choices.yes_no(),
            hint=self.tr("Pins 5 and 7, of 15 pins 5 and 6"),
        )
        self._supplies = self.note("")
        self._lamps_head = self.note(self.tr("What the trailer’s lamps take, pin by pin:"))
        self._pins = {
            (kind, pin.number): self._lamp(pin, key)
            for kind, key in PIN_KEYS.items()
            for pin in tables.socket_pins(kind).values()
            if pin.role == "lamp"
        }

    def _lamp(self, pin: tables.SocketPin, key: str) -> NumberField:
        """The watts of the lamps on a pin."""
        words = self.theme.style.show(Text(pin.function))
        name = self.tr("{pin}: {function}").format(pin=pin.number, function=words)
        field = NumberField(
            self.document,
            self.theme.style,
            lambda: self._watts(pin.number),
            lambda value: self._write_watts(pin.number, name, value),
            name=name,
            unit="W",
            optional=True,
            placeholder=self.tr("not known"),
            key=f"{key}_{pin.number}",
        )
        self.add(name, field)
        return field

    def _watts(self, number: int) -> float | None:
        pins = self._socket().pins
        return next((pin.watts for pin in pins if pin.number == number), None)

    def _write_watts(self, number: int, name: str, value: float | None) -> bool:
        text = f"{self.part_name()}: {name}"
        return self.document.apply(text, edits.set_pin, self.part_id, number, watts=value)

    def part_name(self) -> str:
        """The socket by name."""
        return self._socket().name

    def show_part(self, part_id: str) -> None:
        """Show another socket."""
        self.part_id = part_id
        self.refresh()

    def refresh(self) -> None:
        """Show the socket as it is now, and only the fields it has."""
        socket = self._socket()
        self.setEnabled(bool(socket.id))
        if not hasattr(self, "_pins"):
            super().refresh()
            return
        self._slot.set_choices(choices.circuit_slots(self.document.vehicle, self.theme.style))
        self._module.set_choices(choices.modules(self.document.vehicle))
        super().refresh()
        tow, pins = socket.kind in TOW, tables.socket_pins(socket.kind)
        self._supplies.setText(self._supply_words(socket))
        shown: dict[QWidget, bool] = {
            self._slot: not tow,
            self._module: tow,
            self._returns: socket.kind == "tow_13",
            self._bridged: tow,
            self._supplies: tow,
            self._lamps_head: tow,
            **{
                field: number in pins and kind == LIKE.get(socket.kind)
                for (kind, number), field in self._pins.items()
            },
        }
        for widget, on in shown.items():
            self.rows.setRowVisible(widget, on)

    def _supply_words(self, socket: Socket) -> str:
        """What is on the supply pins; where there are none, that."""
        show = self.theme.style.show
        pins = tables.socket_pins(socket.kind).values()
        supplies = [pin for pin in pins if pin.role in ("permanent", "switched")]
        if not supplies:
            return self.tr("No pin of this socket is a supply.")
        lines = []
        for pin in supplies:
            there = [
                look_up.accessory(self.document.vehicle, tap.accessory).name
                for tap in self.document.vehicle.taps
                if tap.socket == socket.id and tap.pin == pin.number
            ]
            what = ", ".join(there) or self.tr("nothing")
            words = show(run_on(Text(pin.function)))
            lines.append(
                self.tr("Pin {pin}, {function}: {what}").format(
                    pin=pin.number, function=words, what=what
                )
            )
        lines.append(
            self.tr("What a trailer draws there is an accessory whose own feed ends at the pin.")
        )
        return "\n".join(lines)

    def _socket(self) -> Socket:
        there = self.document.vehicle.sockets
        return next((e for e in there if e.id == self.part_id), Socket(id="", name=""))

    def _change(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_socket(vehicle, self.part_id, **changes)
