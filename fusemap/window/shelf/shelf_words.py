"""What the shelf says where it has nothing to show."""

from PySide6.QtCore import QCoreApplication

from fusemap.vehicle import Vehicle


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Shelf", text)


def nothing_words(text: str) -> str:
    """In place of the kinds, where none fits what was typed."""
    return tr(
        "Nothing in the library fits “{text}”. Press Enter to add it by this name, and say "
        "what it draws."
    ).format(text=text)


def hint_words(vehicle: Vehicle, text: str, *, found: bool) -> str:
    """In place of the vehicle's own, where there are none, or none was `found`."""
    if not vehicle.accessories:
        return tr(
            "Nothing in this vehicle yet. Search for what is to be fitted, and drag it onto a "
            "slot. Its figures are usual ones: replace them by those on its label."
        )
    return "" if found else tr("None here with “{text}”.").format(text=text)
