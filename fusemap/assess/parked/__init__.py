"""How long a vehicle may stand: who draws, what a start needs, the forecast and how sure it is.

In reading order: `figures` is what comes out; `draws` and `second_battery` say who draws, `who` is
all of them, `unplaced` what has no source yet; `start_spans` says from what a start is reckoned,
`starting` what it needs and which cut-offs leave it, `start_words` puts it into words; `week` says
whether the driving puts back what standing takes, `standing` what all forecasts reckon with;
`forecasting` looks ahead, `spans` and `band` say how sure that is.
"""
