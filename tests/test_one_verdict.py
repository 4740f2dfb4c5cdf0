"""Whether it stands as long as planned is one verdict, whoever says it.

The page, the strip over every page, the command line, the findings and the sheet are asked of the
same vehicles; none may say another thing than the rest.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from fusemap import cli
from fusemap.assess import Assessment, assess
from fusemap.assess.parked.ends import battery_said
from fusemap.assess.verdict import Verdict
from fusemap.checks import findings
from fusemap.files.demos import demo_names, read_demo
from fusemap.files.document_file import write_vehicle
from fusemap.job import days_cell
from fusemap.job.standing_of import Job
from fusemap.sheet.installation import standing
from fusemap.sheet.style import paper_style
from fusemap.sheet.subject import Made, Subject
from fusemap.vehicle import Vehicle, edits
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.page_words import plan_verdict
from tests.assess.test_end_of_a_standing import DIESEL, PETROL, car
from tests.plain import plain

SHEET: dict[str, Verdict] = {
    "it will start": "holds",
    "it may not start even now": "fails",
    "it may not start": "may_not_hold",
    "it will probably not start": "may_not_hold",
    "it will not start": "fails",
    "no verdict": "unchecked",
}
FOUND: dict[str, Verdict] = {
    "stands_perhaps_too_short": "may_not_hold",
    "stands_too_short": "fails",
    "does_not_start_now": "fails",
    "never_starts": "fails",
}


def by_page(a: Assessment) -> Verdict:
    case = Case(a.parked, a.band, battery_said(a.vehicle))
    return plan_verdict(case, a.vehicle.parking.stand_days * 24)


def by_strip(a: Assessment) -> Verdict:
    found = Job(a.vehicle, a, ()).look_ahead()
    assert days_cell(found).verdict == found.verdict
    return found.verdict


def by_command(a: Assessment, folder: Path, capsys: Any) -> Verdict:
    path = folder / "vehicle.fusemap"
    write_vehicle(path, a.vehicle)
    capsys.readouterr()
    cli.run(["parked", str(path), "--json"])
    return json.loads(capsys.readouterr().out)["verdict"]  # type: ignore[no-any-return]


def by_sheet(a: Assessment) -> Verdict:
    subject = Subject(a, (), paper_style("en"), Made("2026-11-29"))
    words = plain(standing(subject).rows[-1][1])
    return next(verdict for said, verdict in SHEET.items() if said in words)


def by_findings(a: Assessment) -> Verdict:
    codes = {each.code for each in findings(a.vehicle, a)} & set(FOUND)
    assert len(codes) <= 1
    return FOUND[codes.pop()] if codes else "holds"


VEHICLES = {
    "petrol": car(**PETROL),
    "diesel": car(**DIESEL),
    "an old battery in the frost": car({"cca_a": 250.0, "soh": 0.6}, **DIESEL),
    "a published line": car(),
    "contactors": car(starts_by="contactors"),
    "flat": car({"start_soc": 0.1}, **PETROL),
    "lithium": car({"chemistry": "lifepo4", "cca_a": None}, **PETROL),
    **{key: read_demo(key) for key, _ in demo_names()},
}


@pytest.mark.parametrize("name", VEHICLES)
def test_page_strip_command_sheet_and_findings_say_the_same(
    name: str, tmp_path: Path, capsys: Any
) -> None:
    told = set()
    first = assess(VEHICLES[name]).band
    between = {(first.low_h + first.middle_h) / 48, (first.middle_h + first.high_h) / 48}
    for days in sorted({0.1, 2.0, 400.0} | {each for each in between if 0.0 < each < 1e3}):
        a = assess(edits.change_parking(VEHICLES[name], stand_days=days))
        said = {
            "page": by_page(a),
            "strip": by_strip(a),
            "command": by_command(a, tmp_path, capsys),
            "sheet": by_sheet(a),
            "findings": by_findings(a),
        }
        assert len(set(said.values())) == 1, (days, said)
        told.add(said["page"])
    assert told


def test_beyond_the_usual_figures_but_not_beyond_the_span_it_may_stand(
    tmp_path: Path, capsys: Any
) -> None:
    usual = assess(VEHICLES["petrol"])
    days = (usual.parked.hours + usual.band.high_h) / 48
    a = assess(edits.change_parking(VEHICLES["petrol"], stand_days=days))
    assert a.parked.hours < days * 24 < a.band.high_h
    assert by_findings(a) == by_command(a, tmp_path, capsys) == by_sheet(a) == "may_not_hold"


def test_where_nobody_spoke_of_the_battery_there_is_no_verdict_but_a_doubt(
    tmp_path: Path, capsys: Any
) -> None:
    a = assess(edits.change_parking(Vehicle(name="Bare"), stand_days=30.0))
    assert by_page(a) == by_strip(a) == by_command(a, tmp_path, capsys) == by_sheet(a)
    assert by_page(a) == "unchecked"
    assert by_findings(a) != "holds"
