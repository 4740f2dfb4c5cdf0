"""Where to take the power from: candidates, and the best joint plan.

In reading order: `rooms` (what a lead asks, and what is left where), `rules` (what forbids a slot),
`candidates` (slots ranked, with reasons), `suggest` (fuse and cable of a first tap or an own feed),
`joint` (all leads at once, provably best), `variants` (two plans side by side), `marks` (what a
circuit's name gives away).

`joint` is imported where it is used: its solver takes long to load.
"""

from fusemap.placement.candidates import Candidate, candidates
from fusemap.placement.suggest import suggest_own_feed, suggest_tap

__all__ = ["Candidate", "candidates", "suggest_own_feed", "suggest_tap"]
