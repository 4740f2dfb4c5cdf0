"""Colours, shapes and sizes: one design in one place."""
