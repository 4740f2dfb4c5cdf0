"""What to crimp on and how tight: words for the ends of cables, from the tables.

In: a subject, a cable, a thread. Out: words; where the tables have nothing, that the vehicle's
maker says it, and what is from memory says that it is the usual figure, to be checked. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap import tables
from fusemap.sheet.cables import numbered
from fusemap.sheet.content import Row, StepSign, Table
from fusemap.sheet.subject import Subject
from fusemap.tables import Crimp, CrimpKind, Source
from fusemap.tables.fitting import LARGEST_INSULATED_MM2
from fusemap.tables.reading import STATUS_TEXT
from fusemap.text import Amount, Section, Text, Words, in_row, run_on, say, say_in
from fusemap.vehicle import Cable, Tap, look_up

THINNEST_MM: Final = 4.0
"""Thinner threads are in no vehicle's earth point."""
AS_THE_MAKER_SAYS: Final = say("torque: as the vehicle maker says")
PARTS_SAY: Final = say("torque: as the makers of battery, holder and block say")
AS_THE_PART_SAYS: Final = say("terminal and strip length: as the maker of the part says")
BUTT: Final = ("butt_crimp",)
INSULATED: Final = ("blade_terminal",)
"""Joints that the table has terminals for; for any other the part's maker says."""


def thread_of(subject: Subject, tap: Tap) -> float | None:
    """The thread of a tap's earth point [mm], `None` where nobody looked."""
    if tap.earth is None:
        return None
    return look_up.earth(subject.vehicle, tap.earth).stud_mm


def torque_words(thread_mm: float | None) -> Text:
    """How tight a ring terminal is done up on a thread [mm].

    >>> str(torque_words(None))
    'torque: as the vehicle maker says'
    """
    found = tables.torque(thread_mm)
    if found is None:
        return AS_THE_MAKER_SAYS
    return say(
        "M{thread}: {torque} where the vehicle maker gives no other",
        thread=found.thread_mm,
        torque=Amount(found.torque_nm, "Nm"),
    )


def crimp_words(kind: CrimpKind, area_mm2: float) -> Text:
    """The terminal for a section [mm²], how far the cable is stripped, how hard it is pulled."""
    found = tables.crimp(kind, area_mm2)
    if found is None:
        return AS_THE_PART_SAYS
    force = tables.pull(area_mm2)
    pulled = (
        "" if force is None else say("holds a pull of {force}", force=Amount(force.force_n, "N"))
    )
    return in_row(part for part in (sleeve(found), strip_words(found), pulled) if part)


def sleeve(crimp: Crimp) -> Text:
    """What the terminal is told by: the colour of its sleeve, or that it is a tube lug."""
    if not crimp.colour:
        return say("tube lug for {section}", section=Section(crimp.to_mm2))
    return say("{colour} sleeve", colour=Text(crimp.colour))


def strip_words(crimp: Crimp) -> Text:
    """How far the insulation is taken off; a figure from memory says so."""
    ends = [Amount(each, "mm") for each in (crimp.strip_low_mm, crimp.strip_high_mm)]
    text = say("strip {low} to {high}", low=ends[0], high=ends[1])
    return (
        text
        if crimp.strip_source.status != "memory"
        else run_on(text, say("(usual figure, check)"))
    )


def ring_words(
    cable: Cable | None, thread_mm: float | None, unknown: Text = AS_THE_MAKER_SAYS
) -> Words:
    """A ring terminal on a cable for a thread [mm], and how tight; `unknown` says who says it."""
    stud = "" if thread_mm is None else f"M{thread_mm:g}"
    name = run_on(say("ring terminal"), stud)
    crimped = "" if cable is None else crimp_words(ring_kind(cable), cable.section_mm2)
    tight = unknown if thread_mm is None else torque_words(thread_mm)
    return run_on(*(part for part in (name, crimped, tight) if part), between="; ")


def device_words(cable: Cable | None) -> Text:
    """How a cable ends at a device: the device's own terminal, or a crimp for its section."""
    if cable is None:
        return say("at the device: its own terminal")
    if ring_kind(cable) == "lug":
        crimped = crimp_words("lug", cable.section_mm2)
        return say("at the device: a ring terminal on its stud: {crimp}", crimp=crimped)
    crimped = crimp_words("butt", cable.section_mm2)
    return say("at the device: its own terminal, or a butt crimp: {crimp}", crimp=crimped)


def device_sign(cable: Cable | None) -> StepSign:
    """The small drawing of that end."""
    return "joint" if cable is None or ring_kind(cable) == "insulated" else "ring"


def ring_kind(cable: Cable) -> CrimpKind:
    """Whether a ring terminal for a cable has a coloured sleeve or is a tube lug."""
    return "insulated" if cable.section_mm2 <= LARGEST_INSULATED_MM2 else "lug"


def joint_words(
    subject: Subject, joint: str, cable: Cable | None, unknown: Text = AS_THE_MAKER_SAYS
) -> Words:
    """A joint with the terminal for its cable, where the tables have one."""
    name = subject.joint(joint)
    if cable is None or not joint:
        return name
    if joint in BUTT:
        crimped: Words = crimp_words("butt", cable.section_mm2)
    elif joint in INSULATED:
        crimped = crimp_words("insulated", cable.section_mm2)
    elif joint == "ring_terminal":
        return ring_words(cable, None, unknown)
    else:
        crimped = AS_THE_PART_SAYS
    return run_on(name, crimped, between="; ")


def source_words(source: Source) -> Words:
    """Where a figure is from, in the language of the document, and how far it can be trusted."""
    how = STATUS_TEXT.get(source.status)
    return source.title if how is None else say("{title} ({how})", title=source.title, how=how)


# --- the figures in one table ---------------------------------------------------------------------


def figures(subject: Subject) -> Table:
    """Terminals by section and torques by thread, with where each is from: for the wall."""
    columns = (
        subject.column(say("For"), 30),
        subject.column(say_in("to fit", "Take"), 44),
        subject.column(say("How far to trust it"), 34),
    )
    rows = (
        subject.row(say("Crimps, by section"), "", "", kind="group"),
        *_crimps(subject),
        subject.row(say("Nuts and bolts, by thread"), "", "", kind="group"),
        *_torques(subject),
    )
    return Table("figures", columns, rows)


def _crimps(subject: Subject) -> Iterator[Row]:
    names: dict[CrimpKind, Text] = {
        "insulated": say("ring or blade terminal"),
        "butt": say("butt crimp with sealing sleeve"),
        "lug": say("ring terminal"),
    }
    used = sorted({each.cable.section_mm2 for each in numbered(subject) if each.cable is not None})
    seen: set[Crimp] = set()
    for kind, name in names.items():
        for area in used:
            found = tables.crimp(kind, area)
            if found is None or found in seen or (kind == "lug") != (area > LARGEST_INSULATED_MM2):
                continue
            seen.add(found)
            section = say("{name}, {section}", name=name, section=Section(area))
            yield subject.row(section, crimp_words(kind, area), source_words(found.source))


def _torques(subject: Subject) -> Iterator[Row]:
    """The torques in one row, since they are from one table; what the vehicle has, by its maker."""
    used = [each for each in tables.torques() if each.thread_mm >= THINNEST_MM]
    figures = (
        say("M{thread}: {torque}", thread=each.thread_mm, torque=Amount(each.torque_nm, "Nm"))
        for each in used
    )
    name = say("Ring terminal on a stud ({metal})", metal=Text(used[0].metal))
    yield subject.row(name, in_row(figures), source_words(used[0].source))
    whole = say("Battery clamp, main fuse, anything of the vehicle")
    yield subject.row(whole, AS_THE_MAKER_SAYS, "–")
