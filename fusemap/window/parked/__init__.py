"""How long it may stand: words, chart and tables."""
