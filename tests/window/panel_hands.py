"""What a user sees at the panels' pages, for their tests."""

from PySide6.QtWidgets import QLabel

from fusemap.units import NARROW_SPACE
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.panel_view import PanelView


def shown(pages: PanelPages) -> PanelView:
    """The panel that is looked at."""
    view = pages.current_view()
    assert view is not None
    return view


def hint(pages: PanelPages) -> str:
    """The line below the panel."""
    label = pages.findChild(QLabel, f"panelHint_{shown(pages).panel_id}")
    return str(label.text()).replace(NARROW_SPACE, " ")
