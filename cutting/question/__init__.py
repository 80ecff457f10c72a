"""The question: the job, exact lengths and money, prices, and what is wrong with an input."""
