"""The first page: four doors to the first useful act, what was open, and a new vehicle's lid."""
