"""Beside the vehicle: probing with one hand, the readings, pasted tables, the check after the job.

`tasks` hangs these pages into the main window; `page` is the probing itself, in a dark theme of
high contrast and letters to be read from a metre and a half.
"""
