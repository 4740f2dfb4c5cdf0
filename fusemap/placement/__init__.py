"""Where to take the power from: candidates, the best joint plan, ways out of what was found.

In reading order: `asks` (what a lead asks), `rooms` (what is left where), `rules` (what forbids a
slot), `candidates` (slots ranked, with reasons), `suggest` (fuse and cable of a first tap),
`relay_plan`, `joint` (all leads at once, provably best), `ways_out` (a way out of every finding),
`variants` (two plans side by side), `marks` (what a circuit's name gives away).

`joint` and `ways_out` are imported where they are used: their solver takes long to load.
"""

from fusemap.placement.candidates import Candidate, candidates
from fusemap.placement.suggest import suggest_own_feed, suggest_tap

__all__ = ["Candidate", "candidates", "suggest_own_feed", "suggest_tap"]
