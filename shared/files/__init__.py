"""What is kept in files: the job and its plan."""
