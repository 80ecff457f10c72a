"""The rack's pages."""
