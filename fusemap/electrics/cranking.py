"""The charge an engine's start needs, from the battery's cold-cranking current.

In: cold-cranking current [A] (−18 °C, EN or SAE), what the starter takes when warm [A],
temperature [°C]. Out: the least state of charge [-]. A second opinion beside the rule of thumb
(`CrankLimit`): three curves of which two were read and one is from memory, no measured engine.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from fusemap.electrics.values import Values, plain, require_positive

CCA_C: Final = -18.0
"""Temperature of the cold-cranking test [°C]."""

BATTERY_SHARE: Final = ((-18.0, -1.0, 27.0), (0.40, 0.65, 1.00))
ENGINE_MULTIPLE: Final = ((-18.0, 27.0), (2.25, 1.0))
EMPTY_SHARE: Final = 0.4
"""Share of its cranking current that an almost empty battery still gives, from memory."""


def battery_share(temperature_c: Values) -> Values:
    """Cranking current of a full battery at `temperature_c` [°C] over that at 27 °C [-].

    Source: 100, 65 and 40 % at 27, -1 and -18 °C (US Army TM 5-1185, table of cranking power); the
    last slope goes on below. Other texts give 50 to 65 % at -18 °C.

    >>> battery_share(-18.0), battery_share(27.0), round(battery_share(-28.0), 2)
    (0.4, 1.0, 0.25)
    """
    celsius, share = BATTERY_SHARE
    slope = (share[1] - share[0]) / (celsius[1] - celsius[0])
    below = np.minimum(0.0, np.asarray(temperature_c) - celsius[0]) * slope
    return plain(np.maximum(0.1, np.interp(temperature_c, celsius, share) + below))


def engine_multiple(temperature_c: Values) -> Values:
    """What the starter takes at `temperature_c` [°C] over what it takes at 27 °C [-].

    Source: 200 to 250 % at -18 °C (a trade text on battery testing), straight from 27 °C and on.

    >>> engine_multiple(27.0), engine_multiple(-18.0), round(engine_multiple(4.5), 3)
    (1.0, 2.25, 1.625)
    """
    (cold, warm), (most, _) = ENGINE_MULTIPLE
    slope = (most - 1.0) / (warm - cold)
    return plain(1.0 + slope * np.maximum(0.0, warm - np.asarray(temperature_c)))


def soc_to_crank(cca_a: Values, warm_a: Values, temperature_c: Values) -> Values:
    """Least state of charge [-] that cranks: 0 where even an empty one would, above 1 where none.

    cca_a [A] at -18 °C when full; warm_a [A] what the starter takes at 27 °C; temperature_c [°C].
    Source: battery_share and engine_multiple; that the current falls straight with the charge, to
    0.4 of it when empty, is from memory, unverified. Raises InputProblem that names the argument.

    >>> round(soc_to_crank(680.0, 160.0, -18.0), 2)  # 360 of 680 A
    0.22
    >>> round(soc_to_crank(300.0, 160.0, -18.0), 2)  # a worn one: not even when full
    1.33
    """
    require_positive(cca_a, "cca_a", "A")
    require_positive(warm_a, "warm_a", "A")
    gives = np.asarray(cca_a) * battery_share(temperature_c) / battery_share(CCA_C)
    share = np.asarray(warm_a) * engine_multiple(temperature_c) / gives
    return plain(np.maximum(0.0, (share - EMPTY_SHARE) / (1.0 - EMPTY_SHARE)))
