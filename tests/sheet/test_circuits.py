"""What the circuits are, on paper: in the map, its legend, and beside a tap."""

from fusemap.sheet.content import PanelPicture
from fusemap.vehicle import Vehicle, edits
from tests.sheet.conftest import content_of, texts_in
from tests.vehicles import one_slot, with_accessory


def told(vehicle: Vehicle, part: str = "map") -> str:
    return "\n".join(texts_in(content_of(vehicle, part), lambda _: False))  # type: ignore[arg-type]


def named(circuit: str, **fields: object) -> Vehicle:
    return edits.change_slot(with_accessory(one_slot()), "slot-1", circuit=circuit, **fields)


def legend(vehicle: Vehicle) -> dict[str, str]:
    blocks = content_of(vehicle, "map").blocks()
    (picture,) = [block for block in blocks if isinstance(block, PanelPicture)]
    return dict(picture.legend)


def test_the_legend_names_the_slots_that_nobody_answered_for() -> None:
    assert "F1" in legend(named("Airbag"))["asked"]
    assert "critical" in legend(named("Airbag"))
    answered = legend(named("Airbag", critical=True))
    assert "critical" in answered
    assert "asked" not in answered


def test_the_map_says_what_is_no_comfort() -> None:
    assert "control unit" in told(named("BCM"))
    assert "supplies other boxes" in told(named("Fuse box 2"))
    assert "control unit" not in told(named("Radio"))
    assert "control unit" in told(named("Radio", function="control"))


def test_what_nobody_knows_is_said_where_it_is_tapped() -> None:
    assert "nobody has answered" in told(named("Xyz 4"))
    assert "nobody has answered" not in told(edits.unplace(named("Xyz 4"), "tap-1"))
    assert "nobody has answered" not in told(named("Xyz 4", function="comfort"))


def test_both_parts_of_a_reason_stand_on_the_sheet_and_in_the_record() -> None:
    vehicle = edits.change_tap(
        named("Radio"), "tap-1", justification="the rear socket", found_how="traced with a meter"
    )
    for part in ("sheet", "record"):
        assert "the rear socket" in told(vehicle, part)
        assert "traced with a meter" in told(vehicle, part)
