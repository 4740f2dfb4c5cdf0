"""Words: circuits to be left alone are proposed, in five languages; cautions have their time."""

from fusemap import tables


def test_cautions_for_every_kind_of_work_are_there() -> None:
    found = tables.cautions()
    assert len({caution.key for caution in found}) == len(found)
    assert {"always", "battery", "tap", "relay", "earth", "cable", "v24", "monitored"} <= {
        caution.when for caution in found
    }
    assert all(caution.text.endswith(".") and caution.topic for caution in found)


def test_the_orange_cable_stops_the_work() -> None:
    orange = next(caution for caution in tables.cautions() if caution.key == "orange_cable")
    assert orange.when == "always"
    assert "stop" in orange.text


def test_terminal_numbers_mean_what_the_standard_says() -> None:
    """DIN 72552."""
    meanings = {terminal.number: terminal for terminal in tables.terminals()}
    assert meanings["30"].use == "permanent feed"
    assert meanings["15"].use == "ignition feed"
    assert meanings["31"].use == "earth"
    assert "leave alone" in meanings["50"].use
    assert len(meanings) == len(tables.terminals())


def test_no_term_stands_twice() -> None:
    terms = [word.term for word in tables.vocabulary()]
    assert len(set(terms)) == len(terms) >= 40
