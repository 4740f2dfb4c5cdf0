"""The foot of the page: the facts it rests on, each opening its form, and what can be saved."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QBoxLayout, QFrame, QMenu, QPushButton

from fusemap.window.parked.links import link_button, link_sheet
from fusemap.window.parts.layouts import WrappingButton, turn
from fusemap.window.style.theme import Theme, space


class PageFoot(QFrame):
    """Battery and parking in a line each, and three links."""

    form_wanted = Signal(str, str)
    """The form of the battery, or of the parking, is to be opened; and a field in it."""
    reckoned_wanted = Signal()
    save_wanted = Signal(str)
    """A file of this kind is to be written."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("parkedFoot")
        self.setAccessibleName(self.tr("What it rests on"))
        self.setStyleSheet(
            f"QFrame#parkedFoot {{ border-top: 1px solid {theme.line}; }} {link_sheet(theme)}"
        )
        self.battery = self._fact("battery", self.tr("Change what is known of the battery"))
        self.parking = self._fact("parking", self.tr("Change how it is parked"))
        self.reckoned = self._link("parkedReckoned", self.tr("How it is reckoned"))
        self.reckoned.clicked.connect(self.reckoned_wanted)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        edge = space(self)
        self._row.setContentsMargins(edge * 2, edge // 2, edge * 2, edge // 2)
        self._row.setSpacing(edge * 2)
        self._row.addWidget(self.battery, 3)
        self._row.addWidget(self.parking, 2)
        links = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        links.setSpacing(edge * 2)
        links.addStretch(1)
        links.addWidget(self.reckoned)
        picture, table = self.tr("Save picture"), self.tr("Save table")
        links.addWidget(self._saving(picture, ("png", self.tr("Chart as PNG…")),
                                     ("svg", self.tr("Chart as SVG…"))))  # fmt: skip
        links.addWidget(self._saving(table, ("table", self.tr("What draws as CSV…")),
                                     ("csv", self.tr("Course as CSV…"))))  # fmt: skip
        self._row.addLayout(links)
        # until the facts are known the buttons say what they are about
        self.show_facts(self.tr("Battery"), self.tr("Parking"))

    def turn(self, *, wide: bool) -> None:
        """In one line where it is wide, else one below the other."""
        turn(self._row, wide)

    def show_facts(self, battery: str, parking: str) -> None:
        """Say these."""
        for button, words in ((self.battery, battery), (self.parking, parking)):
            button.show_words(words)

    def _fact(self, form: str, tip: str) -> WrappingButton:
        button = link_button()
        button.setProperty("link", "quiet")
        button.setObjectName(f"parkedFacts_{form}")
        button.setToolTip(tip)
        button.setAccessibleDescription(tip)
        button.clicked.connect(lambda: self.form_wanted.emit(form, ""))
        return button

    def _link(self, name: str, words: str) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.setProperty("link", True)
        return button

    def _saving(self, words: str, *kinds: tuple[str, str]) -> QPushButton:
        """A link whose menu has the kinds of file."""
        button = self._link("", words)
        menu = QMenu(button)
        for kind, text in kinds:
            action = menu.addAction(text)
            action.setObjectName(f"parkedSave_{kind}")
            action.triggered.connect(lambda _=False, kind=kind: self.save_wanted.emit(kind))
        button.setMenu(menu)
        return button
