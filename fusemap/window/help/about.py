"""The sheet of shortcuts, and what the program is with the cautions that go with it."""

from html import escape

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from fusemap import tables
from fusemap.text import Style, Text
from fusemap.window.shortcuts import shortcut_rows

translate = QCoreApplication.translate


def show_shortcuts(parent: QWidget) -> QDialog:
    """Open the sheet of keyboard shortcuts, made from the table of actions."""
    lines: list[str] = []
    last = ""
    for menu, text, keys in shortcut_rows():
        if menu != last:
            lines.append(f"<tr><td colspan=2><b>{escape(menu)}</b></td></tr>")
            last = menu
        lines.append(f"<tr><td>{escape(text)}&nbsp;&nbsp;</td><td>{escape(keys)}</td></tr>")
    body = f"<table cellspacing=0 cellpadding=3>{''.join(lines)}</table>"
    return _page(parent, "shortcutSheet", translate("Dialogs", "Keyboard shortcuts"), body)


def show_about(parent: QWidget, style: Style) -> QDialog:
    """Open what the program is, and the cautions of the work it is for."""
    # loaded when it is first needed: the start stays short
    from importlib.metadata import version

    points = "".join(f"<li>{escape(text)}</li>" for text in cautions(style))
    head = translate("Dialogs", "Maps a vehicle's fuse panel and plans accessories on it.")
    follow = translate(
        "Dialogs", "Every number says how it came about and which published figure it rests on."
    )
    title = translate("Dialogs", "About fusemap, and cautions")
    body = (
        f"<h3>fusemap {escape(version('fusemap'))}</h3><p>{escape(head)}</p><p>{escape(follow)}</p>"
        f"<h4>{escape(translate('Dialogs', 'Before you touch the vehicle'))}</h4><ul>{points}</ul>"
    )
    return _page(parent, "aboutPage", title, body)


def cautions(style: Style) -> tuple[str, ...]:
    """The cautions that hold for every job."""
    always = (caution for caution in tables.cautions() if caution.when == "always")
    return tuple(style.show(Text(caution.text)) for caution in always)


def _page(parent: QWidget, key: str, title: str, body: str) -> QDialog:
    dialog = QDialog(parent)
    dialog.setObjectName(key)
    dialog.setWindowTitle(title)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    text = QTextBrowser()
    text.setObjectName(f"{key}Text")
    text.setAccessibleName(title)
    text.setHtml(body)
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.reject)
    column = QVBoxLayout(dialog)
    column.addWidget(text)
    column.addWidget(buttons)
    em = dialog.fontMetrics().height()
    dialog.resize(em * 34, em * 32)
    dialog.show()
    return dialog
