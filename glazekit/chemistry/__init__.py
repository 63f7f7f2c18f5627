"""Chemistry: what a recipe becomes in the kiln, as oxides, moles and the unity formula, with every step kept."""
