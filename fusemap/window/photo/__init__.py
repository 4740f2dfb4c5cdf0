"""The photo of a panel or its lid: taken in, fitted to the grid, drawn behind the slots."""
