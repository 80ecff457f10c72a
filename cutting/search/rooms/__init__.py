"""One room of a job: its parts on its sticks, whatever is asked of it."""
