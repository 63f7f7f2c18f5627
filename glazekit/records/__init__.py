"""Records: the append-only book in which a learner keeps batches, water, tiles, firings and results."""
