"""How long a vehicle may stand: who draws, what a start needs, the forecast and how sure it is.

In reading order: `figures` is what comes out; `draws` and `second_battery` say who draws,
`starting` what a start needs and which cut-offs leave it; `forecasting` looks ahead, `band` says
how sure that is, `week` whether the driving puts it back.
"""
