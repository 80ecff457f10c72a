"""Words and numbers of a line, whatever it is about."""
