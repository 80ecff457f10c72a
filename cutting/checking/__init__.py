"""The checker: judges a plan anew by its own rules; it knows the question and the answer, never the engine."""
