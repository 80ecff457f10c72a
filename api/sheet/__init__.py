"""The sheet that page and routes share: what is written on it, how it is read, and the job it makes."""
