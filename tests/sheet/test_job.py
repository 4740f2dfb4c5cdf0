"""The sheet as a fitter reads it: order of work, cautions, checks, the way back."""

from typing import Any

import pytest
from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.files import demos
from fusemap.probing import final_check
from fusemap.sheet import SheetContent
from fusemap.sheet.content import (
    Bullets,
    Facts,
    FindingNote,
    Job,
    LidCard,
    PanelPicture,
    Paragraph,
    Section,
    Steps,
    Table,
)
from fusemap.sheet.style import FEED_SIGNS
from fusemap.vehicle import (
    Cable,
    Converter,
    Fuse,
    LogEntry,
    Reading,
    SignOff,
    StateLoads,
    Vehicle,
    edits,
)
from fusemap.vehicle.words import FEED
from tests import trade_vehicles as trade
from tests.sheet.conftest import content_of
from tests.vehicles import one_slot, with_accessory

CABLE = Cable(section_mm2=1.5, length_m=2.0, colour="red")


def fitted(**tap: Any) -> Vehicle:
    """A lamp on the only slot, or on an own feed, with all that belongs to it."""
    tap = {
        "fuse": Fuse(family="mini", rating=7.5),
        "cable_out": CABLE,
        "earth_point": "bolt by the door",
        "joint": "butt_crimp",
    } | tap
    slot = tap.pop("slot", {})
    return with_accessory(one_slot(**{"label": "F1", "circuit": "Radio"} | slot), **tap)


def section(content: SheetContent, key: str) -> Section:
    return next(section for section in content.sections if section.key == key)


def steps(content: SheetContent, key: str = "order") -> list[tuple[str, str]]:
    """The steps of a section as (stage, text with detail)."""
    return [
        (block.title, f"{step.text} {step.detail}")
        for block in section(content, key).blocks
        if isinstance(block, Steps)
        for step in block.items
    ]


def cautions(content: SheetContent, *keys: str) -> str:
    """The cautions of the first page and the further ones, or of these sections alone."""
    return " ".join(
        item
        for key in keys or ("cautions", "further-cautions")
        for block in section(content, key).blocks
        if isinstance(block, Bullets)
        for item in block.items
    )


def table(content: SheetContent, key: str) -> Table:
    return next(table for table in content.tables() if table.key == key)


def check(content: SheetContent, begins: str) -> str:
    """What is predicted for one line of the check."""
    for row in table(content, "checks").rows:
        if str(row.cells[0]).startswith(begins):
            cell = row.cells[1]
            return cell if isinstance(cell, str) else cell.text  # type: ignore[union-attr]
    raise AssertionError(f"no line {begins}")


class TestOrderOfWork:
    def test_earth_comes_before_every_supply_and_the_supply_is_last(self) -> None:
        stages = list(dict.fromkeys(stage for stage, _ in steps(content_of(fitted()))))
        assert stages.index("Earth first") < stages.index("At the accessories")
        assert stages.index("At the accessories") < stages.index("Supply last")
        assert stages[-2:] == ["Supply last", "Check and write down"]

    def test_nothing_is_connected_before_plus_and_minus_are_read_in_the_check(self) -> None:
        content = content_of(fitted())
        (made,) = [text for stage, text in steps(content) if stage == "At the accessories"]
        assert "Do not connect them yet: that is done in the check" in made
        rows = [str(row.cells[0]) for row in table(content, "checks").rows]
        read = next(n for n, row in enumerate(rows) if row.startswith("Plus and minus"))
        assert rows[read].endswith("fuse out, connect it, fuse in.")
        at_work = [n for n, row in enumerate(rows) if "working" in row]
        assert read < min(at_work)
        below = next(
            str(row.cells[2])
            for row in table(content, "differs").rows
            if str(row.cells[0]).startswith("Plus and minus")
        )
        assert below.startswith("a minus sign: plus and minus are swapped")

    def test_steps_are_numbered_through(self) -> None:
        blocks = [b for b in section(content_of(fitted()), "order").blocks if isinstance(b, Steps)]
        following = 1
        for block in blocks:
            assert block.first == following
            following += len(block.items)

    def test_a_tap_on_a_slot_needs_no_battery_off(self) -> None:
        assert not any("Disconnect" in text for _, text in steps(content_of(fitted())))

    @pytest.mark.parametrize("kind", ["own_feed", "splice"])
    def test_the_battery_comes_off_with_the_airbag_wait_where_a_cable_is_opened(
        self, kind: str
    ) -> None:
        said = [text for _, text in steps(content_of(fitted(kind=kind)))]
        off = next(n for n, text in enumerate(said) if "Disconnect the battery" in text)
        assert "15 minutes" in said[off]
        supply = next(n for n, text in enumerate(said) if "Lamp" in text and "last" not in text)
        assert off < supply
        assert any("Reconnect the battery" in text for text in said[supply:])

    def test_open_stops_are_the_first_step(self) -> None:
        content = content_of(fitted(way_round="load_side", slot={"own_a": 14.0}))
        assert "Stop" in steps(content)[0][1]

    def test_a_relay_is_wired_by_its_terminals(self) -> None:
        content = content_of(fitted(kind="own_feed", feed="feed-1", relay=True))
        (text,) = [text for _, text in steps(content) if "relay" in text]
        assert all(terminal in text for terminal in ("30", "85", "86", "87"))

    def test_what_an_earlier_owner_fitted_is_not_fitted_or_bought_again(self) -> None:
        vehicle = edits.change_accessory(fitted(), "accessory-1", found="keep")
        content = content_of(vehicle)
        assert not any("Lamp" in text for _, text in steps(content))
        assert table(content, "parts").rows == ()
        assert check(content, "Current") != ""

    def test_what_is_to_go_is_removed_first_and_gone_from_the_check(self) -> None:
        content = content_of(edits.change_accessory(fitted(), "accessory-1", found="remove"))
        removed = [text for stage, text in steps(content) if stage == "Remove first"]
        assert removed
        assert "Put back alone: 15" in removed[0]
        with pytest.raises(AssertionError, match="no line"):
            check(content, "Current,")


class TestCautions:
    def test_every_sheet_says_whose_readings_it_is_made_of(self) -> None:
        for part in ("sheet", "map", "probing", "record"):
            content = content_of(fitted(), part)  # type: ignore[arg-type]
            assert content.warning == "Readings of this one vehicle, not the maker’s data."

    def test_airbags_and_orange_cables_always(self) -> None:
        assert "airbag" in cautions(content_of(fitted()))
        assert "Orange" in cautions(content_of(fitted()))

    def test_the_middle_of_two_batteries_only_with_24_volts(self) -> None:
        assert "middle of two batteries" not in cautions(content_of(fitted()))
        truck = content_of(demos.read_demo("light_truck"))
        assert "middle of two batteries" in cautions(truck)

    def test_monitored_lamps_only_where_one_is_tapped(self) -> None:
        assert "watches or pulses" not in cautions(content_of(fitted()))
        watched = content_of(fitted(slot={"monitored": True}))
        assert "watches or pulses" in cautions(watched)

    def test_the_probing_list_forbids_to_pull_a_critical_fuse(self) -> None:
        vehicle = one_slot(critical=True, critical_reason="brakes")
        (form,) = content_of(vehicle, "probing").tables()
        assert "LEAVE ALONE: meter only, do not pull" in str(form.rows[0].cells[1])


class TestFindings:
    def test_the_first_page_says_stop_and_open_findings_follow_the_stops_first_of_all(self) -> None:
        content = content_of(demos.read_demo("family_estate"))
        keys = [each.key for each in content.sections]
        assert keys[:6] == ["vehicle", "fitted", "verdict", "cautions", "tools", "findings"]
        loud = section(content, "verdict").blocks[0]
        assert isinstance(loud, Paragraph)
        assert loud.role == "loud"
        found = section(content, "findings").blocks
        severities = [b.severity for b in found if isinstance(b, FindingNote)]
        assert severities == sorted(severities, key=["stop", "caution", "note"].index)
        assert severities[0] == "stop"

    def test_a_sound_plan_says_so(self) -> None:
        content = content_of(fitted())
        notes = [b for b in content.blocks() if isinstance(b, FindingNote)]
        assert not any(b.role == "loud" for b in content.blocks() if isinstance(b, Paragraph))
        assert not any(note.severity == "stop" for note in notes)

    def test_what_is_not_placed_is_named(self) -> None:
        content = content_of(edits.add_accessory(fitted(), "Cool box", watts=40.0))
        assert any("Cool box" in b.text for b in content.blocks() if isinstance(b, Paragraph))


class TestUnmeasured:
    def test_what_flows_at_a_slot_has_both_its_ends(self) -> None:
        vehicle = fitted(slot={"own_load": StateLoads(ignition=2.0)})
        (job,) = [b for b in content_of(vehicle).blocks() if isinstance(b, Job)]
        loads = {p.key: p.load.text for p in job.predicted}
        assert " to " in loads["live_contact"]
        assert " to " not in loads["draws"]

    def test_a_vehicle_that_sleeps_at_once_is_not_waited_for(self) -> None:
        vehicle = edits.change_parking(fitted(), sleep_after_min=0.0)
        assert not any("wait 0" in text for _, text in steps(content_of(vehicle)))


class TestChecks:
    def test_pulling_the_host_fuse_tells_the_way_round(self) -> None:
        right = content_of(fitted())
        assert check(right, "Stays on") == "accessory stays on"
        reversed_ = content_of(fitted(way_round="load_side"))
        assert check(reversed_, "Stays on") == "accessory goes off"

    def test_behind_a_splice_it_goes_off_and_an_own_feed_is_not_asked(self) -> None:
        assert check(content_of(fitted(kind="splice")), "Stays on") == "accessory goes off"
        with pytest.raises(AssertionError, match="no line"):
            check(content_of(fitted(kind="own_feed")), "Stays on")

    def test_nobody_is_told_to_pull_a_critical_fuse(self) -> None:
        vehicle = fitted(slot={"critical": True}, justification="the maker's option socket",
                         found_how="read in the handbook")  # fmt: skip
        with pytest.raises(AssertionError, match="no line"):
            check(content_of(vehicle), "Stays on")

    def test_nor_one_that_its_name_says_to_leave_alone(self) -> None:
        vehicle = fitted(slot={"circuit": "Airbag"})
        with pytest.raises(AssertionError, match="no line"):
            check(content_of(vehicle), "Stays on")
        answered = fitted(slot={"circuit": "Airbag", "harmless": "air bed pump, traced"})
        assert check(content_of(answered), "Stays on")

    def test_the_rest_current_after_is_before_and_added(self) -> None:
        vehicle = edits.change_accessory(fitted(), "accessory-1", standby_a=0.03)
        content = content_of(vehicle)
        assert check(content, "Rest current before") == "20\u202fmA"
        assert check(content, "Rest current added") == "30\u202fmA"
        assert check(content, "Whole vehicle: rest current").startswith("50\u202fmA (")

    def test_a_prediction_has_the_band_in_which_a_reading_agrees(self) -> None:
        content = content_of(fitted())
        assert check(content, "Current,") == "5\u202fA (3.9\u202fA to 6.2\u202fA)"

    def test_a_reading_that_was_taken_stands_in_its_box(self) -> None:
        vehicle = fitted()
        step = next(s for s in final_check.steps(vehicle, assess(vehicle)) if s.key == "current")
        taken = Reading(id="r1", when="2024-05-02", value=4.8, **final_check.fields(step))  # type: ignore[arg-type]
        content = content_of(replace(vehicle, readings=(taken,)))
        row = next(r for r in table(content, "checks").rows if str(r.cells[0]).startswith("Curr"))
        assert row.cells[2].text == "4.8\u202fA"  # type: ignore[union-attr]


class TestUndo:
    def test_the_host_fuse_goes_back_alone(self) -> None:
        said = steps(content_of(fitted()), "undo")
        assert "Put back alone: 15\u202fA mini, blue." in said[0][1]

    def test_supply_comes_off_first_and_earth_last(self) -> None:
        said = [text for _, text in steps(content_of(demos.read_demo("family_estate")), "undo")]
        earth = next(n for n, text in enumerate(said) if "earth comes off last" in text)
        taken = [n for n, text in enumerate(said) if text.startswith(("Take the f", "Cut the"))]
        assert max(taken) < earth

    def test_the_way_back_is_the_way_there_turned_round(self) -> None:
        content = content_of(demos.read_demo("family_estate"))
        badges = [b.badge for b in content.blocks() if isinstance(b, Job)]
        undone = [text for _, text in steps(content, "undo")]
        order = [next(b for b in badges if f"({b})" in text) for text in undone[1:-2]]
        assert order == list(reversed(badges))


class TestPictures:
    def test_the_panel_keeps_its_arrangement_and_marks_what_is_used(self) -> None:
        content = content_of(demos.read_demo("family_estate"))
        panels = [b for b in content.blocks() if isinstance(b, PanelPicture)]
        assert (panels[0].rows, panels[0].columns) == (6, 6)
        used = {slot.label: slot for slot in panels[0].slots if slot.badges}
        assert used["F11"].badges == ("2",)
        assert used["F11"].live_side == "top"
        assert (used["F11"].row, used["F11"].column) == (1, 4)

    def test_colour_and_feed_stand_as_words_for_black_and_white(self) -> None:
        content = content_of(demos.read_demo("family_estate"))
        (panel,) = [b for b in content.blocks() if isinstance(b, PanelPicture)]
        for slot in panel.slots:
            if slot.rating:
                assert slot.colour
            if slot.kind == "fuse":
                (words,) = [w for key, w in panel.legend if key == f"feed:{slot.feed_class}"]
                number = FEED_SIGNS[slot.feed_class]
                assert words.startswith(f"{number} = " if number else "")
                assert str(FEED[slot.feed_class].feed) in words

    def test_a_wide_panel_comes_in_several_pictures_with_every_slot_once(self) -> None:
        vehicle = edits.add_panel(Vehicle(name="Van"), "Long", 1, 24)
        pictures = [b for b in content_of(vehicle, "map").blocks() if isinstance(b, PanelPicture)]
        assert len(pictures) == 3
        assert [p.columns for p in pictures] == [8, 8, 8]
        labels = [slot.label for p in pictures for slot in p.slots]
        assert labels == [f"F{n}" for n in range(1, 25)]

    def test_the_picture_of_a_tap_knows_the_way_round(self) -> None:
        (job,) = [
            b for b in content_of(fitted(way_round="load_side")).blocks() if isinstance(b, Job)
        ]
        assert job.picture.way_round == "load_side"
        assert job.picture.live_side == "left"
        assert "REVERSED" in dict(job.facts)["Tap"]


class TestLidCard:
    def test_a_card_for_each_panel_with_a_tap_and_one_for_own_feeds(self) -> None:
        content = content_of(demos.read_demo("family_estate"), "lid")
        cards = [b for b in content.blocks() if isinstance(b, LidCard)]
        assert [card.title for card in cards] == ["Dash, left of the steering column", "Own feeds"]
        assert [entry.slot for entry in cards[0].entries][:3] == ["F2", "F13", "F11"]
        assert cards[0].entries[0].fuse == "Accessory fuse 2\u202fA mini, grey"

    def test_without_a_tap_it_is_a_map_for_the_lid(self) -> None:
        (card,) = [b for b in content_of(one_slot(), "lid").blocks() if isinstance(b, LidCard)]
        assert card.entries == ()
        assert card.panel is not None


class TestRecord:
    def test_history_readings_and_signed_checks_stand_in_it(self) -> None:
        vehicle = replace(
            fitted(),
            log=(LogEntry(when="2024-05-01", text="Lamp fitted; old lamp removed"),),
            readings=(
                Reading(id="r1", when="2024-05-01", quantity="inline_current", value=0.021,
                        target="vehicle", note="before"),
                Reading(id="r2", when="2024-05-02", quantity="volts", value=11.8, target="tap",
                        target_id="tap-1", state="running", purpose="check"),
                Reading(id="r3", when="2024-05-02", quantity="live", value=1.0,
                        target="slot", target_id="slot-1"),
                Reading(id="r4", when="2024-05-02", quantity="volts", value=99.0,
                        target="tap", target_id="tap-1", withdrawn=True),
            ),
            sign_offs=(SignOff(when="2024-05-02", by="Kim", passed=6, differing=1),),
        )  # fmt: skip
        content = content_of(vehicle, "record")
        assert table(content, "history").rows[0].cells == (
            "1 May 2024",
            "Lamp fitted; old lamp removed",
        )
        read = [
            [str(getattr(c, "text", c)) for c in r.cells] for r in table(content, "readings").rows
        ]
        assert read == [
            ["1 May 2024", "Vehicle", "current by ammeter; before", "asleep", "21\u202fmA", ""],
            ["2 May 2024", "Lamp (1)", "voltage", "engine running", "11.8\u202fV", ""],
        ]
        assert table(content, "sign-offs").rows[0].cells[:3] == ("2 May 2024", "Kim", "6")

    def test_there_is_room_to_go_on_by_hand(self) -> None:
        assert len(table(content_of(fitted(), "record"), "further").rows) >= 8


class TestBasis:
    def test_it_says_from_which_file_when_and_with_which_rules(self) -> None:
        vehicle = edits.set_rule(fitted(), "allowed_drop_share", 0.03)
        (facts,) = [b for b in section(content_of(vehicle), "basis").blocks if isinstance(b, Facts)]
        said = dict(facts.rows)
        assert said["Vehicle file"] == "van.fusemap"
        assert said["Computed on"] == "14 Mar 2026"
        assert said["Rules changed"] == "Voltage drop over system voltage: 0.03 (default 0.05)"

    def test_what_was_assumed_is_listed(self) -> None:
        vehicle = edits.change_parking(fitted(), rest_current_a=None)
        listed = [
            i for b in section(content_of(vehicle), "basis").blocks if isinstance(b, Bullets)
            for i in b.items
        ]  # fmt: skip
        assert any("rest current" in item for item in listed)


def test_nothing_placed_still_gives_a_sheet() -> None:
    content = content_of(Vehicle(name="Van"))
    assert any("Nothing is placed" in b.text for b in content.blocks() if isinstance(b, Paragraph))


def test_names_cannot_turn_the_reading_direction_or_break_lines() -> None:
    vehicle = fitted()
    (lamp,) = vehicle.accessories
    # an edit refuses such a name; a sheet is safe all the same
    vehicle = replace(vehicle, accessories=(replace(lamp, name="La\u202emp\nnew\x00"),))
    (job,) = [b for b in content_of(vehicle).blocks() if isinstance(b, Job)]
    assert job.title == "Lamp new"


class TestConverters:
    def test_what_hangs_on_a_converter_is_connected_to_its_output(self) -> None:
        vehicle = edits.change_accessory(
            fitted(), "accessory-1", converter=Converter(output_v=5.0), name="Converter"
        )
        vehicle = edits.add_accessory(
            vehicle, "Phone", watts=10.0, rated_v=5.0, supplied_by="accessory-1"
        )
        content = content_of(vehicle)
        said = [text for stage, text in steps(content) if stage == "At the accessories"]
        assert any("Phone (2) to the output of Converter (1), 5\u202fV" in text for text in said)
        (job,) = [b for b in content.blocks() if isinstance(b, Job)]
        assert dict(job.facts)["Supplies"] == "Phone (2)"


def test_what_two_leads_share_is_checked_with_the_one_that_stays() -> None:
    """An earth point and a slot's circuit are in the check, though their first lead goes."""
    vehicle = trade.pickup()
    earth = vehicle.earths[0]
    goes = next(tap.accessory for tap in vehicle.taps if tap.earth == earth.id)
    assert len({tap.accessory for tap in vehicle.taps if tap.earth == earth.id}) > 1
    assert f"Meter from the bolt of “{earth.name}”" in printed(vehicle)
    vehicle = edits.change_accessory(vehicle, goes, found="remove")
    assert f"Meter from the bolt of “{earth.name}”" in printed(vehicle)


def printed(vehicle: Vehicle) -> str:
    return repr(list(content_of(vehicle).sections))
