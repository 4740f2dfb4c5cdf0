"""Legends of 40 more lids, numbered alone: what the table of words knows of lids read last.

Source of each label: the kind of publication named in its row (`third_lids.csv`): owner's manuals
and makers' handbooks on the web, workshop pages, lists of fuses on sites, some of these put into
their language by a machine, whose words are kept. The class of each is by hand from what the page
says, put down before the program read any. No Dutch page was found.

They were typed in after the table had been enlarged from lists of the trade, in three turns
(vehicles to t21, to t32, to t40), and each turn was read before anything was learned from it:

| before, after | right reason | comfort refused | comfort known | left alone, looking free |
|---|---|---|---|---|
| t01 to t21 | 96 %, 96 % | 4 %, 4 % | 82 %, 88 % | none, none |
| t22 to t32 | 96 %, 96 % | 2 %, 2 % | 83 %, 85 % | none, none |
| t33 to t40 | 98 %, 98 % | 1 %, 1 % | 87 %, 92 % | none, none |

“Before” is the table as it was before it was enlarged. Then was learned from the half to build on;
whoever typed the labels in knows those of the other half, too, but did not look at how they are
read.
"""

from tests.outside.lids import CLASSES, FIRST, MORE, REFUSED, THIRD


def test_they_are_many_in_four_languages_and_in_no_other_file() -> None:
    assert len(THIRD.labels) > 700
    assert len(THIRD.vehicles(THIRD.every)) == 40
    assert {label["language"] for label in THIRD.labels} == {"en", "de", "es", "fr"}
    vehicles = THIRD.vehicles(THIRD.every)
    assert not vehicles & (FIRST.vehicles(FIRST.every) | MORE.vehicles(MORE.every))


def test_no_circuit_to_be_left_alone_looks_free() -> None:
    assert THIRD.free(THIRD.with_all_rows, "leave_alone") == []
    assert THIRD.free(THIRD.by_trade_words, "leave_alone") == []


def test_nearly_all_to_be_left_alone_have_the_right_reason() -> None:
    """Found: 100 % on the half to build on, 95 % on the other."""
    assert THIRD.share_right(THIRD.with_all_rows) >= 0.95
    assert THIRD.share_right(THIRD.with_all_rows, THIRD.measure) >= 0.94


def test_next_to_no_comfort_is_refused_and_most_of_it_is_known() -> None:
    """Found: 1 % refused on both halves; 96 % and 92 % known."""
    read = THIRD.with_all_rows
    for half, known in ((THIRD.build, 0.94), (THIRD.measure, 0.9)):
        assert THIRD.share_read_as(read, "comfort", *REFUSED, half=half) <= 0.03
        assert THIRD.share_read_as(read, "comfort", "comfort", half=half) >= known


def test_next_to_nothing_else_looks_free() -> None:
    assert sum(len(THIRD.free(THIRD.with_all_rows, name)) for name in CLASSES[1:]) <= 5
