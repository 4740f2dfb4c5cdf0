"""Languages, units and words of the screen."""
