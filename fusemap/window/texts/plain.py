"""Text from a vehicle shown as it is: signs that look like markup are only signs.

Qt takes a text with a tag in it for rich text and would draw what the tag says, or fetch a picture
from this computer. What people name their vehicles and slots must never do that.
"""

from html import escape

from PySide6.QtGui import Qt
from PySide6.QtWidgets import QLabel, QSizePolicy


def plain_tip(text: str) -> str:
    """A tooltip that says just this.

    >>> plain_tip("12 V socket"), plain_tip("<b>Radio</b>")
    ('12 V socket', '<qt>&lt;b&gt;Radio&lt;/b&gt;</qt>')
    """
    if not Qt.mightBeRichText(text):
        return text
    return f"<qt>{escape(text, quote=False).replace(chr(10), '<br>')}</qt>"


def plain_label(name: str = "", text: str = "", *, wrap: bool = True) -> QLabel:
    """A label that says just this."""
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setObjectName(name)
    label.setWordWrap(wrap)
    label.setText(text)
    return label


def copyable_label(name: str, *, strong: bool = False) -> QLabel:
    """A label that says just this, in bold where it is `strong`; its text can be marked."""
    label = plain_label(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    if strong:
        embolden(label)
    return label


def embolden(label: QLabel) -> None:
    """A label's text in bold."""
    font = label.font()
    font.setBold(True)
    label.setFont(font)
