"""From readings at the vehicle to what is known about it, and what to read next.

`session` holds one walk along the slots and `keys` says what a key does to it: `entry` reads what
was typed, `drafts` makes readings of it, `disbelief` asks about what can hardly be, `storing` asks
for the edit, `walking` goes on; `plan` says what is still in question and `order` how a hand walks.
`feeds`, `sides`, `loads` and `rest_current`
conclude, `conclusions` puts that into the vehicle. `paste` and `travel` bring readings in and out,
`final_check` holds the finished job against what was predicted. No Qt.
"""
