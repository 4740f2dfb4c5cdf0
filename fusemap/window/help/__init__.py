"""Help pages, the tour and the quick search."""
