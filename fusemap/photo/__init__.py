"""What can be reckoned of a lid's picture: where its places are, and what colour their fuses have.

Pictures come as arrays, places as shares of the picture; nothing here draws or stores anything.
"""
