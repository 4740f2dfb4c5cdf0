"""Sizes, letters, bars and controls of the window's style."""

from itertools import combinations
from typing import Any, get_args

import pytest
from PySide6.QtCore import QEvent, QPoint, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QHelpEvent, QIcon, QImage, QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QComboBox,
    QDialog,
    QLabel,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QStyleOptionComboBox,
    QToolButton,
    QToolTip,
    QWidget,
)

from fusemap.assess.verdict import Verdict
from fusemap.window.parts.choice import Choice
from fusemap.window.style import bars, icons, letters, measures, sheet
from fusemap.window.style.colours import LIGHT, THEMES, VERDICT_ROLES, Theme
from fusemap.window.style.signs import draw_verdict, verdict_icon
from fusemap.window.style.theme import apply_theme
from tests.window.seeing import apart

by_name = pytest.mark.parametrize("look", THEMES, ids=lambda look: look.name)


def sized(pixels: int) -> QFont:
    font = QFont()
    font.setPixelSize(pixels)
    return font


# --- colours --------------------------------------------------------------------------------------


def test_the_distance_is_that_of_known_lab_values() -> None:
    # L*a*b* of sRGB's corners: white 100 0 0, black 0 0 0, and red 53.24 80.09 67.20 (from memory),
    # so that red is 104.55 from the grey of its lightness.
    assert apart("#ffffff", "#000000", "all colours") == pytest.approx(100.0, abs=0.01)
    assert apart("#ff0000", "#7f7f7f", "all colours") == pytest.approx(104.55, abs=0.1)


@by_name
@pytest.mark.parametrize("seeing", ["all colours", "no red", "no green"])
def test_verdicts_are_told_apart_by_colour_in_every_way_of_seeing_red_and_green(
    look: Theme, seeing: str
) -> None:
    """So far apart as the design wants them; their shapes tell them apart besides."""
    judged = [look.good, look.caution, look.stop]
    for one, other in combinations(judged, 2):
        assert apart(one, other, seeing) >= 14, (one, other)
    for one in judged:
        assert apart(one, look.accent, seeing) >= 34


def test_every_verdict_has_a_colour() -> None:
    assert set(VERDICT_ROLES) == set(get_args(Verdict))
    assert len(set(VERDICT_ROLES.values())) == 4


# --- sizes ----------------------------------------------------------------------------------------


def test_at_the_font_of_the_design_sizes_are_those_of_the_design(qapp: Any) -> None:
    font = sized(14)
    assert [measures.px(font, each) for each in measures.GRID] == list(measures.GRID)
    for part in get_args(measures.Part):
        assert measures.height(font, part) == measures.HEIGHTS[part]


@pytest.mark.parametrize("pixels", [7, 10, 14, 28])
def test_nothing_to_press_is_lower_than_28_px(qapp: Any, pixels: int) -> None:
    for part in ("button", "icon", "input", "row", "stage", "chip"):
        assert measures.height(sized(pixels), part) >= measures.TARGET  # type: ignore[arg-type]
    assert measures.height(sized(28), "button") == 64


def test_there_are_three_sizes_of_type_in_two_weights(qapp: Any) -> None:
    base = sized(14)
    made = [QFontInfo(each(base)).pixelSize() for each in (letters.small, letters.body)]
    assert [*made, QFontInfo(letters.figure(base)).pixelSize()] == [12, 14, 24]
    for each in (letters.small, letters.body, letters.figure):
        weights = [each(base, strong=strong).weight() for strong in (False, True)]
        assert weights == [QFont.Weight.Normal, QFont.Weight.DemiBold]
        assert "tnum" in [bytes(tag.toString()).decode() for tag in each(base).featureTags()]


def test_letters_are_those_of_their_widget(qtbot: Any) -> None:
    label = QLabel("Wiper, rear")
    qtbot.addWidget(label)
    label.setFont(sized(28))
    assert QFontInfo(letters.letters(label)).pixelSize() == 28
    assert letters.letters(label, letters.FIGURE, strong=True) == letters.figure(label)
    assert letters.letters(label, letters.SMALL) == letters.small(sized(28))
    made = letters.letters(label)
    made.setPixelSize(5)
    assert QFontInfo(letters.letters(label)).pixelSize() == 28, "each has a font of its own"


def test_small_words_stay_large_enough_to_read(qapp: Any) -> None:
    assert QFontInfo(letters.small(sized(12))).pixelSize() == 11
    assert QFontInfo(letters.small(sized(9))).pixelSize() == 9
    assert QFontInfo(letters.small(sized(28))).pixelSize() == 24


# --- bars and marks -------------------------------------------------------------------------------

WIDE, HIGH = 100, 8


def bar(look: Theme, known: float | None, most: float, verdict: Verdict = "holds") -> list[float]:
    """How much of each tenth of a bar's length is in the bar's colour, 0…1."""
    image = QImage(WIDE + 20, HIGH + 20, QImage.Format.Format_ARGB32)
    image.fill(look.colour("base"))
    painter = QPainter(image)
    role = VERDICT_ROLES[verdict] if verdict in ("fails", "may_not_hold") else "load"
    bars.draw_load_bar(painter, QRectF(10, 10, WIDE, HIGH), known, most, look, role)
    painter.end()
    ink = look.colour(role)
    rows = range(13, 10 + HIGH - 3)
    return [
        sum(near(image.pixelColor(10 + 10 * tenth + x, y), ink) for x in range(10) for y in rows)
        / (10 * len(rows))
        for tenth in range(10)
    ]


def near(one: QColor, other: QColor) -> bool:
    return all(
        abs(a - b) < 40
        for a, b in zip(one.getRgb()[:3], other.getRgb()[:3], strict=True)  # type: ignore[index]
    )


@by_name
def test_a_bar_is_solid_for_what_is_known_and_hatched_for_what_may_be(look: Theme) -> None:
    found = bar(look, 0.3, 0.7)
    assert min(found[:3]) > 0.95
    assert all(0.2 < share < 0.8 for share in found[3:7])
    assert max(found[7:]) == 0


@by_name
def test_what_was_not_measured_is_never_an_empty_bar(look: Theme) -> None:
    assert all(0.2 < share < 0.8 for share in bar(look, None, 1.0)[1:9])
    assert bar(look, None, 0.0) == bar(look, None, 1.0)
    assert max(bar(look, 0.0, 0.0)) == 0


@by_name
@pytest.mark.parametrize("most", [0.9, 1.0, 1.01, 1.5])
def test_past_the_limit_a_bar_has_a_stop_that_stands_out(look: Theme, most: float) -> None:
    image = QImage(WIDE + 20, HIGH + 20, QImage.Format.Format_ARGB32)
    image.fill(look.colour("base"))
    painter = QPainter(image)
    place = QRectF(10, 10, WIDE, HIGH)
    bars.draw_load_bar(painter, place, 0.9, most, look, "caution")
    painter.end()
    above = image.pixelColor(10 + WIDE - 1, 7)
    assert near(above, look.colour("caution")) == (most > 1)


def test_a_load_below_its_limit_is_never_green() -> None:
    for look in THEMES:
        assert look.load != look.good


@by_name
def test_verdicts_differ_without_their_colours(qapp: Any, look: Theme) -> None:
    images = []
    for verdict in get_args(Verdict):
        image = QImage(24, 24, QImage.Format.Format_ARGB32)
        image.fill(look.colour("base"))
        painter = QPainter(image)
        draw_verdict(painter, QRectF(1, 1, 22, 22), verdict, look)
        painter.end()
        images.append(greys(image))
    for one, other in combinations(images, 2):
        differing = sum(abs(a - b) > 60 for a, b in zip(one, other, strict=True))
        assert differing / len(one) > 0.05


@by_name
def test_what_is_reckoned_has_three_dots_in_the_middle_of_its_place(look: Theme) -> None:
    wide, high = 60, 20
    image = QImage(wide, high, QImage.Format.Format_ARGB32)
    image.fill(look.colour("base"))
    painter = QPainter(image)
    bars.draw_dots(painter, QRectF(0, 0, wide, high), look.colour("frame"))
    painter.end()
    ink = [near(image.pixelColor(x, high // 2), look.colour("frame")) for x in range(wide)]
    begins = [x for x in range(1, wide) if ink[x] and not ink[x - 1]]
    assert len(begins) == 3
    ends = max(x for x in range(wide) if ink[x])
    assert abs((wide - 1 - ends) - begins[0]) <= 1, "as far from the left as from the right"


def drawn_in_grey(name: str, look: Theme) -> bytes:
    image = QImage(24, 24, QImage.Format.Format_ARGB32)
    image.fill(look.colour("base"))
    painter = QPainter(image)
    icons.draw_icon(painter, QRectF(0, 0, 24, 24), name, look.colour("text"))
    painter.end()
    return greys(image)


def greys(image: QImage) -> bytes:
    """Its pixels without their colours; a copy, since Qt's own go with the image."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    return bytes(grey.constBits())


@by_name
def test_every_icon_is_seen_and_is_none_of_the_others(qapp: Any, look: Theme) -> None:
    made = {name: drawn_in_grey(name, look) for name in icons.ICONS}
    ground = made["plus"][0]
    for picture in made.values():
        inked = sum(abs(each - ground) > 60 for each in picture) / len(picture)
        assert 0.04 < inked < 0.5
        edge = picture[:24] + picture[-24:] + picture[::24] + picture[23::24]
        assert all(abs(each - ground) < 60 for each in edge), "no stroke is cut off"
    for one, other in combinations(made.values(), 2):
        assert sum(abs(a - b) > 60 for a, b in zip(one, other, strict=True)) / len(one) > 0.03


# --- controls -------------------------------------------------------------------------------------


@pytest.mark.parametrize("pixels", [10, 14, 28])
def test_every_kind_of_control_is_high_enough_to_press(qapp: Any, pixels: int) -> None:
    kept = qapp.font()
    qapp.setFont(sized(pixels))
    apply_theme(qapp, LIGHT)
    made: list[QWidget] = [QPushButton("Measure"), sheet.as_main(QPushButton("Place it")),
                           sheet.as_link(QPushButton("Other")), QToolButton(), QCheckBox("On"),
                           sheet.as_icon(QToolButton()), QComboBox(), QSpinBox(),
                           QLineEdit()]  # fmt: skip
    try:
        for widget in made:
            widget.ensurePolished()
            high = widget.sizeHint().height()
            assert high >= measures.TARGET, (widget, high)
            assert high >= 2 * pixels, (widget, high)
    finally:
        for widget in made:
            widget.deleteLater()
        qapp.setFont(kept)


@pytest.mark.parametrize("kind", ["plain", "default", "main"])
def test_a_button_has_the_width_of_its_words(qtbot: Any, kind: str) -> None:
    """Nothing more of them is seen where there is more room."""
    apply_theme(qtbot_app(), LIGHT)
    page = QDialog()
    qtbot.addWidget(page)
    button = QPushButton("Go to the probe", page)
    if kind == "main":
        sheet.as_main(button)
    button.setDefault(kind == "default")
    page.show()
    button.resize(button.sizeHint())
    narrow = inked(button)
    button.resize(button.width() + 40, button.height())
    assert narrow == inked(button)


def inked(button: QAbstractButton) -> int:
    """So many columns are not of one colour, but for the edges."""
    picture = button.grab().toImage()
    middle = range(picture.height() // 4, 3 * picture.height() // 4)
    return sum(
        len({picture.pixel(column, row) for row in middle}) > 1
        for column in range(4, picture.width() - 4)
    )


@by_name
def test_a_main_button_is_filled_and_a_plain_one_is_not(qtbot: Any, look: Theme) -> None:
    """The keyboard's ring is told from the button at rest."""
    apply_theme(qtbot_app(), look)
    page = QWidget()
    qtbot.addWidget(page)
    plain, main = QPushButton("Measure", page), sheet.as_main(QPushButton("Place it", page))
    main.move(0, 60)
    with qtbot.waitExposed(page):
        page.show()
    page.activateWindow()
    assert ground(main) == look.colour("accent").name()
    assert ground(plain) == look.colour("base").name()
    for button, other in ((plain, main), (main, plain)):
        other.setFocus(Qt.FocusReason.TabFocusReason)
        before, high = edge(button), button.sizeHint()
        button.setFocus(Qt.FocusReason.TabFocusReason)
        ring = look.colour("text" if button is main else "accent").name()
        assert edge(button)[:2] == [ring] * 2
        assert edge(button) != before
        assert button.sizeHint() == high, "nothing moves"


def qtbot_app() -> Any:
    from PySide6.QtWidgets import QApplication

    return QApplication.instance()


def ground(button: QAbstractButton) -> str:
    """The colour beside the words."""
    picture = button.grab().toImage()
    return picture.pixelColor(7, picture.height() // 2).name()


def edge(button: QAbstractButton) -> list[str]:
    """The colours from the edge inwards."""
    picture = button.grab().toImage()
    return [picture.pixelColor(x, picture.height() // 2).name() for x in range(4)]


def test_a_sheet_has_no_role_left_unsaid() -> None:
    for look in THEMES:
        made = sheet.style_sheet(look)
        assert "@" not in made
        assert "[" not in made.replace("[kind=", "").replace("[muted=", "").replace(
            "[wrong=", ""
        ).replace("[popupMode=", "")


@pytest.mark.parametrize("pixels", range(10, 34))
def test_a_choice_of_the_size_it_asks_for_says_its_words_whole(qtbot: Any, pixels: int) -> None:
    apply_theme(qtbot_app(), LIGHT)
    for words in ("stehend", "liegend", "upright", "ZÜNDUNG EIN", "12 V", "as most"):
        box = Choice()
        qtbot.addWidget(box)
        box.setFont(sized(pixels))
        box.addItem(words)
        box.resize(box.sizeHint())
        option = QStyleOptionComboBox()
        box.initStyleOption(option)
        assert option.currentText == words


def test_a_choice_that_ends_in_dots_says_its_words_whole_when_pointed_at(qtbot: Any) -> None:
    box = Choice()
    qtbot.addWidget(box)
    box.addItem("An own feed, straight from the battery <b>")
    box.resize(120, 32)
    with qtbot.waitExposed(box):
        box.show()
    spot = QPoint(10, 10)
    asked = QHelpEvent(QEvent.Type.ToolTip, spot, box.mapToGlobal(spot))
    QApplication.sendEvent(box, asked)
    assert "straight from the battery &lt;b&gt;" in QToolTip.text()
    QToolTip.hideText()


def test_a_drawn_sign_is_the_same_on_a_chosen_row(qapp: Any) -> None:
    """Qt would tint it: half a disc was dark on dark there."""
    sign = verdict_icon("may_not_hold", LIGHT, 16)
    plain, chosen = (sign.pixmap(16, 16, mode) for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected))
    assert plain.toImage() == chosen.toImage()
