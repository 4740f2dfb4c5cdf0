"""What is chosen, beside the panel: what may be done there, five facts, its way as stations."""
