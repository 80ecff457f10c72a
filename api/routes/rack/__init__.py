"""Routes of the rack."""
