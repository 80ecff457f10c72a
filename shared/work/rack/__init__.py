"""The rack: its pieces, and its list in and out."""
