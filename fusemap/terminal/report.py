"""`fusemap report FILE`: currents, limits, verdicts, what to measure next, and findings.

Units stand in the keys: `_a` A, `_v` V, `_ah` Ah, `_h` hours since locking, `_c` °C, `_soc` share
of the charge. What does not exist, is not measured or not reached is `null`; so is a load past all
bounds, whose verdict is `fails`.

Every load has two ends: what is known, and the most it may be (`_most_a`); for a load that must be
at least its limit the second is the least it may be. A `verdict` is `holds` (within the limit even
at its most), `may_not_hold` (within it by what is known, not at its most), `fails` (past it by what
is known) or `unchecked` (no limit or no load to hold against each other). A `limit_ground` is
`published`, `user`, `analogy` (a like fuse's), `assumed` (a rule of this program) or `none`.

JSON keys:
vehicle, system_v
verdict: of the whole vehicle as planned
standing: verdict, planned_h, low_h, high_h (null past the time planned)
  unanswered[] (the low end is made with its hard end): key, what, answer, low_h (the low end if it
    came out as is usual, null past the forecast)
counts: stop, caution, note
measure_next[]: place (slot, feed, tap, output, link), place_id, how (say, label of the
  alternator, warmth of cabin and boot, length, millivolts, volts, contacts, clamp), state, what,
  settles[]: place, place_id, key, states
  (a standing that may not hold: place vehicle, place_id a key of the spread of `fusemap parked`,
  settles the key standing)
slots[]: id, panel, label, circuit, fuse (family, rating_a), feed_class, critical,
  monitored, unanswered, function (leave_alone, regulated, supply, control, watched, unclear or
  comfort), function_answered (by a person, not by its name alone), state, own_a (null where it was
  never measured), own_most_a, own_known, accessories_a, accessories_most_a, host_fuse_a,
  host_fuse_most_a, host_fuse_limit_a, host_fuse_least_a (the limit as warm as it may get there),
  host_fuse_ground, live_contact_a, live_contact_most_a, contact_limit_a, contact_ground, room_a (at
  the most), share, most_share, verdict
unanswered[]: id, label, circuit, mark, why
feeds[]: id, name, state, current_a, most_a, limit_a, limit_least_a, limit_ground, share,
  most_share, verdict, cut_off_v (of its low-voltage cut-off)
sockets[]: id, name, kind, slot, limit_a, module, pins[]: number, function, watts, taps (ids of the
  leads there); a socket without pins has taps instead
taps[]: id, title, accessory, lead, socket, pin, short_s, current_a, most_a, lowest_voltage_v,
  verdict
  hops[]: key, title, quantity, load_known, load_most, limit, limit_least (a fuse's as warm as it
    may get there: what load_most is held against), limit_ground, unit, at_most, verdict, passed
    (false where it fails), share, most_share, state, missing (what keeps it from being checked),
    basis
findings[]: code, severity, what, where, place, place_id, sum, rule, source, remedy, formula

Exit status: 0 done and nothing to stop for, 1 a finding of severity stop, 2 wrong arguments or a
file that cannot be read.
"""

import argparse

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.terminal.command import (
    Answer,
    Parsers,
    add_command,
    add_vehicle,
    vehicle_of,
)
from fusemap.terminal.report_data import report_data
from fusemap.terminal.report_words import report_lines


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    words = "currents, limits and findings"
    description = f"Say on the terminal: {words}."
    parser = add_command(
        commands, "report", words, description, (__doc__ or "").partition("\n\n")[2]
    )
    add_vehicle(parser)


def answer(asked: argparse.Namespace) -> Answer:
    """The report; exit status 1 where a finding says stop. Raises FileProblem."""
    vehicle = vehicle_of(asked.file)
    assessment = assess(vehicle)
    data = report_data(assessment, findings(vehicle, assessment))
    return Answer(1 if data["counts"]["stop"] else 0, data, tuple(report_lines(data)))
