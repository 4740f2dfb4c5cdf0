"""What would be right: fuse and cable for a load or a tap, with or without a vehicle around it.

In reading order: `advice` (the smallest that hold, and what decided), `proposal` (fuse and cable
together for a tap that is there, tried on the vehicle), `chain_sizing` (for a load alone),
`library` (generic accessories to start from).
"""
