"""The command line: thin commands over `cutting` and `shared`."""
