"""From readings at the vehicle to what is known about it, and what to read next.

`entry` reads what was typed, `session` holds one walk along the slots, `disbelief` asks about what
can hardly be, `plan` says what is still in question; `feeds`, `sides`, `loads` and `rest_current`
conclude, `conclusions` puts that into the vehicle. `paste` and `travel` bring readings in and out,
`final_check` holds the finished job against what was predicted. No Qt.
"""
