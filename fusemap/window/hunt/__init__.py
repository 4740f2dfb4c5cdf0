"""The hunt for what drains a parked vehicle, on the stage beside it."""
