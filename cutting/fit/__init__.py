"""What fits on one stick, in whole numbers: the most valuable pattern of each kind of stick."""
