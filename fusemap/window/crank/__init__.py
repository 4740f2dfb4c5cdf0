"""One start followed with a meter, on the stage beside the vehicle."""
