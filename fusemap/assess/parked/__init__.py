"""How long a vehicle may stand: who draws, what a start needs, the forecast and how sure it is.

In reading order: `figures` is what comes out; `own_draws`, `tap_draws` and `second_battery` say who
draws, `starting` what a start needs; `forecasting` looks ahead, `cut_offs` says what they let work;
`inputs` and `band` how sure that is, `week` whether the driving puts it back.
"""
