"""Paper of a plan in hand: the layouts in force under the numbers they keep."""
