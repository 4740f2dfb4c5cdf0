"""What can be done to a vehicle: one pure function per action.

Each takes a vehicle and returns a new one, sharing what did not change, or raises `EditRefused`
and leaves everything as it was. Ids of new parts are given here. Each module has the edits of one
kind of part; `whole` has those of the vehicle itself, `shared` what they all use.
"""

from fusemap.vehicle.edits.accessories import (
    add_accessory,
    add_feed,
    change_accessory,
    change_feed,
    change_tap,
    place,
    remove_accessory,
    remove_feed,
    unplace,
)
from fusemap.vehicle.edits.added import (
    add_block,
    add_earth,
    change_earth,
    name_earth,
    remove_earth,
)
from fusemap.vehicle.edits.panels import (
    add_lid,
    add_panel,
    add_slot,
    change_panel,
    change_slot,
    change_slots,
    fit_photo,
    insert_line,
    remove_line,
    remove_panel,
    remove_photo,
    remove_slot,
    set_photo,
)
from fusemap.vehicle.edits.shared import free_id, free_ids
from fusemap.vehicle.edits.sockets import (
    add_socket,
    change_socket,
    plug_in,
    remove_socket,
    set_pin,
)
from fusemap.vehicle.edits.whole import (
    add_crank_reading,
    add_log,
    add_stand_reading,
    change_battery,
    change_parking,
    change_second_battery,
    change_vehicle,
    remove_crank_reading,
    remove_stand_reading,
    set_rule,
    set_second_battery,
)

__all__ = [
    "add_accessory",
    "add_block",
    "add_crank_reading",
    "add_earth",
    "add_feed",
    "add_lid",
    "add_log",
    "add_panel",
    "add_slot",
    "add_socket",
    "add_stand_reading",
    "change_accessory",
    "change_battery",
    "change_earth",
    "change_feed",
    "change_panel",
    "change_parking",
    "change_second_battery",
    "change_slot",
    "change_slots",
    "change_socket",
    "change_tap",
    "change_vehicle",
    "fit_photo",
    "free_id",
    "free_ids",
    "insert_line",
    "name_earth",
    "place",
    "plug_in",
    "remove_accessory",
    "remove_crank_reading",
    "remove_earth",
    "remove_feed",
    "remove_line",
    "remove_panel",
    "remove_photo",
    "remove_slot",
    "remove_socket",
    "remove_stand_reading",
    "set_photo",
    "set_pin",
    "set_rule",
    "set_second_battery",
    "unplace",
]
