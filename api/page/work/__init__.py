"""The pages of a plan in hand."""
