"""Opening, saving, keeping and bringing back."""
