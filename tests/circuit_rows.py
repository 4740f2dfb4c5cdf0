"""The rows of the table of circuit names, all made; the program makes those that a name needs."""

from fusemap.tables import CircuitWord, circuit_stems


def circuit_words() -> tuple[CircuitWord, ...]:
    """Every row, in the table's order."""
    table = circuit_stems.word_table()
    return tuple(map(table.row, range(len(table.words))))
