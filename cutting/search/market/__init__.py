"""The search of a whole job with yards: its sections together."""
