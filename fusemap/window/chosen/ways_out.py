"""At the foot of the chosen thing: one main button with the best way out, and what else there is.

In: the findings about what is chosen, worst first, or the first fact that is not known. Out: one
step of the history; `probe_wanted` and `told_wanted` where an answer is missing, `all_wanted` for
every way with its effects. Ways are tried a moment after the last change: until then three dots.
"""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from fusemap.text import Argument, many, run_on, say
from fusemap.window.chosen.links import LinkButton, MainButton
from fusemap.window.chosen.measures import label, sized, small
from fusemap.window.document import Document
from fusemap.window.parts.later import Later
from fusemap.window.parts.layouts import turn
from fusemap.window.style.measures import px
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme
from fusemap.window.trying import Trying

if TYPE_CHECKING:
    from fusemap.checks.finding import Finding
    from fusemap.fixes.after import After
    from fusemap.fixes.trial import Trial
    from fusemap.window.chosen.facts import Fact

REST_MS = 150
"""Nothing was changed or chosen for so long before ways out are tried [ms]."""
DOTS = "···"
"""What stands where something is still reckoned."""
TRIED = 3
"""So many findings are looked at for one that has a way out."""


class WaysOut(QWidget):
    """The main button with what it leads to, the next best way, the way to all of them."""

    probe_wanted = Signal(str, str, str)
    told_wanted = Signal(str, str)
    all_wanted = Signal(object)
    """Every way out of this finding is to be shown."""
    fact_asked = Signal(object)
    changed = Signal()
    """It needs another height."""
    keyboard_left = Signal()
    """What has the keyboard goes away: it is to stay with the chosen thing."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document, self._theme = document, theme
        self._findings: tuple[Finding, ...] = ()
        self._fact: Fact | None = None
        self._brief = False
        self._rest: tuple[Trial, ...] = ()
        self._second_words = ""
        self._do: Callable[[], object] = lambda: None
        self._second: Callable[[], object] = lambda: None
        self._shown: Finding | None = None
        self._waiting = False
        """What is shown is of the vehicle before the last edit."""
        self.setObjectName("chosenWays")
        self.setAccessibleName(self.tr("Ways out"))
        self.heading = label("chosenWaysAbout", small(self.font()), muted=True)
        self.main = MainButton("chosenMain")
        self.main.clicked.connect(lambda: self._press(self._do))
        self.mark = QLabel()
        self.result = label("chosenResult", sized(self.font(), 14, strong=True))
        self.second = LinkButton("chosenSecond", self.tr("Ways out"))
        self.second.set_flush()
        self.second.clicked.connect(lambda: self._press(self._second))
        self.all = LinkButton("chosenAllWays")
        self.all.set_flush()
        self.all.clicked.connect(lambda: self.all_wanted.emit(self._shown))
        self._later = Later(self._try, self)
        self._later.setInterval(REST_MS)
        self._trying = Trying(document, self)
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(self, 8), 0, 0)
        column.setSpacing(px(self, 4))
        column.addWidget(self.heading)
        beside = QHBoxLayout()
        beside.setSpacing(px(self, 6))
        beside.addWidget(self.mark)
        beside.addWidget(self.result, 1)
        beside.addStretch(0)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._row.setSpacing(px(self, 8))
        self._row.addWidget(self.main)
        self._row.addLayout(beside, 1)
        column.addLayout(self._row)
        others = QHBoxLayout()
        others.setSpacing(px(self, 16))
        others.addWidget(self.second)
        others.addWidget(self.all)
        others.addStretch(1)
        column.addLayout(others)

    # --- what is asked --------------------------------------------------------------------------

    def show_for(
        self, findings: "Sequence[Finding]", fact: "Fact | None", *, brief: bool, holds: str
    ) -> None:
        """Show the way out of the worst of these findings, else what settles this fact, else that
        there is nothing to do. `brief` says that there is one tap only, so that it needs no name.
        """
        self._waiting = False
        same = tuple(findings) == self._findings and fact == self._fact and brief == self._brief
        if same and self.heading.text():
            if self._findings:
                self._later.start()  # what a way leads to may be another, though the finding is not
            return
        self._findings, self._fact, self._brief = tuple(findings), fact, brief
        self._shown = None
        self._trying.stop()
        if self._findings:
            self.say(self.tr("Looking for ways out {dots}").format(dots=DOTS))
            self._later.start()
        elif fact is not None:
            self._ask(fact)
        else:
            self.say(holds)

    def wait(self) -> None:
        """What it is shown for is reckoned anew: until that is told nothing can be pressed."""
        self._waiting = True
        self._trying.stop()

    def showEvent(self, event: QShowEvent) -> None:
        """Try what was not tried while out of view."""
        super().showEvent(event)
        if self._findings and self._shown is None:
            self._later.start()

    def show_one(self, words: str, do: Callable[[], object]) -> None:
        """One thing to do that needs no trial; nothing without words."""
        self.forget()
        self.say("")
        if words:
            self._offer(words, do)

    def forget(self) -> None:
        """What was shown is no longer meant."""
        self._findings, self._fact, self._shown = (), None, None
        self._waiting = False
        self._later.stop()
        self._trying.stop()

    def say(self, words: str) -> None:
        """Words alone, and nothing to push."""
        self.heading.setText(words)
        self.heading.setVisible(bool(words))
        self._rest, self._second_words = (), ""
        if any(each.hasFocus() for each in (self.main, self.second, self.all)):
            # else Qt hands it to whatever comes next in the window, to be pushed unawares
            self.keyboard_left.emit()
        for each in (self.main, self.mark, self.result, self.second, self.all):
            each.hide()
        self.changed.emit()

    def _turn(self) -> None:
        """What it leads to stands beside the button where both are short, else below it."""
        wide = self.result.fontMetrics().horizontalAdvance(self.result.text())
        beside = self.main.wide() + wide + px(self, 40) < self.width()
        turn(self._row, beside)
        self.main.setMaximumWidth(self.main.wide())
        # words that wrap ask for less room than they need in one line
        self.main.setMinimumWidth(self.main.wide() if beside else 0)
        self._share_line()
        self.changed.emit()

    def _share_line(self) -> None:
        """The next best way stands there where it fits beside the way to all others, in one line.

        Else it is one of those.
        """
        rest = len(self._rest)
        wide = self.all.fontMetrics().horizontalAdvance
        names = (self._second_words, self._more_words(rest - 1))
        fits = bool(rest) and sum(map(wide, names)) + px(self, 40) < self.width()
        self.second.setVisible(fits)
        self.all.show_words(self._more_words(rest - 1 if fits else rest))
        for each, high in ((self.second, fits), (self.all, True)):
            each.setFixedWidth(min(self.width(), wide(each.words()) + px(self, 6)) if high else 0)

    def _more_words(self, more: int) -> str:
        words = say("All ways with what they do")
        if more > 0:
            words = many("{n} more way", "{n} more ways", more)
        return self._theme.style.show(words)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Beside or below depends on the width."""
        super().resizeEvent(event)
        self._turn()

    def _ask(self, fact: "Fact") -> None:
        show = self._theme.style.show
        self.say(self.tr("Nothing here is past a limit. Next:"))
        words = {
            "probe": say("Measure it: {what}", what=fact.label),
            "answer": say("Answer it: {what}", what=fact.label),
            "form": say("Enter it: {what}", what=fact.label),
        }[fact.ask or "form"]
        self._offer(show(words), lambda: self.fact_asked.emit(fact))

    def _offer(self, words: str, do: Callable[[], object]) -> None:
        self.main.show_words(words)
        self.main.show()
        self._do = do
        self._turn()

    def _press(self, do: Callable[[], object]) -> None:
        if not self._waiting:
            do()

    # --- tried and shown ------------------------------------------------------------------------

    def _try(self) -> None:
        if self.isVisible() and self._findings:
            self._try_nth(0)

    def _try_nth(self, n: int) -> None:
        """Try the ways of the worst finding that has any."""
        finding = self._findings[n]

        def told(found: "tuple[Trial, ...]") -> None:
            ways = [each for each in found if each.effect is not None or each.fix.answers]
            if ways:
                self._show(finding, ways)
            elif n + 1 < min(TRIED, len(self._findings)):
                self._try_nth(n + 1)
            else:
                self._show_none()

        self._trying.ask(finding, told)

    def _show_none(self) -> None:
        self._shown = self._findings[0]
        self.say(self._theme.style.show(self._findings[0].what))
        self.result.setText("")
        self._show_all()

    def _show(self, finding: "Finding", ways: "list[Trial]") -> None:
        self.say(self._theme.style.show(finding.what))
        self._shown = finding
        best, rest = ways[0], ways[1:]
        self._offer(self._words(best), self._doer(best))
        result = self._after(best, finding)
        size = 12 if best.fix.answers else 14
        self.result.setFont(sized(self.font(), size, strong=not best.fix.answers))
        if best.fix.answers:
            self.result.setText(self._theme.style.show(best.fix.title))
        elif result is not None:
            words = say("to {share}", share=self._share(result))
            self.result.setText(self._theme.style.show(words))
            size = px(self, 18)
            icon = verdict_icon(result.verdict, self._theme, size)
            self.mark.setPixmap(icon.pixmap(QSize(size, size)))
            self.mark.show()
        else:
            self.result.setText("")
        self.result.setVisible(bool(self.result.text()))
        self.main.setAccessibleDescription(self.result.text())
        self._rest = tuple(rest)
        if rest:
            self._make_second(finding, rest[0])
        self._show_all()

    def _make_second(self, finding: "Finding", trial: "Trial") -> None:
        result = self._after(trial, finding)
        words: Argument = trial.fix.short if self._brief and trial.fix.short else trial.fix.title
        if result is not None:
            words = run_on(words, self._share(result), between=", ")
        self._second_words = self._theme.style.show(words)
        self.second.show_words(self._second_words)
        self._second = self._doer(trial)

    def _show_all(self) -> None:
        """The link to all of them, where there are more than stand here."""
        self.all.setVisible(self._shown is not None)
        self._turn()

    def _after(self, trial: "Trial", finding: "Finding") -> "After | None":
        # it comes with what reckons, which the window starts without
        from fusemap.fixes.after import after

        vehicle = self._document.vehicle
        return None if trial.effect is None else after(vehicle, trial.effect, finding)

    def _share(self, result: "After") -> Argument:
        # it comes with what reckons, which the window starts without
        from fusemap.window.chosen.stations import share_words

        return share_words(result.known, result.most)

    def _words(self, trial: "Trial") -> str:
        fix = trial.fix
        if fix.read is not None:
            return self.tr("Measure it now")
        if fix.hunt:
            return self.tr("Find what drains it")
        if fix.tell is not None:
            return self.tr("Say it")
        return self._theme.style.show(fix.short if self._brief and fix.short else fix.title)

    def _doer(self, trial: "Trial") -> Callable[[], object]:
        fix = trial.fix

        def do() -> None:
            if fix.read is not None:
                self.probe_wanted.emit(*fix.read, fix.state or "")
            elif fix.hunt:
                self.probe_wanted.emit("hunt", "", "")
            elif fix.tell is not None:
                self.told_wanted.emit(*fix.tell)
            elif fix.edit is not None:
                self._document.apply(self._theme.style.show(fix.title), fix.edit)

        return do
