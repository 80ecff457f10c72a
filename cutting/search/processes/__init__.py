"""The same, in several processes side by side."""
