"""Sentences put together at run time are said in another language part by part."""

import pytest

from fusemap.phrases import Phrases

KNOWN = {
    "It is an ignition slot": "Es ist ein Zündungsplatz",
    "{a} left in {b}": "{b} hat {a} übrig",
    "an accessory fuse of {a}, the largest here": "eine Zubehörsicherung von {a}, die größte hier",
    "It adds nothing when parked.": "Geparkt zieht es nichts.",
    "Out {a}": "Hin {a}",
    "{a} loaded together": "{a} zusammen belastet",
    "{a} with {b}": "{a} bei {b}",
    "engine off": "Motor aus",
    "front": "vorn",
}


@pytest.fixture
def german() -> Phrases:
    return Phrases(KNOWN, ",")


def test_a_place_does_not_reach_over_a_joint_where_the_parts_are_known(german: Phrases) -> None:
    text = (
        "It is an ignition slot; 3.7 A left in an accessory fuse of 10 A, the largest here. "
        "It adds nothing when parked."
    )
    assert german.said(text) == (
        "Es ist ein Zündungsplatz; eine Zubehörsicherung von 10 A, die größte hier hat 3,7 A "
        "übrig. Geparkt zieht es nichts."
    )


def test_items_are_said_one_by_one(german: Phrases) -> None:
    assert german.said("Out 1.5 mm², 5.5 m, 2 loaded together") == (
        "Hin 1,5 mm², 5,5 m, 2 zusammen belastet"
    )


def test_a_name_is_said_before_its_figure(german: Phrases) -> None:
    text = "0.3 mm² < 0.5 mm²; Out 1.5 mm², Engine off 0.5 A"
    assert german.said(text) == "0,3 mm² < 0,5 mm²; Hin 1,5 mm², Motor aus 0,5 A"


def test_a_name_with_a_comma_is_left_as_it_is(german: Phrases) -> None:
    assert german.find("Window lifts, front") is None
    assert german.said("Window lifts, front") == "Window lifts, front"


def test_a_given_name_stays_as_it_is() -> None:
    german = Phrases(KNOWN, ",")
    assert german.said("Cold with front") == "Cold bei vorn"
    german.keep(["front", "Lamp with front"])
    assert german.said("Cold with front") == "Cold bei front"
    assert german.said("Lamp with front") == "Lamp with front"
    assert german.said("Lamp with front: engine off") == "Lamp with front: Motor aus"


def test_a_place_may_hold_a_whole_sentence_where_nothing_else_fits(german: Phrases) -> None:
    assert german.said("Aha; oho with engine off") == "Aha; oho bei Motor aus"


def test_a_place_takes_a_figure_whole_before_its_space() -> None:
    german = Phrases({"the {a}{b}A fuse": "die Sicherung mit {a}{b}A"}, ",")
    assert german.said("the 7.5\u202fA fuse") == "die Sicherung mit 7,5\u202fA"


def test_the_last_place_may_go_on_for_several_sentences_that_are_known() -> None:
    german = Phrases(
        {
            "No room; the nearest, {a}: {b}": "Kein Platz; der nächste, {a}: {b}",
            "It is full; try another.": "Er ist voll; einen anderen versuchen.",
        }
    )
    german.keep(["F3 Horn"])
    text = "No room; the nearest, F3 Horn: It is full; try another."
    assert german.said(text) == (
        "Kein Platz; der nächste, F3 Horn: Er ist voll; einen anderen versuchen."
    )


def test_a_sentence_is_known_with_its_full_stop_or_without() -> None:
    german = Phrases({"It is full.": "Er ist voll."})
    assert german.said("It is full") == "Er ist voll"


def test_a_sentence_with_places_keeps_the_capital_it_begins_with() -> None:
    german = Phrases(
        {
            "fuse out, {a}: live side {b}": "Sicherung gezogen, {a}: Plusseite {b}",
            "{a} dead": "{a} spannungslos",
            "top": "oben",
        }
    )
    assert german.said("Fuse out, top dead: live side top") == (
        "Sicherung gezogen, oben spannungslos: Plusseite oben"
    )


def test_a_place_before_a_last_sign_does_not_swallow_the_next_sentence() -> None:
    german = Phrases({"{a} > {b} ({c})": "{a} > {b} ({c})", "parked": "geparkt", "Out": "Hin"})
    text = "2 A > 1 A (parked); Out 3 A (parked)"
    assert german.said(text) == "2 A > 1 A (geparkt); Hin 3 A (parked)"


def test_a_full_stop_in_a_name_ends_no_sentence() -> None:
    german = Phrases({"Leaves: {a} on {b}: {c}": "Lässt: {a} an {b}: {c}", "dead": "tot"})
    german.keep(["Lamp nr. 2"])
    assert german.said("Leaves: Lamp nr. 2 on F3: dead") == "Lässt: Lamp nr. 2 an F3: tot"


def test_names_kept_for_one_vehicle_are_not_kept_for_another() -> None:
    german = Phrases(KNOWN, ",")
    assert german.keeping(["front"]).said("Cold with front") == "Cold bei front"
    assert german.said("Cold with front") == "Cold bei vorn"


def test_a_known_sentence_has_the_decimal_sign_too_and_a_clause_keeps_its_points() -> None:
    spoken = Phrases({"opens within 0.5 s": "löst in 0.5 s aus", "{a} of 1.5": "{a} von 1.5"}, ",")
    assert spoken.said("opens within 0.5 s") == "löst in 0,5 s aus"
    assert spoken.said("2.5 A of 1.5") == "2,5 A von 1,5"
    assert spoken.said("ISO 32000-1, 8.3.2.3") == "ISO 32000-1, 8.3.2.3"


def test_the_sign_of_a_unit_is_no_word() -> None:
    spoken = Phrases({"Min": "Mindestens"}, ",")
    assert spoken.said("min") == "min"
    assert spoken.said("Min") == "Mindestens"
