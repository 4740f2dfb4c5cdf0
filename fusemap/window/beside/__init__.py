"""The stage beside the vehicle: large, dark, by keys, with sounds; one rhythm for all its pages."""
