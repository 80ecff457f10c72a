"""The page: a sheet of paper that answers."""
