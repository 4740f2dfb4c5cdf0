"""The files one may go on with: each with how far its job is, and what holds of it.

In: paths. Out: rows to be pressed. What is said of a file is read from it one file at a time, a
moment after the page was painted; a file that cannot be read says nothing here, and why when it is
opened. What was found stays until the file is written again.
"""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from PySide6.QtCore import QDate, QLocale, QObject, QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget
from shiboken6 import isValid

from fusemap.errors import FusemapError
from fusemap.text import Style
from fusemap.window.frame.rail_buttons import stage_name
from fusemap.window.parts.cut_label import Cut
from fusemap.window.parts.later import Later
from fusemap.window.probe.kept_file import written_at
from fusemap.window.settings import state_folder
from fusemap.window.style.icons import icon
from fusemap.window.style.letters import letters
from fusemap.window.style.measures import px
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.job import Cell
    from fusemap.text import Text

REST_MS: Final = 250
"""So long between two files: whoever opens one does not wait for the others [ms]."""
NAMED: Final = 200
"""So wide is the name of a vehicle, that what is said of each begins below the other [px of the
design]."""
MOST_BYTES: Final = 4_000_000
"""A file larger than this is not looked into before it is opened."""


class Looked(Struct, frozen=True):
    """What a file says of its job: its stage, whether it holds, how long it stands.

    `left` is said before all of it: the fuse that a hunt, a check, a probing round left out.
    """

    stage: str
    state: "object"
    holds: "Cell"
    days: "Cell"
    left: "Text | None" = None


def look_into(path: Path) -> Looked | None:
    """How far a job is and what holds of it; `None` where the file cannot be read."""
    # loaded after the page was painted: with it comes all that reads and reckons
    from fusemap.assess import assess
    from fusemap.checks import findings
    from fusemap.files import read_vehicle
    from fusemap.job import Job, days_cell, holds_cell, no_days_cell, stage_states
    from fusemap.text import run_on
    from fusemap.window.hunt import left_out as by_hunt
    from fusemap.window.probe import taken_out
    from fusemap.window.probe.kept import KeptHunt

    try:
        if path.stat().st_size > MOST_BYTES:
            return None
        vehicle = read_vehicle(path)
        a = assess(vehicle)
        job = Job(vehicle, a, tuple(findings(vehicle, a)))
    except (FusemapError, OSError):
        return None
    standing = None
    try:
        standing = job.look_ahead()
        days = days_cell(standing)
    except FusemapError as error:
        days = no_days_cell(error.text)
    states = stage_states(job, standing)
    open_ = next((each for each in states if not each.done and each.words is not None), states[-1])
    folder, now = state_folder(), datetime.now()
    hunted = by_hunt.left_out(KeptHunt(folder, path, ""), vehicle, now)
    out = (hunted, taken_out.left_out(folder, path, vehicle))
    named = [each for each in out if each is not None]
    left = run_on(*named, between=". ") if named else None
    return Looked(open_.stage, open_.words, holds_cell(job), days, left)


class Row(QPushButton):
    """A thing to go on with: a sign, its name, what is said of it, and a tip that leads on."""

    def __init__(self, theme: Theme, key: str, name: str) -> None:
        super().__init__()
        self.setObjectName(key)
        self.setProperty("kind", "row")
        self.setAccessibleName(name)
        self.name = self._label("recentName", strong=True)
        self.name.setText(name)
        row = self.row = QHBoxLayout(self)
        edge = px(self, 20)
        row.setContentsMargins(edge, px(self, 4), edge, px(self, 4))
        row.setSpacing(px(self, 16))
        row.addWidget(self._sign(theme, "car", 22))
        self._tip = self._sign(theme, "on", 14)
        self.name.setFixedWidth(px(self, NAMED))

    def _sign(self, theme: Theme, name: str, size: int) -> QLabel:
        sign, wide = QLabel(), px(self, size)
        sign.setPixmap(icon(name, theme.colour("muted_text"), wide).pixmap(QSize(wide, wide)))
        sign.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return sign

    def lay_out(self, parts: Sequence[tuple[QWidget, int]], *last: QWidget) -> None:
        """These beside the sign, each with its share of the width; the last as wide as needed."""
        self.row.addWidget(self.name)
        for part, share in parts:
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            # where there is little room the end of a line is not seen; the tooltip has it all
            part.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
            self.row.addWidget(part, share)
        for part in (*last, self._tip):
            self.row.addWidget(part)
        self.setMinimumHeight(self.fontMetrics().height() * 2 + px(self, 8))

    def _label(self, key: str, *, strong: bool = False, muted: bool = False) -> QLabel:
        made = Cut(key)
        made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        made.setProperty("muted", muted)
        made.setFont(letters(self, strong=strong))
        made.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return made


class SaidRow(Row):
    """A vehicle of which a few words say what it is."""

    def __init__(self, theme: Theme, key: str, name: str, words: str, more: str = "") -> None:
        super().__init__(theme, key, name)
        said = self._label("recentWords", muted=True)
        said.setText(words)
        self.setAccessibleDescription(more or words)
        self.setToolTip(plain_tip(more or words))
        self.lay_out(((said, 1),))


class RecentRow(Row):
    """A file: its name, its stage, two verdicts once they are known, the day it was written."""

    def __init__(self, path: Path, theme: Theme, *, with_folder: bool) -> None:
        name = f"{path.stem} ({path.parent.name})" if with_folder else path.stem
        super().__init__(theme, f"recent_{path.stem}", name)
        self.path = path
        self.setToolTip(plain_tip(str(path)))
        self.stage = self._label("recentStage", muted=True)
        self.holds, self.days = _Verdict("recentHolds"), _Verdict("recentDays")
        self.when = self._label("recentWhen", muted=True)
        self.when.setText(_written(path, theme.style))
        parts = ((self.stage, 3), (self.holds, 4), (self.days, 5))
        self.lay_out(parts, self.when)

    def say(self, looked: Looked, theme: Theme) -> None:
        """Say what was found in the file."""
        stage = f"{stage_name(looked.stage)}: {theme.style.show(looked.state)}"  # type: ignore[arg-type]
        if looked.left is not None:
            stage = f"⚠ {theme.style.show(looked.left)}"
            self.stage.setFont(letters(self, strong=True))
            self.stage.setProperty("muted", False)
            self.stage.style().polish(self.stage)
        self.stage.setText(stage)
        self.holds.say(looked.holds, theme)
        self.days.say(looked.days, theme)
        told = (self.stage.text(), self.holds.told, self.days.told)
        self.setAccessibleDescription(". ".join(filter(None, told)))
        self.setToolTip(plain_tip("\n".join((str(self.path), *filter(None, told)))))


class _Verdict(QWidget):
    """A sign, and a figure with what it is about."""

    def __init__(self, key: str) -> None:
        super().__init__()
        self.setObjectName(key)
        self.sign, self.words = QLabel(), Cut(f"{key}Words")
        self.words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.told = ""
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(self, 8))
        row.addWidget(self.sign)
        row.addWidget(self.words, 1)

    def say(self, cell: "Cell", theme: Theme) -> None:
        """Sign and figure; its title where there is no figure. The whole of it is in `told`."""
        show = theme.style.show
        figure, title, note = (show(each) for each in (cell.figure, cell.title, cell.note))
        size = px(self, 18)
        icon = verdict_icon(cell.verdict, theme, size)
        self.sign.setPixmap(icon.pixmap(QSize(size, size)))
        self.words.setText(", ".join(filter(None, (figure, title))))
        self.told = ": ".join(filter(None, (title, figure)))
        if note:
            self.told = f"{self.told} ({note})"


class RecentLooks(QObject):
    """Looks into the files of rows, one after the other."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._known: dict[tuple[Path, float, float], Looked | None] = {}
        self._rows: list[RecentRow] = []
        self._theme: Theme | None = None
        self._next = Later(self._look, self)
        self._next.setInterval(REST_MS)

    def take(self, rows: list[RecentRow], theme: Theme) -> None:
        """Say of each of these what its file says, once they are painted."""
        self._rows, self._theme = list(rows), theme
        self._next.stop()
        if rows:
            self._next.start_when_painted(rows[0])

    def _look(self) -> None:
        self._rows = [row for row in self._rows if isValid(row)]
        if not self._rows or self._theme is None:
            return
        row = self._rows[0]
        if not row.isVisible():
            return
        self._rows.pop(0)
        try:
            key = (row.path, row.path.stat().st_mtime, written_at(state_folder(), row.path))
        except OSError:
            key = (row.path, 0.0, 0.0)
        if key not in self._known:
            self._known[key] = look_into(row.path)
        looked = self._known[key]
        if looked is not None:
            row.say(looked, self._theme)
        self._next.start()


def _written(path: Path, style: Style) -> str:
    """The day a file was last written; empty where it cannot be asked."""
    try:
        when = datetime.fromtimestamp(path.stat().st_mtime).date()
    except OSError:
        return ""
    day = QDate(when.year, when.month, when.day)
    return QLocale(style.language).toString(day, QLocale.FormatType.ShortFormat)
