"""Batteries by chemistry: well constants, rest voltage, freezing."""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from fusemap.tables.reading import Source, number, pick, required, rows, source
from fusemap.text import Text, say


class BatteryChemistry(Struct, frozen=True):
    """Defaults of a chemistry: well constants r [-] and k [1/h] (`None`: charge is counted),
    self-discharge, resistance of a 70 Ah 12 V battery [mΩ], start charge and health [-], and the
    share of its capacity it loses in a year [1/a].
    """

    key: str
    name: str
    r: float
    k_per_h: float | None
    self_discharge_share_30d_20c: float
    doubling_k: float
    resistance_mohm_70ah: float
    start_soc: float
    soh: float
    cold_loss_per_k: float
    fade_per_year: float
    source: Source


@cache
def battery_chemistries() -> Mapping[str, BatteryChemistry]:
    """Every chemistry by its key."""
    return {
        row["key"]: BatteryChemistry(
            key=row["key"],
            name=row["name"],
            r=required(row, "r"),
            k_per_h=number(row, "k_per_h"),
            self_discharge_share_30d_20c=required(row, "self_discharge_share_30d_20c"),
            doubling_k=required(row, "doubling_k"),
            resistance_mohm_70ah=required(row, "resistance_mohm_70ah"),
            start_soc=required(row, "start_soc"),
            soh=required(row, "soh"),
            cold_loss_per_k=required(row, "cold_loss_per_k"),
            fade_per_year=required(row, "fade_per_year"),
            source=source(row),
        )
        for row in rows("batteries")
    }


class RestVoltage(Struct, frozen=True):
    """Rest voltage of a 12 V battery at 25 °C [V] by state of charge [-], both rising."""

    soc: tuple[float, ...]
    volts: tuple[float, ...]
    source: Source


@cache
def rest_voltage(chemistry: str) -> RestVoltage:
    """The rest-voltage curve of a chemistry. Raises InputProblem for an unknown one."""
    pick(battery_chemistries(), chemistry, _no_chemistry)
    mine = [row for row in rows("rest_voltage") if row["chemistry"] == chemistry]
    return RestVoltage(
        tuple(required(row, "soc") for row in mine),
        tuple(required(row, "volts") for row in mine),
        source(mine[0]),
    )


class FreezingPoints(Struct, frozen=True):
    """Temperature [°C] at which the acid freezes, by state of charge [-], rising."""

    soc: tuple[float, ...]
    temperature_c: tuple[float, ...]
    source: Source


@cache
def freezing_points() -> FreezingPoints:
    """The freezing points of battery acid."""
    mine = rows("freezing")
    return FreezingPoints(
        tuple(required(row, "soc") for row in mine),
        tuple(required(row, "temperature_c") for row in mine),
        source(mine[0]),
    )


def _no_chemistry(key: str) -> tuple[Text, Text]:
    return say("battery chemistry"), say("there is no battery chemistry “{key}”", key=key)
