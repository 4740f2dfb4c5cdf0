"""The current's way, drawn through the window: from the battery to the earth, one line."""
