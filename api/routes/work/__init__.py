"""Routes of a plan in hand."""
