"""Questions about a job that several solves answer: choices, offcuts, near misses, spares."""
