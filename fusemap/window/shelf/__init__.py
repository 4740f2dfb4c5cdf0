"""Accessories to drag: of this vehicle, and the library."""
