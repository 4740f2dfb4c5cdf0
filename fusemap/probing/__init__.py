"""From readings at the vehicle to what is known about it, and what to read next.

`evidence` says which readings count and in which words; `loads` and `feeds` conclude from them,
`conclusions` puts that into the vehicle. `session` holds one walk along the slots and goes on with
it, `keys` says what a key does: `entry` reads what was typed, `disbelief` asks about what can
hardly be, `storing` makes readings of it. `plan` says what is still in question, and how a hand
walks. `paste` and `travel` bring readings in and out, `final_check` holds the finished job against
what was predicted. No Qt.
"""
