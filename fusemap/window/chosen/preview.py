"""What it would be: the vehicle with what is in hand placed on a slot, and the tap it has then.

In: a `Placing` and a slot. Out: the assessment after the drop and the id of the new tap, or `None`
where it cannot be placed there.
"""

from typing import TYPE_CHECKING

from fusemap.errors import FusemapError
from fusemap.text import Argument, Style, say
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.chosen.content import Content
from fusemap.window.chosen.facts import Head
from fusemap.window.document import Document
from fusemap.window.panel.panel_drop import Placing, put_on

if TYPE_CHECKING:
    from fusemap.assess import Assessment


def would_be(
    placing: Placing, vehicle: Vehicle, a: "Assessment", slot_id: str, style: Style
) -> "tuple[Assessment, str] | None":
    """The assessment with the lead in hand on this slot, and its tap."""
    from fusemap.assess import assess  # the numbers: not before something is placed

    offer, payload = placing.offers.get(slot_id), placing.payload
    if offer is None or payload is None or not offer.fits:
        return None
    try:
        after = put_on(vehicle, a, payload, slot_id, style)
    except FusemapError:
        return None
    accessory = payload.accessory or after.accessories[-1].id
    tap = look_up.tap_of(after, accessory, payload.lead)
    return None if tap is None else (assess(after), tap.id)


def preview_content(placing: Placing, document: Document, slot_id: str, style: Style) -> Content:
    """What the pane says of a slot while something is in hand."""
    name = "" if placing.accessory is None else placing.accessory.name
    if not slot_id or slot_id not in placing.offers:
        return Content(Head("", name, say("in hand: hold it over a slot")))
    slot = look_up.slot(document.vehicle, slot_id)
    candidate = placing.offers[slot_id].candidate
    can = say("can take {name}", name=name) if candidate.fits else say("not for {name}", name=name)
    circuit: Argument = slot.circuit or say("What does it feed?")
    head = Head(look_up.slot_words(slot), can, circuit)
    found = would_be(placing, document.vehicle, document.assessment, slot_id, style)
    if found is None:
        return Content(head)
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import stations_of

    after, tap_id = found
    way, folded = stations_of(after, tap_id), stations_of(after, tap_id, folded=True)
    return Content(head, (), say("What it would be"), way, folded)
