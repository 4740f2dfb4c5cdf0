"""The earth points: a list of them, over the form of the one that is chosen."""

from collections.abc import Sequence

from fusemap.text import Amount, Argument, Text, in_row, many, say
from fusemap.vehicle import EarthPoint, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.form import PartForm
from fusemap.window.forms.list_page import ListPage
from fusemap.window.style.theme import Theme


class EarthPage(ListPage):
    """List and form, and buttons to add and remove earth points."""

    kind = "earth"

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        names, add = self.tr("Earth points"), self.tr("Add earth point")
        self.build(EarthForm(document, theme), names, add, self.tr("Remove earth point"), 2)

    def empty_words(self) -> Text:
        """What an earth point is for."""
        return say(
            "No earth point is entered yet. It is the bolt or post where the minus of an accessory "
            "goes back. Add each one that you use: then it is reckoned what comes together there, "
            "and the check asks for its drop."
        )

    def parts(self, vehicle: Vehicle) -> Sequence[EarthPoint]:
        """The points in their order."""
        return vehicle.earths

    def words(self, vehicle: Vehicle, part: EarthPoint) -> Argument:
        """A point, how much goes back there, and what was measured."""
        there = sum(tap.earth == part.id for tap in vehicle.taps)
        said: list[Argument] = [
            part.name,
            many("{n} accessory goes back here", "{n} accessories go back here", there),
        ]
        if part.resistance_mohm is not None:
            said.append(Amount(part.resistance_mohm, "mΩ"))
        return in_row(said)

    def add_part(self) -> bool:
        """One more point, with a number for a name."""
        name = self.tr("Earth point {n}").format(n=len(self._document.vehicle.earths) + 1)
        return self._document.apply(self.tr("Add earth point"), edits.add_earth, name)

    def remove_part(self) -> bool:
        """Without the point in the form."""
        text = self.tr("Remove earth point {name}").format(name=self.form.part_name())
        return self._document.apply(text, edits.remove_earth, self.form.part_id)


class EarthForm(PartForm):
    """The earth point that was chosen last."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.part_id = ""
        name = self.tr("Earth point")
        super().__init__(document, theme, "earth", name, self._point, self._change)
        self.text("name", self.tr("Name"), placeholder=self.tr("bolt behind the side trim"))
        self.choice("kind", self.tr("It is"), choices.earth_kinds())
        self.choice("place", self.tr("Where it sits"), choices.places())
        self.number(
            "stud_mm",
            self.tr("Thread"),
            "mm",
            optional=True,
            placeholder=self.tr("not looked at"),
            hint=self.tr("8 for M8"),
        )
        self._others = self.number(
            "others",
            self.tr("Eyelets there"),
            whole=True,
            least=0,
            optional=True,
            placeholder=self.tr("not counted"),
            hint=self.tr("How many of the vehicle’s own sit under this screw"),
        )
        self.choice("sensitive", self.tr("A sensor or radio on it"), choices.yes_no())
        self._sensor = self.choice("sensor", self.tr("Battery sensor on it"), choices.yes_no())
        self.number(
            "resistance_mohm",
            self.tr("Measured"),
            "mΩ",
            least=0,
            optional=True,
            placeholder=self.tr("not measured"),
            hint=self.tr(
                "To the battery’s minus post: millivolts between them, divided by the amperes that "
                "flow; an ohmmeter cannot tell"
            ),
        )

    def part_name(self) -> str:
        """The point by name."""
        return self._point().name

    def show_part(self, part_id: str) -> None:
        """Show another point."""
        self.part_id = part_id
        self.refresh()

    def refresh(self) -> None:
        """Show the point as it is now."""
        point = self._point()
        self.setEnabled(bool(point.id))
        super().refresh()
        if hasattr(self, "_sensor"):
            self.rows.setRowVisible(self._sensor, point.kind == "battery_minus")
            self.rows.setRowVisible(self._others, point.kind == "body")

    def _point(self) -> EarthPoint:
        there = self.document.vehicle.earths
        return next((e for e in there if e.id == self.part_id), EarthPoint(id="", name=""))

    def _change(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_earth(vehicle, self.part_id, **changes)
