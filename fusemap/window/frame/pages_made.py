"""The pages of the table that need the whole room, each made when it is first needed.

In: the document. Out: by its name each page, and what is asked on any of them as signals. Two are
stages of the job; from the others one comes back.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, cast

from PySide6.QtCore import QByteArray, QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.window.document import Document
from fusemap.window.frame.whole_page import WholePage
from fusemap.window.settings import Settings
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.window.chain.band_view import BandView
    from fusemap.window.details import Details
    from fusemap.window.findings.findings_list import FindingsList
    from fusemap.window.pages.print_preview import PrintPreview
    from fusemap.window.pages.tables_page import TablesPage
    from fusemap.window.parked.parked_view import ParkedView

STAGE_PAGES: Final = ("parked", "paper")
"""Pages that are stages of the job."""
WHOLE_PAGES: Final = ("findings", "details", "tables", "band", "joint", "compare")
"""Pages one comes back from."""


class PagesMade(QObject):
    """`pages` by their names; what stands on them is loaded and made when one is first shown."""

    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    sure_wanted = Signal()
    """What would make it sure is to be read now."""
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""
    place_wanted = Signal(str, str)
    """This place is to be shown: its kind and id."""
    lead_wanted = Signal(dict)
    """This lead is to be taken up, so that every slot shows its offer."""
    band_wanted = Signal(str)
    """The chart of this tap's fuse and cable is to be shown."""
    photo_wanted = Signal(str, str)
    """A photo is to be chosen, fitted or removed ("choose", "fit", "remove"): of which panel."""

    def __init__(
        self, document: Document, theme: Theme, settings: Settings, stack: QWidget
    ) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._settings = settings
        makers: dict[str, tuple[str, Callable[[], QWidget]]] = {
            "parked": ("", self._make_parked),
            "paper": ("", self._make_paper),
            "findings": (self.tr("Findings"), self._make_findings),
            "details": (self.tr("Details"), self._make_details),
            "tables": (self.tr("Tables and sources"), self._make_tables),
            "band": (self.tr("Fuse and cable"), self._make_band),
            "joint": (self.tr("Plan the rest"), self._make_joint),
            "compare": (self.tr("Compare plans"), self._make_compare),
        }
        self.pages = {
            name: WholePage(name, title, theme, make, stack)
            for name, (title, make) in makers.items()
        }

    def _make_findings(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.findings.findings_list import FindingsList

        made = FindingsList(self._document, self._theme)
        made.probe_wanted.connect(self.probe_wanted)
        made.sure_wanted.connect(self.sure_wanted)
        made.told_wanted.connect(self.told_wanted)
        made.place_wanted.connect(self.place_wanted)
        return made

    def _make_details(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.details import Details

        page = self.pages["details"]
        made = Details(self._document, self._theme)
        made.placing_wanted.connect(self.lead_wanted)
        made.band_wanted.connect(self.band_wanted)
        made.photo_wanted.connect(self.photo_wanted)
        made.named.connect(page.say_title)
        page.say_title(made.title)
        kept = self._settings.kept.splitters.get("details", "")
        made.split.restoreState(QByteArray.fromBase64(kept.encode()))
        return made

    def _make_tables(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.tables_page import TablesPage

        made = TablesPage(self._document, self._theme)
        made.place_wanted.connect(self.place_wanted)
        return made

    def _make_parked(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.parked.parked_view import ParkedView

        made = ParkedView(self._document, self._theme)
        made.probe_wanted.connect(self.probe_wanted)
        made.go_wanted.connect(self.place_wanted)
        return made

    def _make_band(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain.band_view import BandView

        return BandView(self._document, self._theme)

    def _make_paper(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.print_preview import PrintPreview

        return PrintPreview(self._document, self._theme.style, self._settings)

    def _make_joint(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.plan_page import PlanPage

        return PlanPage(self._document, self._theme)

    def _make_compare(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.compare_page import ComparePage

        return ComparePage(self._document, self._theme)

    def states(self) -> dict[str, bytes]:
        """Sizes that the user has dragged on any of them, to be kept."""
        if not self.pages["details"].made:
            return {}
        # loaded when it is first needed: the start stays short
        from fusemap.window.details import Details

        details = self.pages["details"].view
        assert isinstance(details, Details)
        return {"details": bytes(details.split.saveState().data())}


class WithPages(QWidget):
    """A widget that has these pages in it; each is made when it is first asked for."""

    _pages: dict[str, WholePage]

    @property
    def findings(self) -> "FindingsList":
        """The list of findings."""
        return cast("FindingsList", self._pages["findings"].view)

    @property
    def details(self) -> "Details":
        """The chosen thing in full, and the forms of the vehicle."""
        return cast("Details", self._pages["details"].view)

    @property
    def tables(self) -> "TablesPage":
        """The tables of the vehicle and those published."""
        return cast("TablesPage", self._pages["tables"].view)

    @property
    def parked(self) -> "ParkedView":
        """How long it may stand."""
        return cast("ParkedView", self._pages["parked"].view)

    @property
    def band(self) -> "BandView":
        """The chart of fuse and cable."""
        return cast("BandView", self._pages["band"].view)

    @property
    def paper(self) -> "PrintPreview":
        """What goes on paper."""
        return cast("PrintPreview", self._pages["paper"].view)
