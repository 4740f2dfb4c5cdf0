"""The table of circuit names as the recogniser has it ready, beside the table as it is written."""

import csv
import os
import subprocess
import sys
from importlib.resources import files

from fusemap.tables import circuit_stems, words
from tests.circuit_rows import circuit_words


def test_the_rows_are_those_of_the_file() -> None:
    """Its first cells are read without a reader of CSV; that finds the same."""
    text = files("fusemap.resources.tables").joinpath("circuit_words.csv").read_text("utf-8")
    written = [
        (row["word"], row["language"], row["function"], row["reason"], row["origin"],
         row["source"], row["status"])
        for row in csv.DictReader(text.splitlines())
    ]  # fmt: skip
    assert len(written) > 10_000
    assert [
        (row.word, row.language, row.function, row.reason, row.origin, row.source.title,
         row.source.status)
        for row in circuit_words()
    ] == written  # fmt: skip


def test_what_is_looked_up_is_what_the_rows_give() -> None:
    rows = circuit_words()
    telling = [row for row in rows if row.function != "aside"]
    stems = {stem for row in telling for stem in row.word.split()}
    alone = {row.word for row in telling if row.function in ("leave_alone", "regulated")}
    english = {s for row in telling if row.language == "en" for s in row.word.split()}
    assert circuit_stems._known_stems() == stems
    assert circuit_stems._set_aside() == {row.word for row in rows if row.function == "aside"}
    assert circuit_stems._by_themselves() == {r.word for r in telling if len(r.word.split()) == 1}
    assert circuit_stems._alone() == {word for word in alone if len(word.split()) == 1}
    assert circuit_stems.beside_another() == {
        row.word.replace("*", "") for row in rows if row.function == "part"
    }
    cut = [stem for each in circuit_stems._skeletons().values() for stem in each]
    assert cut
    assert set(cut) == {stem for stem in english if len(stem) >= 5}
    assert {row.reason for row in rows} == words._reasons_of_the_table()


def test_every_row_that_tells_something_is_found_by_one_of_its_stems() -> None:
    found = [row for stem in circuit_stems._known_stems() for row in circuit_stems.rows_of(stem)]
    telling = [row for row in circuit_words() if row.function != "aside"]
    assert sorted(row.word for row in found) == sorted(telling)
    assert all(row.stems == frozenset(row.word.word.split()) for row in found)
    assert all(row.letters == row.word.word.replace("*", "") for row in found)


def test_reasons_stand_in_the_same_order_at_every_start() -> None:
    code = """
from fusemap.circuits import proposed
for name in ("Fuel transfer pump", "Kraftstoffvorwärmung", "Stuurbekrachtiging", "air inta."):
    print(proposed(name).reason.encode())
"""
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            timeout=120,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("0", "1", "2", "3")
    }
    assert len(said) == 1
    assert all(b"; " in line for line in said.pop().splitlines())
