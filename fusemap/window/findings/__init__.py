"""The list of findings and their fixes."""
