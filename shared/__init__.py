"""What both doors use: reading lists and job files, section tables, the finished view of a plan, its writers."""
