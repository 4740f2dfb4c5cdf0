"""Everything that draws on the starter battery of a parked vehicle, and what charges it.

In: an assessed vehicle and its battery model. Out: `ParkedDraws`, in the order of the forecast.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import (
    accessory_draws,
    asleep_a,
    maintainer_draw,
    own_draws,
)
from fusemap.assess.parked.second_battery import Placed, parted, starter_side
from fusemap.assess.parked.topping import TOPPED_UP, may_charge, top_up, top_up_words
from fusemap.assess.parked.weather import typical_c
from fusemap.electrics.parked import Draw
from fusemap.text import Text, say


class ParkedDraws(Struct, frozen=True, eq=False):
    """Everything on the starter battery: the vehicle's own, the accessories', what charges it.

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
    own = (*own_draws(a, assumed), *starter_side(a, model, second))
    return ParkedDraws(
        own=own,
        placed=placed,
        sources=(*_maintained(a, assumed), *_topped_up(a, model, own, placed, assumed)),
        second=second,
        assumed=tuple(assumed),
    )


def _maintained(a: Figures, assumed: list[Text]) -> tuple[Draw, ...]:
    """A maintainer on the starter battery, unless that is a LiFePO4 in the frost."""
    maintainer = a.vehicle.parking.maintainer
    if maintainer is None or maintainer.battery == "second":
        return ()
    return () if _too_cold(a, assumed) else maintainer_draw(maintainer)


def _too_cold(a: Figures, assumed: list[Text]) -> bool:
    """Whether the starter battery is a LiFePO4 in the frost, and that said."""
    if np.all(may_charge(a.vehicle.battery.chemistry, typical_c(a))):
        return False
    words = say("what charges it is not counted on: a LiFePO4 is not charged below freezing")
    if words not in assumed:
        assumed.append(words)
    return True


def _topped_up(
    a: Figures,
    model: BatteryModel,
    own: tuple[Draw, ...],
    placed: Placed,
    assumed: list[Text],
) -> tuple[Draw, ...]:
    """What the drive battery gives, as it is taken, until its times are used up."""
    words = top_up_words(a)
    if words is not None:
        assumed.append(words)
    found = top_up(a)
    if found is None or _too_cold(a, assumed):
        return ()
    leak_a = float(np.asarray(model.wells.leak_per_h(typical_c(a)))) * model.start_soc
    leak_a *= float(np.asarray(model.wells.scaled_ah))
    taken = sum(asleep_a(draw) for draw in (*own, *(each for _, each in placed)))
    mean_a = float(np.asarray(taken)) + leak_a
    if mean_a <= 0 or found.ah <= 0:
        return ()
    return (Draw(TOPPED_UP, phases=((0.0, found.ah / mean_a, -mean_a),)),)
