"""Commands with arguments of their own: `chain`, `millivolts`, `tables`, `sheet`.

Each module has `add(commands)`, which tells the parser its arguments, and `answer(asked)`, which
gives the exit status, the answer as data (keys with units in their names) and as text.
"""
