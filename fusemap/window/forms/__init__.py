"""Fields and the forms made of them."""
