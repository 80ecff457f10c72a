"""What reading hands on: a line's draft, its state while it is read, and the finished result."""
