"""What the figures of the feed strip say, both their ends."""

from fusemap.style import Style
from fusemap.text import Amount, share
from fusemap.window.panel.strip_rows import StripRow


def share_words(row: StripRow, style: Style, *, folded: bool) -> str:
    """The share of the limit; without a limit the amperes, where they stand nowhere else."""
    if row.carried is None:
        return ""
    if row.carried.verdict == "unchecked":
        return ampere_words(row, style) if folded else ""
    known, most = row.carried.shares
    low, high = style.show(share(known)), style.show(share(most))
    return low if low == high else f"{style.number(round(100 * known))}–{high}"


def ampere_words(row: StripRow, style: Style) -> str:
    """The current, known and the most it may be; two figures below one ampere, three above."""
    if row.carried is None:
        return ""
    ends = (row.carried.known_a, row.carried.most_a)
    low, high = (style.show(Amount(each, "A", significant=_digits(each))) for each in ends)
    if low == high:
        return low
    return f"{style.number(float(f'{ends[0]:.{_digits(ends[0])}g}'))}–{high}"


def _digits(value_a: float) -> int:
    return 2 if value_a < 1 else 3
