"""Small signs that the style sheet puts into controls: one file for each theme."""
