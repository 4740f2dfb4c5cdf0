"""What is round every page: the rail with the job's stages, and the verdict on the whole."""
