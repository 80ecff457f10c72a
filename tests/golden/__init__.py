"""Answers kept: what the engine and the writers said of fixed jobs, so that a rebuild shows what it changed."""
