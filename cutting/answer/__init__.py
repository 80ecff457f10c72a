"""The answer: the plan, its proof, and sums over it."""
