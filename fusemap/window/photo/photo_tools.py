"""What can be done with the photo of a panel: take one in, fit it, remove it, show it more or less.

In: the window's document and settings. Out: one step of the history each; how strongly photos are
shown is no part of the vehicle and is remembered.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from fusemap.errors import FusemapError, InputProblem
from fusemap.text import say
from fusemap.vehicle import Panel, PanelPhoto, edits, look_up
from fusemap.window.desk import Desk
from fusemap.window.panel.panel_tools import PanelTools

if TYPE_CHECKING:
    from fusemap.window.photo.backdrop import Strength
    from fusemap.window.photo.fit_view import Corners

    Put = Callable[[Corners], bool]

STRENGTHS: "Final[tuple[Strength, ...]]" = ("off", "faint", "strong", "alone")


class PhotoTools(QObject):
    """What the menus, the panel's form and a drop call."""

    def __init__(self, desk: Desk, panels: PanelTools) -> None:
        super().__init__(desk)
        self._desk = desk
        self._panels = panels
        self._document = desk.document
        self._settings = desk.settings

    # --- what a view asks for its panel -----------------------------------------------------------

    def take_in(self, panel_id: str, picture: Path | QImage) -> None:
        """Take a picture in for this panel."""
        self.take(self._panel(panel_id), picture)

    def do_for(self, what: str, panel_id: str) -> None:
        """What is asked of a panel's photo: "choose", "fit" or "remove"."""
        {"choose": self.choose_for, "fit": self.fit_for, "remove": self.remove_for}[what](panel_id)

    def choose_for(self, panel_id: str) -> None:
        """Let a picture be chosen for this panel."""
        self._choose(self._panel(panel_id))

    def fit_for(self, panel_id: str) -> None:
        """Lay the grid of this panel anew."""
        self._fit(self._panel(panel_id))

    def remove_for(self, panel_id: str) -> None:
        """Take the photo of this panel away."""
        self._remove(self._panel(panel_id))

    def put(self, panel: Panel, photo: PanelPhoto, corners: "Corners") -> bool:
        """Put a photo behind a panel as its grid was drawn on it."""
        text = self.tr("{panel}: photo").format(panel=panel.name)
        return self._document.apply(text, edits.set_photo, panel.id, photo.jpeg, corners)

    def walk_for(self, panel_id: str) -> None:
        """Read this panel off its photo, slot by slot."""
        # Not needed to show the window.
        from fusemap.window.photo.walk_dialog import WalkDialog

        panel = self._panel(panel_id)
        if panel.photo is None:
            return
        theme = self._desk.look.theme
        dialog = WalkDialog(self._desk.window, self._document, theme, panel_id)
        if dialog.walk.piece.image is None:
            dialog.deleteLater()
            self._document.refused.emit(broken())
            return
        dialog.finished.connect(lambda: self._desk.focus_pane("panel"))
        dialog.open()

    def _panel(self, panel_id: str) -> Panel:
        return look_up.panel(self._document.vehicle, panel_id)

    # --- for the panel that is shown ------------------------------------------------------------

    def choose(self) -> None:
        """Let a picture be chosen for the panel that is shown."""
        self._for_shown(self._choose)

    def fit(self) -> None:
        """Lay the grid of the panel that is shown anew."""
        self._for_shown(self._fit)

    def walk(self) -> None:
        """Read the panel that is shown off its photo, slot by slot."""
        self._for_shown(lambda panel: self.walk_for(panel.id))

    def remove(self) -> None:
        """Take the photo of the panel that is shown away."""
        self._for_shown(self._remove)

    def take_for_shown(self, picture: Path | QImage) -> None:
        """Take a picture in for the panel that is shown."""
        self._for_shown(lambda panel: self.take(panel, picture))

    def _for_shown(self, do: Callable[[Panel], None]) -> None:
        panel = self._panels.panel
        if panel is not None:
            do(panel)

    # --- taking in ------------------------------------------------------------------------------

    def _choose(self, panel: Panel) -> None:
        self.ask_for_picture(partial(self.take_in, panel.id))

    def ask_for_picture(self, then: "Callable[[Path], object]") -> None:
        """Let a picture be chosen."""
        pictures = self.tr("Pictures (*.jpg *.jpeg *.png *.webp)")
        # loaded when it is first needed: the start stays short
        from PySide6.QtWidgets import QFileDialog

        dialog = QFileDialog(
            self._desk.window,
            self.tr("Photo of the lid"),
            str(Path.home()),
            f"{pictures};;{self.tr('All files (*)')}",
        )
        dialog.setObjectName("photoFile")
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda name: then(Path(name)))
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def take(self, panel: Panel, picture: Path | QImage) -> None:
        """Make a picture small, and ask where the grid is on it; then it is in the vehicle."""
        photo = self.made_small(picture)
        if photo is not None:
            self.lay(panel, photo)

    def made_small(self, picture: Path | QImage) -> PanelPhoto | None:
        """A picture as a vehicle keeps it; `None` where it cannot be read, which is then said."""
        # Not needed to show the window.
        from fusemap.window.photo import taking

        try:
            return PanelPhoto(jpeg=taking.take(picture))
        except FusemapError as error:
            self._document.refused.emit(error)
            return None

    def lay(self, panel: Panel, photo: PanelPhoto) -> None:
        """Ask where the grid of a panel is on a photo; then it is in the vehicle."""
        # Not needed to show the window.
        from fusemap.window.photo.fit_view import FIRST_CORNERS

        self._ask_corners(panel, photo, FIRST_CORNERS, partial(self.put, panel, photo))

    def _fit(self, panel: Panel) -> None:
        if panel.photo is not None:
            text = self.tr("{panel}: photo fitted").format(panel=panel.name)
            put = partial(self._document.apply, text, edits.fit_photo, panel.id)
            self._ask_corners(panel, panel.photo, panel.photo.corners, put)

    def _ask_corners(self, panel: Panel, photo: PanelPhoto, corners: "Corners", put: "Put") -> None:
        # Not needed to show the window.
        from fusemap.window.photo import taking
        from fusemap.window.photo.fit_dialog import FitDialog

        image = taking.image_of(photo)
        if image is None:
            self._document.refused.emit(broken())
            return
        style = self._desk.look.theme.style
        dialog = FitDialog(self._desk.window, image, panel, corners, style)
        dialog.fitted.connect(partial(self._fitted, put))
        dialog.open()

    def _fitted(self, put: "Put", corners: "Corners") -> None:
        if put(corners) and self.strength == "off":
            self.set_strength("faint")
        self._desk.turned.emit()

    def _remove(self, panel: Panel) -> None:
        if panel.photo is not None:
            text = self.tr("{panel}: no photo").format(panel=panel.name)
            self._document.apply(text, edits.remove_photo, panel.id)

    # --- how strongly ---------------------------------------------------------------------------

    @property
    def strength(self) -> "Strength":
        """How strongly photos are shown."""
        return self._settings.kept.photo_strength

    def set_strength(self, strength: "Strength") -> None:
        """Show photos so strongly, and remember it."""
        self._settings.kept.photo_strength = strength
        self._settings.save()
        if self._desk.work is not None:
            self._desk.work.panels.show_photos(strength)
        self._desk.turned.emit()

    def toggle_alone(self) -> None:
        """Show the photo without cards, or the cards before it again."""
        self.set_strength("strong" if self.strength == "alone" else "alone")

    def next_strength(self) -> None:
        """Off, faint, strong, alone, and round again."""
        at = STRENGTHS.index(self.strength)
        self.set_strength(STRENGTHS[(at + 1) % len(STRENGTHS)])


def broken() -> InputProblem:
    """A photo in the vehicle that cannot be drawn."""
    return InputProblem(
        say("the photo of this panel cannot be drawn"), remedy=say("take it in again, or remove it")
    )
