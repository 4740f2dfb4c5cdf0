"""Legends of 47 more lids: cars, vans, trucks, tractors, campers, motorcycles and boats.

Source of each label: the page named in its row (`more_lids.csv`): owner's manuals, workshop manuals
and lists of fuses, two of them in repositories; several pages were put into their language by a
machine, and their words are kept as they stand there. The class of each is by hand from what the
page says it feeds, put down before the program read any. None of the vehicles is in
`lid_labels.csv`.

Whoever typed them in also mended the table afterwards, by the half to build on alone; of the half
to measure on only figures were looked at. Read for the first time, before anything was mended: on
the half to build on 95 % of those to be left alone had the right reason, 1 % of comfort was refused
and 77 % of it known; on the half to measure on 97 %, 3 % and 72 %. None to be left alone looked
free; four others did.
"""

from tests.outside.lids import FIRST, MORE


def test_they_are_many_of_many_kinds_in_five_languages() -> None:
    assert len(MORE.labels) > 700
    for half in (MORE.build, MORE.measure):
        those = [MORE.labels[at] for at in half]
        assert {label["language"] for label in those} == {"en", "de", "es", "fr", "nl"}
        assert {label["kind"] for label in those} >= {"car", "van", "truck", "tractor", "camper"}


def test_no_page_is_in_both_files() -> None:
    sources = {label["source"] for label in MORE.labels}
    assert not sources & {label["source"] for label in FIRST.labels}
    assert all(source.startswith("http") for source in sources)


def test_no_circuit_to_be_left_alone_looks_free() -> None:
    assert MORE.free(MORE.with_all_rows, "leave_alone") == []
    assert MORE.free(MORE.by_trade_words, "leave_alone") == []
