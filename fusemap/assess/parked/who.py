"""Everything that draws on the starter battery of a parked vehicle, and what charges it.

In: an assessed vehicle and its battery model. Out: `ParkedDraws`, in the order of the forecast.
"""

from __future__ import annotations

from dataclasses import dataclass

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import accessory_draws, maintainer_draw, own_draws
from fusemap.assess.parked.second_battery import Placed, parted, starter_side
from fusemap.electrics.parked import Draw
from fusemap.text import Text


@dataclass(frozen=True, eq=False)
class ParkedDraws:
    """Everything on the starter battery: the vehicle's own, the accessories', the maintainer.

    `own` holds what a second battery takes through its link; `second` is what hangs on that one.
    """

    own: tuple[Draw, ...]
    placed: Placed
    sources: tuple[Draw, ...]
    second: Placed
    assumed: tuple[Text, ...]

    @property
    def all(self) -> tuple[Draw, ...]:
        """In the order of the forecast."""
        return (*self.own, *(draw for _, draw in self.placed), *self.sources)


def parked_draws(a: Figures, model: BatteryModel) -> ParkedDraws:
    """Who draws on the starter battery of a parked vehicle, and who charges it."""
    assumed: list[Text] = []
    placed, second = parted(a, accessory_draws(a))
    return ParkedDraws(
        own=(*own_draws(a, assumed), *starter_side(a, model, second)),
        placed=placed,
        sources=maintainer_draw(a.vehicle.parking.maintainer),
        second=second,
        assumed=tuple(assumed),
    )
