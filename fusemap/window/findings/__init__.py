"""The list of findings and the ways out."""
