"""Ground: errors, numbers as people write them, and the tables in data/. Everything stands on this room."""
