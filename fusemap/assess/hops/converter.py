"""The hop of a converter: what its output may give.

What passes it is told once for each converter, with all that hangs on it, by the checks of
converters.
"""

from typing import Final

import numpy as np

from fusemap.assess.hops.kind import Held, HopKind, Setting, View
from fusemap.assess.result import Basis
from fusemap.text import Amount, Text, say, share


class ConverterOutput(HopKind):
    """The output of a converter that has a tap and something hanging on it."""

    key = "converter"

    def figures(self, s: Setting) -> Held:
        load, limit = s.blank(), s.blank()
        state = np.full(s.count, -1, dtype=np.intp)
        for output in s.a.circuit.taps.behind.outputs:
            column = output.column
            if s.a.circuit.taps.accessories[column].id == output.converter.id:
                load[column], limit[column] = output.current_a.max(), output.limit_a
                state[column] = output.current_a.argmax()
        return Held(load, limit, state)

    def title(self, v: View) -> Text:
        converter = v.accessory.converter
        assert converter is not None  # the hop exists only with a converter
        return say("Converter output, {volts}", volts=Amount(converter.output_v, "V"))

    def basis(self, v: View) -> Basis:
        converter = v.accessory.converter
        assert converter is not None  # the hop exists only with a converter
        behind = v.a.circuit.taps.behind.of(v.column)
        direct = [each for each in behind if each.converter.id == v.tap.accessory]
        drawn = ((each.accessory.name, Amount(float(each.drawn_a.max()), "A")) for each in direct)
        return Basis(
            say(
                "everything that hangs on the output, summed; its input takes the output's watts ÷ "
                "efficiency, and its own draw"
            ),
            (
                *drawn,
                (say("Efficiency"), share(converter.efficiency)),
                (say("Cable behind the converter"), say("not reckoned with")),
            ),
            say("rating as entered for this converter; sum: energy balance"),
        )


HOPS: Final = (ConverterOutput(),)
