"""What to do about a finding, and what would let the vehicle stand longer: edits, tried first.

In reading order: `fix` (the values), `chain`, `source` and `parked` (makers of fixes by subject),
`table` (which makers answer which finding), `trial` (each fix tried out on the vehicle), `what_if`
(changes for the parked battery, the best first).
"""
