"""Placing an accessory on a slot, by dragging or by keyboard: offers, ranking, the edit.

In: what is being placed, as the text of a drag or a `Payload`; out: an `Offer` for every slot and,
at the drop, one step of the history. What fits where is asked of `fusemap.placement`.
"""

import json
from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QByteArray, QCoreApplication, QMimeData, QObject, Signal

from fusemap.advise import library
from fusemap.errors import EditRefused
from fusemap.text import Style, Text, say
from fusemap.vehicle import Accessory, Vehicle, edits, look_up
from fusemap.vehicle.words import FEED, FeedClass, LeadName
from fusemap.window.document import Document
from fusemap.window.panel.behind import first_choices, fitting_converters, hang_choices
from fusemap.window.panel.slot_words import candidate_words

if TYPE_CHECKING:
    from fusemap.assess import Assessment
    from fusemap.placement import Candidate

translate = QCoreApplication.translate
MIME: Final = "application/x-fusemap-accessory"


class Payload(Struct, frozen=True):
    """What is being placed: a lead of an accessory of the vehicle, or a kind of the library."""

    accessory: str = ""
    kind: str = ""
    lead: LeadName = "power"

    @classmethod
    def read(cls, fields: Mapping[str, Any]) -> "Payload":
        """From its fields by name; what is not a field is left aside."""
        return cls(
            accessory=str(fields.get("accessory", "")),
            kind=str(fields.get("kind", "")),
            lead="sense" if fields.get("lead") == "sense" else "power",
        )


class Offer(Struct, frozen=True):
    """What a slot offers to what is being placed; `rank` from 1 where it fits, else 0."""

    candidate: "Candidate"
    rank: int

    @property
    def fits(self) -> bool:
        """Whether it can be dropped here."""
        return self.candidate.fits


class Stuck(Struct, frozen=True):
    """What was to be placed on a slot of which nobody knows when it is live.

    `name` of the accessory, `why` it was refused, `others` the slots that can take it, best first.
    """

    payload: Payload
    slot_id: str
    name: str
    why: Text | str
    others: tuple[str, ...] = ()


def mime_of(payload: Payload) -> QMimeData:
    """The payload as what a drag carries."""
    who = {"kind": payload.kind} if payload.kind else {"accessory": payload.accessory}
    mime = QMimeData()
    text = json.dumps({**who, "lead": payload.lead})
    mime.setData(MIME, QByteArray(text.encode()))
    return mime


def payload_of(mime: QMimeData) -> Payload | None:
    """What a drag carries, or `None` when it is nothing for a panel."""
    if not mime.hasFormat(MIME):
        return None
    try:
        payload = Payload.read(json.loads(bytes(mime.data(MIME).data())))
    except (ValueError, AttributeError):
        return None
    return payload if payload.accessory or payload.kind else None


class Placing(QObject):
    """What is being placed at the moment, shared by all panels; `changed` when that changes."""

    changed = Signal()
    given_up = Signal()
    """It was put back, without a place."""
    pointed = Signal(str)
    """It is held over this slot, or over none."""
    stuck = Signal(object)
    """Refused for nothing but that it is not known when the slot is live: a `Stuck`."""
    waits = Signal()
    """What was refused so waits in its slot for an answer, or waits no longer."""

    def __init__(self, document: Document, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._style = style
        self.payload: Payload | None = None
        self.accessory: Accessory | None = None
        self.offers: dict[str, Offer] = {}
        self.waiting: Stuck | None = None
        self._left: dict[str, Offer] = {}
        """What every slot offered to what waits for an answer now."""
        document.changed.connect(self._vehicle_changed)

    @property
    def active(self) -> bool:
        """Whether something is being placed."""
        return self.payload is not None

    @property
    def shown(self) -> dict[str, Offer]:
        """What every slot offers to what is in hand, or to what waits for an answer in its slot."""
        if self.active:
            return self.offers
        waits = self.waiting
        return {} if waits is None else {k: o for k, o in self._left.items() if k != waits.slot_id}

    @property
    def ranked(self) -> tuple[str, ...]:
        """The slots that can take it, best first."""
        return tuple(slot_id for slot_id, offer in self.offers.items() if offer.fits)

    def begin(self, payload: Payload) -> bool:
        """Take something up; False when there is no such accessory."""
        try:
            accessory = _accessory(self._document.vehicle, payload, self._style)
        except (EditRefused, KeyError):
            self.end()
            return False
        self.payload, self.accessory = payload, accessory
        self.offers = _offers(self._document, accessory, payload.lead)
        self.changed.emit()
        return True

    def begin_kind(self, kind: str) -> bool:
        """Take up a kind of the library."""
        return self.begin(Payload(kind=kind))

    def end(self) -> None:
        """Have nothing in hand any more."""
        if self.payload is not None:
            self.payload = self.accessory = None
            self.offers = {}
            self.changed.emit()

    def put_back(self) -> None:
        """Leave it where it was taken up."""
        self.end()
        self.given_up.emit()

    def after(self, slot_id: str, step: int) -> str | None:
        """The next slot that can take it, better (−1) or less good (1) than this one."""
        ranked = self.ranked
        if not ranked:
            return None
        if slot_id not in ranked:
            return ranked[0]
        return ranked[(ranked.index(slot_id) + step) % len(ranked)]

    def offer_words(self, slot_id: str) -> str:
        """What a slot says to what is being placed, with all its reasons."""
        offer = self.offers.get(slot_id)
        if offer is None:
            return ""
        show = self._style.show
        name = show(look_up.slot_words(look_up.slot(self._document.vehicle, slot_id)))
        first = f"{name} {candidate_words(offer.candidate, self._style)}"
        sentences = (first, *(show(reason) for reason in offer.candidate.reasons[1:]))
        return " ".join(f"{each.rstrip('.')}." for each in sentences)

    def refusal(self, slot_id: str) -> EditRefused | None:
        """Why it cannot be dropped on a slot, or `None` when it can."""
        offer = self.offers.get(slot_id)
        if offer is not None and offer.fits:
            return None
        slot = look_up.slot(self._document.vehicle, slot_id)
        why, remedy = say("It is not a fuse slot."), self._remedy(())
        if offer is not None:
            rules = offer.candidate.rules
            why, remedy = offer.candidate.reasons[0], self._remedy(rules)
        return EditRefused(why, where=look_up.place_words(slot), remedy=remedy)

    def refusal_words(self, slot_id: str) -> str:
        """The same in words, beside the slot; empty where it can be dropped."""
        refusal = self.refusal(slot_id)
        if refusal is None:
            return ""
        shown = (self._style.show(each) for each in (refusal.where, refusal.what, refusal.remedy))
        where, what, remedy = shown
        return f"{where}: {what.rstrip('.')} ({remedy})"

    def _remedy(self, rules: tuple[str, ...]) -> Text:
        """What to do about a slot that breaks these rules."""
        if "voltage" in rules:
            if not self._behind():
                return say("place a converter first, and hang it behind that")
            return say("choose a converter’s output as its source")
        if rules[:1] == ("unknown",):
            return say("measure it in Probe, or say in its details when it is live")
        return say("choose a slot with a tick") if self.ranked else say("give it an own feed")

    @property
    def wants_a_converter(self) -> bool:
        """Whether it is made for another voltage than the vehicle's."""
        return any("voltage" in offer.candidate.rules for offer in self.offers.values())

    def _behind(self) -> tuple[Accessory, ...]:
        """The converters that it may hang behind."""
        if self.accessory is None:
            return ()
        return fitting_converters(self._document.vehicle, self.accessory)

    @property
    def waits_for_readings(self) -> bool:
        """Whether some slot is refused for nothing but that it was not measured when it is live."""
        return any(offer.candidate.rules == ("unknown",) for offer in self.offers.values())

    def refuse(self, slot_id: str) -> bool:
        """Tell why it cannot be dropped on a slot, and what may be chosen; False when it can."""
        refusal = self.refusal(slot_id)
        if refusal is None:
            return False
        if (stuck := self._stuck(slot_id, refusal)) is not None:
            self._left = self.offers
            self.end()
            self._document.select("slot", slot_id)
            self.wait(stuck)
            self.stuck.emit(stuck)
            return True
        self._document.refused.emit(refusal)
        if choices := self._choices(slot_id):
            self._document.offered.emit(choices)
        return True

    def wait(self, stuck: Stuck | None) -> None:
        """Let what was refused be seen in its slot until it is answered; `None`: no longer."""
        if stuck != self.waiting:
            self.waiting = stuck
            self.waits.emit()

    def _stuck(self, slot_id: str, refusal: EditRefused) -> Stuck | None:
        offer, accessory = self.offers.get(slot_id), self.accessory
        if self.payload is None or accessory is None or offer is None:
            return None
        if offer.candidate.rules != ("unknown",):
            return None
        return Stuck(self.payload, slot_id, accessory.name, refusal.what, self.ranked)

    def drop_open(self, stuck: Stuck) -> bool:
        """Put it there although nobody knows when it is live: findings go on saying so."""
        text = self._step_words(stuck.name, stuck.slot_id)
        assessment = self._document.assessment
        return self._document.apply(
            text, put_on, assessment, stuck.payload, stuck.slot_id, self._style
        )

    def drop_known(self, stuck: Stuck, feed_class: FeedClass) -> bool:
        """Note when a slot is live, as somebody said, and put it there as one step.

        Where the slot cannot take it then, what was said is noted all the same and the reason told.
        """
        text = self._step_words(stuck.name, stuck.slot_id)
        told = edits.change_slot(self._document.vehicle, stuck.slot_id, feed_class=feed_class)
        if _may_drop(told, stuck, self._style):
            return self._document.apply(
                text, put_on_known, stuck.payload, stuck.slot_id, feed_class, self._style
            )
        slot = look_up.slot_words(look_up.slot(self._document.vehicle, stuck.slot_id))
        step = say("{slot}: {feed}", slot=slot, feed=FEED[feed_class].feed)
        self._document.apply(step, edits.change_slot, stuck.slot_id, feed_class=feed_class)
        if self.begin(stuck.payload):
            self.drop(stuck.slot_id)
            self.end()
        return False

    def _choices(self, slot_id: str) -> list[tuple[str, Callable[[], object]]]:
        """What can be done at once: let a mere default go, an own feed, a converter."""
        payload, accessory = self.payload, self.accessory
        if payload is None or accessory is None:
            return []
        if payload.lead == "power" and self.wants_a_converter:
            added = library_fields(payload.kind, self._style) if payload.kind else None
            if behind := self._behind():
                return hang_choices(self._document, accessory, behind, added, self.end)
            return first_choices(self._document, accessory, self._style, self.begin_kind)
        if payload.lead == "power" and self._only_an_own_feed(slot_id):
            own = translate("Placing", "Give it an own feed")
            return [(own, partial(self._give_own_feed, payload, accessory.name))]
        if accessory.needs == "either":
            return []
        words = _free_words().get(look_up.slot(self._document.vehicle, slot_id).feed_class)
        freed = _offers(self._document, replace(accessory, needs="either"), payload.lead)
        if words is None or slot_id not in freed or not freed[slot_id].fits:
            return []
        return [(words, partial(self._drop_freed, payload, accessory.name, slot_id))]

    def _only_an_own_feed(self, slot_id: str) -> bool:
        """Whether it is too heavy for any slot, and of the vehicle's own voltage."""
        offer = self.offers.get(slot_id)
        rules = () if offer is None else offer.candidate.rules
        return "relay" in rules and "voltage" not in rules

    def _give_own_feed(self, payload: Payload, name: str) -> bool:
        """Lay it a cable of its own with a fuse, as one step; a kind is added first."""
        self.end()
        text = self.tr("Own feed for {name}").format(name=name)
        return self._document.apply(text, put_on_own_feed, payload, self._style)

    def _drop_freed(self, payload: Payload, name: str, slot_id: str) -> bool:
        """Put it there with its need for a feed let go, as one step."""
        self.end()
        text = self._step_words(name, slot_id)
        done = self._document.apply(text, put_on_freed, payload, slot_id, self._style)
        if done:
            self._document.select("slot", slot_id)
        return done

    def _step_words(self, name: str, slot_id: str) -> str:
        slot = look_up.place_words(look_up.slot(self._document.vehicle, slot_id))
        return self.tr("{name} on {slot}").format(name=name, slot=self._style.show(slot))

    def drop(self, slot_id: str) -> bool:
        """Put it on a slot as one step, or tell why not."""
        payload, accessory = self.payload, self.accessory
        if payload is None or accessory is None:
            return False
        if self.refuse(slot_id):
            return False
        text = self._step_words(accessory.name, slot_id)
        assessment = self._document.assessment
        self.end()
        return self._document.apply(text, put_on, assessment, payload, slot_id, self._style)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self.wait(None)
        if self.payload is not None:
            self.begin(self.payload)


def _offers(document: Document, accessory: Accessory, lead: LeadName) -> dict[str, Offer]:
    from fusemap.placement import candidates  # the numbers: not before something is placed

    found = candidates(document.vehicle, document.assessment, accessory, lead)
    rank = 0
    offers = {}
    for candidate in found:
        rank += candidate.fits
        offers[candidate.slot_id] = Offer(candidate, rank if candidate.fits else 0)
    return offers


def _accessory(vehicle: Vehicle, payload: Payload, style: Style) -> Accessory:
    """What is being placed as an accessory, in the vehicle already or not."""
    if payload.accessory:
        return look_up.accessory(vehicle, payload.accessory)
    return edits.add_accessory(vehicle, **library_fields(payload.kind, style)).accessories[-1]


def library_fields(kind: str, style: Style) -> dict[str, Any]:
    """The fields of a kind of the library, with its name and note in the user's language."""
    known = library.kind(kind)
    name, note = style.show(Text(known.name).capital()), style.show(Text(known.note))
    return library.fields(kind) | {"name": name, "note": note}


def put_on(
    vehicle: Vehicle, assessment: "Assessment", payload: Payload, slot_id: str, style: Style
) -> Vehicle:
    """The vehicle with what is being placed on a slot; a kind of the library is added first.

    A first placement gets the proposed fuse and cable; a lead that moves keeps its own, and gets a
    fuse that fits where the new slot takes another family.
    """
    from fusemap.placement import suggest_tap  # the numbers: not before something is placed

    accessory = _accessory(vehicle, payload, style)
    lead = payload.lead
    fields = suggest_tap(vehicle, assessment, accessory, lead, slot_id)
    if payload.kind:
        vehicle = edits.add_accessory(vehicle, **library_fields(payload.kind, style))
    old = look_up.tap_of(vehicle, accessory.id, lead)
    if old is not None:
        fields = {key: fields[key] for key in _to_replace(vehicle, accessory.id, lead, slot_id)}
    return edits.place(vehicle, accessory.id, lead, slot=slot_id, **fields)


def _may_drop(vehicle: Vehicle, stuck: Stuck, style: Style) -> bool:
    """Whether a slot of this vehicle takes what was in hand."""
    from fusemap.assess import assess  # the numbers: not before something is placed
    from fusemap.placement import candidates

    accessory = _accessory(vehicle, stuck.payload, style)
    found = candidates(vehicle, assess(vehicle), accessory, stuck.payload.lead)
    return any(each.fits for each in found if each.slot_id == stuck.slot_id)


def put_on_known(
    vehicle: Vehicle, payload: Payload, slot_id: str, feed_class: FeedClass, style: Style
) -> Vehicle:
    """The vehicle with what is being placed on a slot of which somebody says when it is live."""
    from fusemap.assess import assess  # the numbers: not before something is placed

    vehicle = edits.change_slot(vehicle, slot_id, feed_class=feed_class)
    return put_on(vehicle, assess(vehicle), payload, slot_id, style)


def put_on_freed(vehicle: Vehicle, payload: Payload, slot_id: str, style: Style) -> Vehicle:
    """The vehicle with what is being placed on a slot, and no need for a certain feed any more."""
    from fusemap.assess import assess  # the numbers: not before something is placed

    if payload.kind:
        vehicle = edits.add_accessory(vehicle, **library_fields(payload.kind, style))
        payload = Payload(accessory=vehicle.accessories[-1].id, lead=payload.lead)
    vehicle = edits.change_accessory(vehicle, payload.accessory, needs="either")
    return put_on(vehicle, assess(vehicle), payload, slot_id, style)


def put_on_own_feed(vehicle: Vehicle, payload: Payload, style: Style) -> Vehicle:
    """The vehicle with what is being placed on a feed of its own, fuse and cable as proposed."""
    from fusemap.assess import assess  # the numbers: not before something is placed
    from fusemap.placement import suggest

    if payload.kind:
        vehicle = edits.add_accessory(vehicle, **library_fields(payload.kind, style))
        payload = Payload(accessory=vehicle.accessories[-1].id)
    accessory = look_up.accessory(vehicle, payload.accessory)
    return suggest.fit(vehicle, suggest.own_feed(vehicle, assess(vehicle), accessory))


def _free_words() -> dict[FeedClass, str]:
    """What one says who lets a need for a feed go, by the feed class of the slot."""
    return {
        "permanent": translate("Placing", "It may stay live when parked"),
        "ignition": translate("Placing", "It may work with the ignition only"),
        "accessory": translate("Placing", "It may work with the key at accessory only"),
        "delayed_off": translate("Placing", "It may go dead some time after parking"),
    }


def _to_replace(
    vehicle: Vehicle, accessory_id: str, lead: LeadName, slot_id: str
) -> tuple[str, ...]:
    """Which fields of a tap that moves have to be proposed anew."""
    tap = look_up.tap_of(vehicle, accessory_id, lead)
    if tap is None or tap.slot == slot_id:
        return ()
    family = look_up.slot(vehicle, slot_id).family
    fuse = ("fuse",) if tap.fuse is None or tap.fuse.family != family else ()
    cable = ("cable_out",) if tap.cable_out is None else ()
    return (*fuse, *cable, *(("kind", "way_round") if tap.slot is None else ()))
