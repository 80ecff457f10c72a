"""The rest of a plan in hand, planned anew."""
