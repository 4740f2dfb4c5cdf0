"""Built from the paper alone: every question that came up, and where on it the answer stands.

Somebody who did not plan the job went through it step by step with nothing but the PDF. What had to
be asked is listed here; each answer is looked for in the printed text, on the pages of its section.
"""

from functools import cache
from itertools import pairwise
from typing import NamedTuple

import pytest

from fusemap.files import demos
from fusemap.sheet.paint import Pages
from tests import trade_vehicles
from tests.sheet.conftest import content_of, read_back, squeezed

ORDER, CUT, PARTS = "Order of work", "Cut list", "Parts and fuses"
CHECK, DIFFERS = "Check after fitting", "Where a reading differs"
DIAGRAM, EACH, WHERE = "Circuit diagram of the whole job", "Connections one by one", "Where it goes"
FIRST, UNDO, OWNER = "Before you touch the vehicle", "How to undo it", "For the owner"
FITTED, TORQUES = "What is fitted, and where", "Terminals and torques"


class Asked(NamedTuple):
    """A question, the section that answers it, and words of the answer as they are printed."""

    question: str
    section: str
    answer: str


CAMPER = (
    Asked("What may hurt before anything is begun?", FIRST, "wait before working near airbags"),
    Asked("Which tools?", FIRST, "ratchet crimping tool"),
    Asked("What is fitted, and on which slot?", FITTED, "Compressor cool box 1 – Living block"),
    Asked("What is read before the work?", ORDER, "measure the rest current of the whole vehicle"),
    Asked("Where is that read?", ORDER, "Clamp round the battery’s minus lead"),
    Asked("Which pole comes off first?", ORDER, "minus clamp off first and put it on last"),
    Asked("Where does the block go?", ORDER, "Fix the fuse block Living block; leave all its fuses "
                                             "out. cabin"),
    Asked("How is the battery held?", ORDER, "It must not move in a crash"),
    Asked("Where does the cool box go?", ORDER, "Fix Compressor cool box in its place. cabin"),
    Asked("Does trim come off?", ORDER, "Take the trim off on the way of the cables"),
    Asked("Which cable to the second battery?", ORDER, "W0+ from Battery to Second battery. 16"),
    Asked("Where does it lie?", ORDER, "1 m in: engine bay, 3 m in: door sill"),
    Asked("How much of it in a sleeve?", ORDER, "1 m of it in a sleeve"),
    Asked("How through the bulkhead?", ORDER, "Lead W0+ through the bulkhead in a grommet"),
    Asked("What is written on the cable?", ORDER, "label both ends W0+"),
    Asked("How long is it cut?", CUT, "4 m 4.7 m 1 m"),
    Asked("Which cable is its minus?", CUT, "W0− at least 16 mm²"),
    Asked("Where does that minus go?", ORDER, "minus to the body by W0−"),
    Asked("Where does the cool box’s minus go?", ORDER, "W1− of Compressor cool box (1) to: bolt "
                                                       "behind the side trim"),
    Asked("Which ring on which stud, how far stripped?", ORDER, "ring terminal M8; yellow sleeve, "
                                                               "strip 7.3 mm to 8.7 mm"),
    Asked("How tight?", ORDER, "M8: 13 Nm where the vehicle maker gives no other"),
    Asked("Where is that torque from?", TORQUES, "instructions, table 9-1"),
    Asked("How does the crimp have to hold?", ORDER, "holds a pull of 330 N"),
    Asked("How at the cool box?", ORDER, "at the device: its own terminal, or a butt crimp"),
    Asked("Is a cable pinched?", ORDER, "measure ohms from each new plus cable to the body"),
    Asked("Which way round is the charger?", ORDER, "input from the battery, output to the second"),
    Asked("How is the charger set?", ORDER, "set to charge: Lithium iron phosphate"),
    Asked("Where are the link’s fuses?", ORDER, "a fuse holder at each battery"),
    Asked("Where is the block’s fuse?", ORDER, "0.12 m from Second battery at most"),
    Asked("Which lug on the thick cable?", ORDER, "tube lug for 16 mm²"),
    Asked("How tight at battery and block?", ORDER, "as the makers of battery, holder and block"),
    Asked("Which fuse goes in when?", ORDER, "Put the fuses of W0+ in, at both batteries. 50 A"),
    Asked("Which fuse for the cool box?", ORDER, "into slot 1 – Living block. 10 A regular, red"),
    Asked("How much may the fuse carry for long?", EACH, "Fuse in the block 3.44 A at most 7.5 A"),
    Asked("Which place of the block is 1?", WHERE, "Living block"),
    Asked("How is all of it connected?", DIAGRAM, "WA+ 16 mm²"),
    Asked("How many lugs to buy?", PARTS, "Ring terminal, 16 mm²"),
    Asked("Which charger to buy?", PARTS, "DC-DC charger, 30 A"),
    Asked("How is the meter set?", CHECK, "red tip at the first place named"),
    Asked("How much should it draw?", CHECK, "3.44 A (2.7 A to 4.2 A)"),
    Asked("Where do the tips go for the earth?", CHECK, "to the second battery’s minus"),
    Asked("How much drop to the block is right?", CHECK, "(at most 94 mV)"),
    Asked("When does the cut-off open?", CHECK, "10.4 V (10.2 V to 10.6 V)"),
    Asked("What if a fuse opens at once?", DIFFERS, "Take the fuse out and measure from the cable"),
    Asked("What if the earth drop is higher?", DIFFERS, "paint or rust under the earth point"),
    Asked("What is told to the owner?", OWNER, "Compressor cool box (1): fuse 10 A regular, red"),
    Asked("How is it taken out again?", UNDO, "Take the fuse of slot 1 – Living block out"),
)  # fmt: skip

CAMERA = (
    Asked("What must not be touched in this car?", FIRST, "Orange cables carry dangerous voltage"),
    Asked("Which slot?", FITTED, "Dash camera F3 Radio"),
    Asked("Where is F3?", FITTED, "F3 (1)"),
    Asked("Is the battery disconnected?", ORDER, "Switch everything off, take the key out"),
    Asked("How do I know the live side?", ORDER, "the one with voltage is the live side"),
    Asked("Which side should that be, and when?", ORDER, "F3: live side at the top, key at "
                                                         "accessory"),
    Asked("Which cable, which way?", ORDER, "W1+ from F3 Radio to Dash camera. 0.75 mm²"),
    Asked("How long is it cut?", CUT, "2 m 2.5 m"),
    Asked("Which cable to earth, how long?", ORDER, "at least 0.75 mm² (about AWG 18), length as "
                                                    "measured at the vehicle"),
    Asked("Which ring, how far stripped?", ORDER, "ring terminal M8; red sleeve, strip 5 mm to"),
    Asked("How tight is the earth?", ORDER, "M8: 13 Nm"),
    Asked("How at the camera?", ORDER, "at the device: its own terminal, or a butt crimp: red"),
    Asked("Which tap, which way round?", ORDER, "Two-fuse tap, common blade on the live side (live "
                                                "side at the top)"),
    Asked("Where does the old fuse go?", ORDER, "the host fuse 15 A mini, blue goes into the tap"),
    Asked("Which fuse for the camera?", ORDER, "Accessory fuse: 3 A mini, violet"),
    Asked("Which joint at the tap?", ORDER, "butt crimp with sealing sleeve; red sleeve, strip 6"),
    Asked("What does it look like?", EACH, "common blade"),
    Asked("Which tap to buy?", PARTS, "Two-fuse tap for mini"),
    Asked("Is it the right way round?", CHECK, "pull the host fuse of F3 out of the tap"),
    Asked("And what should happen then?", CHECK, "accessory stays on"),
    Asked("What if it goes off?", DIFFERS, "Turn the tap by half a turn"),
    Asked("How much should it draw?", CHECK, "0.316 A (0.22 A to 0.42 A)"),
    Asked("Which volts at the camera?", CHECK, "12.7 V (12.1 V to 13.3 V)"),
    Asked("Where do the tips go?", CHECK, "Meter at the device’s own plus and minus"),
    Asked("What if it is lower?", DIFFERS, "a joint or contact has resistance"),
    Asked("What if it gets warm?", DIFFERS, "the tap does not grip in the contacts"),
    Asked("Does the radio still work?", CHECK, "does Radio work as before"),
    Asked("What is the rest current after?", CHECK, "15 mA (12 mA to 18 mA)"),
    Asked("How is it taken out again?", UNDO, "Put back alone: 15 A mini, blue"),
)  # fmt: skip

SENSED = (
    Asked("Which lead to which slot?", ORDER, "Dash camera (1s), sense wire into slot F13"),
    Asked("A tap turned on purpose?", ORDER, "common blade on the load side, REVERSED"),
    Asked("Into which wire is the splice?", ORDER, "sense wire into the wire of slot F9"),
    Asked("What is not to be fitted as it is?", "Does it hold?", "STOP: do not fit this as it is"),
    Asked("Which live sides?", ORDER, "F13: live side at the bottom"),
    Asked("Which cable is W1s?", CUT, "W1s 0.75 mm²"),
)  # fmt: skip

JOBS = {"camper": CAMPER, "camera": CAMERA, "sensed": SENSED}
CASES = [(job, asked) for job, every in JOBS.items() for asked in every]


@cache
def sections(job: str) -> dict[str, str]:
    """The printed text of each section: that of the pages it stands on."""
    vehicle = {
        "camper": trade_vehicles.camper,
        "camera": trade_vehicles.electric,
        "sensed": lambda: demos.read_demo("family_estate"),
    }[job]()
    pages = Pages(content_of(vehicle))
    read = [page.extract_text() for page in read_back(pages.pdf()).pages]
    marks = [*pages.bookmarks(), ("", len(read) - 1)]
    return {
        title: " ".join(read[first : last + 1]) for (title, first), (_, last) in pairwise(marks)
    }


@pytest.mark.parametrize(
    ("job", "asked"), CASES, ids=[f"{job}: {asked.question}" for job, asked in CASES]
)
def test_the_paper_answers_it(job: str, asked: Asked) -> None:
    assert squeezed(asked.answer) in squeezed(sections(job)[asked.section]), asked
