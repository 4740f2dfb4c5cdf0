"""A button that opens the page of the help about what stands beside it."""

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QToolButton

from fusemap.text import Style
from fusemap.window.help import help_pages


class LearnButton(QToolButton):
    """“Learn”: opens one page in the window that it stands in."""

    def __init__(self, page: str, style: Style) -> None:
        super().__init__()
        self.page = page
        title = help_pages.page(page, style.language).title
        self.setObjectName(f"learn_{page}")
        self.setText(QCoreApplication.translate("LearnButton", "Learn"))
        self.setToolTip(title)
        self.setAccessibleName(
            QCoreApplication.translate("LearnButton", "Learn: {title}").format(title=title)
        )
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(self._open)

    def _open(self) -> None:
        tools = getattr(self.window(), "help", None)
        if tools is not None:
            tools.show_page(self.page)
