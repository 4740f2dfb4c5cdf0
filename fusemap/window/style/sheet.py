"""The style sheet: what a palette cannot say of buttons, fields, tabs, menus and tables.

In: a theme and the program's font. Out: Qt's style sheet. Lengths are written as `[12]`, px of the
design at a font of 14 px, and become shares of each widget's own font; `[32!]` is the whole height
of a control with margin and border. A button says what it is by its property `kind` (`as_main`, …).
"""

import re
from importlib.resources import files
from typing import Final, TypeVar

from PySide6.QtCore import QDir
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QAbstractButton

from fusemap.window.style.colours import LIGHT, Theme
from fusemap.window.style.measures import DESIGN, TARGET, em

_SIGNS: Final = "fusemap.resources.signs"
_LENGTH: Final = re.compile(r"\[([\d.]+)([!+=]?)\]")
_ROLE: Final = re.compile(r"@(\w+)")
_EDGES: Final = {"!": 4, "+": 7, "=": 0}
"""What margin and border take of the height of a control [px], by the sign behind its length.

Qt adds three to a tool button by itself.
"""
_NAMES: Final = tuple(field for field in LIGHT.__struct_fields__ if field not in ("name", "style"))
Button = TypeVar("Button", bound=QAbstractButton)


def as_main(button: Button) -> Button:
    """Make it the main button of its pane; there is one in each."""
    return _kind(button, "main")


def as_plain(button: Button) -> Button:
    """Make it one of several again."""
    return _kind(button, "")


def as_dangerous(button: Button) -> Button:
    """Make it a button that takes something away."""
    return _kind(button, "danger")


def as_link(button: Button) -> Button:
    """Make it words to press: a lesser way on, beside the main button."""
    return _kind(button, "link")


def as_icon(button: Button) -> Button:
    """Make it an icon to press, with a ground only under the pointer."""
    return _kind(button, "icon")


def _kind(button: Button, kind: str) -> Button:
    if button.property("kind") != kind:
        button.setProperty("kind", kind)
        button.style().unpolish(button)
        button.style().polish(button)
    return button


def style_sheet(theme: Theme, font: QFont | None = None) -> str:
    """The sheet for a theme; `font` is the program's, the application's own where not given."""
    font = QFont() if font is None else font
    QDir.setSearchPaths("signs", [str(files(_SIGNS))])
    colours = _colours(theme)
    sheet = _ROLE.sub(lambda found: colours[found[1]], _SHEET)
    high, apart = em(font), QFontMetrics(font).height()
    return _LENGTH.sub(lambda found: _length(found, high, apart), sheet)


def _colours(theme: Theme) -> dict[str, str]:
    """Every role, and what a control is under the pointer: 6 % darker, lighter on dark ground; a
    main button that is pressed is darker still.
    """
    found = {name: str(getattr(theme, name)) for name in _NAMES}
    found["name"] = theme.name
    found["accent_down"] = theme.colour("accent").darker(120).name()
    for name in ("accent", "base", "window"):
        colour = theme.colour(name)
        found[f"{name}_over"] = (colour.lighter(118) if theme.dark else colour.darker(106)).name()
    return found


def _length(found: re.Match[str], high: int, apart: int) -> str:
    """A length as a share of the font; one with a sign is a whole control, never too low to press.

    Qt counts an em as the distance of two lines (`apart` [px]), the design as the height of the
    font (`high` [px]), and leaves away what is behind the point.
    """
    size = float(found[1]) * high / DESIGN
    if found[2]:
        size = max(float(TARGET), size) - _EDGES[found[2]]
    return f"{(size + 0.3) / apart:.3f}em"


_SHEET: Final = """
QToolTip { color: @text; background: @raised; border: 1px solid @frame; padding: [4]; }
QLabel[muted="true"] { color: @muted_text; }

QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }
QPushButton { color: @text; background: @base; border: 1px solid @frame; border-radius: [8];
    margin: 1px; padding: 0 [7]; min-height: [32!]; }
QPushButton:hover { background: @base_over; }
QPushButton:pressed, QPushButton:checked { background: @accent_tint; }
QPushButton:disabled { color: @muted_text; background: @sealed; border-color: @sealed; }
QPushButton:flat { background: transparent; border-color: transparent; }
QPushButton:flat:hover { background: @base_over; }
QPushButton[kind="main"], QPushButton:default { color: @accent_text; background: @accent;
    border-color: @accent; }
QPushButton[kind="main"] { font-weight: 600; }
QPushButton[kind="main"]:hover, QPushButton:default:hover { background: @accent_over;
    border-color: @accent_over; }
QPushButton[kind="main"]:pressed, QPushButton:default:pressed { background: @accent_down;
    border-color: @accent_down; }
QPushButton[kind="main"]:disabled, QPushButton:default:disabled { color: @muted_text;
    background: @sealed; border-color: @sealed; }
QPushButton[kind="danger"] { color: @stop; border-color: @stop; }
QPushButton[kind="danger"]:hover { background: @stop_tint; }
QPushButton[kind="danger"]:disabled { color: @muted_text; border-color: @sealed; }
QPushButton[kind="link"] { color: @accent; background: transparent; border-color: transparent;
    padding: 0 [4]; font-weight: 600; }
QPushButton[kind="link"]:hover { text-decoration: underline; }
QPushButton[kind="link"]:disabled { color: @muted_text; background: transparent; }
QPushButton#startFind { text-align: left; color: @muted_text; padding: 0 [10]; }
QPushButton[kind="row"] { border-color: transparent; min-height: [48!]; }
QPushButton[kind="row"]:hover { background: @base_over; }
QPushButton:focus, QPushButton[kind="row"]:focus { border: 2px solid @accent; margin: 0; }
QPushButton[kind="main"]:focus, QPushButton:default:focus { border: 2px solid @text; }

QToolButton { color: @text; background: transparent; border: 1px solid transparent;
    border-radius: [8]; margin: 1px; padding: 0 [4]; min-height: [32+]; }
QToolButton[kind="icon"] { padding: 0; min-width: [32+]; }
QToolButton[kind="link"] { color: @accent; font-weight: 600; }
QToolButton:hover { background: @window_over; }
QToolButton:pressed, QToolButton:checked, QToolButton:open { background: @accent_tint; }
QToolButton:checked { border-color: @accent; }
QToolButton:focus { border: 2px solid @accent; margin: 0; }
QToolButton:disabled { color: @muted_text; }
QToolButton[popupMode="1"] { padding-right: [20]; }
QToolButton::menu-button { border: none; width: [18]; }
QToolButton::menu-indicator { width: [10]; }

QLineEdit > QToolButton { min-height: 0; margin: 0; padding: 0; border: none; }
QLineEdit > QToolButton:hover { background: transparent; }

QCheckBox, QRadioButton { spacing: [6]; min-height: [32=]; }
QCheckBox:disabled, QRadioButton:disabled { color: @muted_text; }
QCheckBox::indicator, QRadioButton::indicator { width: [16]; height: [16]; background: @base;
    border: 1px solid @frame; margin: 1px; }
QCheckBox::indicator { border-radius: [4]; }
QRadioButton::indicator { border-radius: [9]; }
QCheckBox::indicator:hover, QRadioButton::indicator:hover { background: @accent_tint; }
QCheckBox::indicator:checked { background: @accent; border-color: @accent;
    image: url(signs:tick_@name.svg); }
QCheckBox::indicator:indeterminate { background: @accent; border-color: @accent;
    image: url(signs:some_@name.svg); }
QRadioButton::indicator:checked { background: @accent_text; border: [5] solid @accent;
    width: [8]; height: [8]; }
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled { background: @sealed;
    border-color: @frame; }
QCheckBox:focus, QRadioButton:focus { color: @accent; }
QCheckBox::indicator:focus { border: 2px solid @accent; margin: 0; }

QLineEdit, QPlainTextEdit { background: @base; color: @text; border: 1px solid @frame;
    placeholder-text-color: @muted_text; border-radius: [8]; margin: 1px; padding: 0 [6]; }
QLineEdit { min-height: [36!]; }
QLineEdit:focus, QPlainTextEdit:focus { border: 2px solid @accent; margin: 0; }
QLineEdit:disabled, QPlainTextEdit:disabled { border-color: @line; background: @window;
    color: @muted_text; }
QLineEdit[wrong="true"], QPlainTextEdit[wrong="true"] {
    background: @stop_tint; color: @text; border: 2px solid @stop; }
QComboBox, QAbstractSpinBox { background: @base; color: @text; border: 1px solid @frame;
    border-radius: [8]; margin: 1px; padding: 0 0 0 [4]; min-height: [36!]; }
QAbstractSpinBox { padding-left: 0; }
QComboBox:hover, QAbstractSpinBox:hover { background: @base_over; }
QComboBox:focus, QAbstractSpinBox:focus, QComboBox:on { border: 2px solid @accent; margin: 0; }
QAbstractSpinBox[wrong="true"] { background: @stop_tint; border: 2px solid @stop; margin: 0; }
QComboBox:disabled, QAbstractSpinBox:disabled { background: @window; color: @muted_text;
    border-color: @line; }
QComboBox::drop-down { border: none; width: [16]; }
QComboBox::down-arrow { image: url(signs:down_@name.svg); width: [14]; height: [14]; }
QComboBox QAbstractItemView { background: @base; color: @text; border: 1px solid @line;
    selection-background-color: @accent_tint; selection-color: @text; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: none; width: [20];
    background: transparent; }
QAbstractSpinBox::up-arrow { image: url(signs:up_@name.svg); width: [12]; height: [12]; }
QAbstractSpinBox::down-arrow { image: url(signs:down_@name.svg); width: [12]; height: [12]; }
QAbstractSpinBox QLineEdit, QComboBox QLineEdit { border: none; background: transparent;
    margin: 0; padding: 0; min-height: 0; }
QAbstractSpinBox QLineEdit { padding-left: [6]; }

QTabBar::tab { color: @muted_text; background: transparent; border: none;
    border-bottom: 3px solid transparent; padding: 0 [8]; min-height: [26!]; }
QTabBar::tab:hover { color: @text; background: @window_over; }
QTabBar::tab:selected { color: @text; border-bottom-color: @accent; }
QTabBar::tab:focus { color: @accent; }
QTabWidget::pane { border: none; border-top: 1px solid @line; }

QMenu { background: @base; color: @text; border: 1px solid @line; padding: [4]; }
QMenu::item { padding: 0 [24] 0 [12]; min-height: [30=]; border-radius: [4]; }
QMenu::item:selected { background: @accent_tint; color: @text; }
QMenu::item:disabled { color: @muted_text; }
QMenu::separator { height: 1px; background: @line; margin: [4] [8]; }
QMenu::icon { padding-left: [8]; }

QToolBar { background: @base; border: none; border-bottom: 1px solid @line;
    spacing: [4]; padding: [2]; }
QToolBar::separator { background: @line; width: 1px; margin: [4]; }
QMainWindow::separator { background: @line; width: 1px; height: 1px; }
QSplitter::handle:horizontal { width: 5px; background: qlineargradient(x1:0, y1:0, x2:1, y2:0,
    stop:0.39 @window, stop:0.4 @frame, stop:0.6 @frame, stop:0.61 @window); }
QSplitter::handle:vertical { height: 5px; background: qlineargradient(x1:0, y1:0, x2:0, y2:1,
    stop:0.39 @window, stop:0.4 @frame, stop:0.6 @frame, stop:0.61 @window); }
QSplitter::handle:hover { background: @accent; }
/* the lid's lane is empty; under the pointer it shows that it can be dragged */
QSplitter#lidSplitter::handle { background: transparent; }
QSplitter#lidSplitter::handle:horizontal { width: [22]; background: transparent; }
QSplitter#lidSplitter::handle:vertical { height: [11]; background: transparent; }
QSplitter#lidSplitter::handle:hover { background: @raised; }
QHeaderView::section { background: @window; color: @muted_text; border: none;
    border-bottom: 1px solid @line; padding: [4] [8]; min-height: [24]; }
QTableCornerButton::section { background: @window; border: none; border-bottom: 1px solid @line; }
QTableView { gridline-color: @line; alternate-background-color: @window; }

QScrollBar:vertical { background: transparent; width: [12]; margin: 0; }
QScrollBar:horizontal { background: transparent; height: [12]; margin: 0; }
QScrollBar::handle { background: @frame; border: [3] solid @window; border-radius: [6]; }
QScrollBar::handle:vertical { min-height: [28]; }
QScrollBar::handle:horizontal { min-width: [28]; }
QScrollBar::handle:hover { background: @text; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }

QWidget#shelf { background: @base; border-top: 1px solid @line; }
QFrame#shelfOver { background: @base; border: 1px solid @frame; border-radius: [10]; }
QFrame#messageBar[kind="stop"] { background: @stop_tint; border: 1px solid @stop;
    border-radius: [8]; }
QFrame#messageBar QLabel#messageText { color: @text; }
QFrame#marksBanner { background: @base; border: 1px solid @frame; border-radius: [8]; }
QFrame#standingMark { background: @stop_tint; border-bottom: 2px solid @stop; }
QFrame#messageBar[kind="note"] { background: @note_tint; border: 1px solid @note;
    border-radius: [8]; }
"""
