"""Where a job stands: its stages, what is said of the whole, and the one step that comes next.

In: a vehicle, assessed and checked. Out: values with texts; nothing here changes a vehicle. The
step itself is `fusemap.job.next_step`'s: with it comes all that tries ways out of findings.
"""

from fusemap.job.stages import STAGES, Stage, StageState, stage_states
from fusemap.job.standing_of import Job, Standing
from fusemap.job.whole_cells import Cell, days_cell, holds_cell, no_days_cell, open_cell

__all__ = [
    "STAGES",
    "Cell",
    "Job",
    "Stage",
    "StageState",
    "Standing",
    "days_cell",
    "holds_cell",
    "no_days_cell",
    "open_cell",
    "stage_states",
]
