"""The selected chain hop by hop, and what stands behind each number."""
